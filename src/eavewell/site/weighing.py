"""What an owner is ready to change, for weighing one choice against another."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Weighing:
    """Ways in which a site may be built; what is left empty stays as the site file says.

    tank      : the store whose size is varied; "" takes the largest that uses draw from.
    sizes_l   : its sizes, all tanks together; () takes the standard sizes.
    roofs_m2  : roof connected to it, in all; () keeps the roof.
    fixtures  : shares of each household want that are left with better fixtures, 1.0 as it is.
    gardens   : shares of the planted area that are kept.
    rations   : True weighs each choice with and without its ration stages.
    """

    tank: str = ""
    sizes_l: tuple[float, ...] = ()
    roofs_m2: tuple[float, ...] = ()
    fixtures: tuple[float, ...] = ()
    gardens: tuple[float, ...] = ()
    rations: bool = False
