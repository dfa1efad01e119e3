"""One line of a parts list."""

from dataclasses import dataclass

from eavewell.site.money import Unit


@dataclass(frozen=True, slots=True)
class Part:
    """So many of one part at one place of the site.

    part     : a row name in tables/parts.csv. count : in `unit`, spares left out.
    size     : in the measure that its row names (L of a tank, mm of a bore); None for none.
    called   : the size as it is sold, e.g. "4 in"; "" where it has none.
    where    : the thing it belongs to, e.g. "tank 'main'". stand : where one stands to fit it,
               a row name in tables/stands.csv, e.g. "at the eave".
    joins    : thread or joining standard, e.g. "NPT", "solvent weld"; "" for none.
    lengths_m: cut lengths of a pipe or gutter, longest first; () for a thing that is not cut.
    says     : what to look for when buying; "" for nothing.
    """

    part: str
    count: float
    unit: Unit
    where: str
    stand: str
    size: float | None = None
    called: str = ""
    joins: str = ""
    spares: float = 0.0
    lengths_m: tuple[float, ...] = ()
    says: str = ""
