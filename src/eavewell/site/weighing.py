"""What an owner is ready to change, and one choice among it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Weighing:
    """Ways in which a site may be built; what is left empty stays as the site file says.

    tank      : the store whose size is varied; "" takes the largest that uses draw from.
    each_l    : sizes of one tank to the rim; () takes the sizes commonly sold.
    counts    : how many equal tanks; () keeps the count, and tries more and fewer of the same.
    roofs_m2  : roof connected, in all; () keeps the roof.
    fixtures  : shares of the household's want that better fixtures leave, 1.0 as it is.
    gardens   : shares of the planted area that are kept, 1.0 as it is.
    rations   : True weighs each choice with and without its ration stages.
    """

    tank: str = ""
    each_l: tuple[float, ...] = ()
    counts: tuple[int, ...] = ()
    roofs_m2: tuple[float, ...] = ()
    fixtures: tuple[float, ...] = ()
    gardens: tuple[float, ...] = ()
    rations: bool = False


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to build a site: `count` tanks of each_l to the rim, and the rest of it.

    fixtures, garden : shares of the household's want and of the planted area that are left.
    rations : whether the ration stages hold.
    """

    count: int
    each_l: float
    roof_m2: float
    fixtures: float = 1.0
    garden: float = 1.0
    rations: bool = True
