"""What a bore and a pipe are called on a drawing, in the measures of the site."""

from eavewell.hydraulics.standard_sizes import FAMILIES, standard_bores
from eavewell.site.pipe import Pipe
from eavewell.site.place import Show
from eavewell.units import show

SAME_SHARE = 0.04
_DRIP = ("poly line",)


def bore_called(bore_mm: float, system: Show, *, material: str = "") -> str:
    """The size sold within 4 % of a bore, else the bore itself."""
    families = (*_DRIP, FAMILIES[system]) if material == "polyethylene" else (FAMILIES[system],)
    sold = [one for family in families for one in standard_bores(family)]
    name, bore = min(sold, key=lambda one: abs(one[1] - bore_mm))
    near = abs(bore - bore_mm) <= SAME_SHARE * bore
    return name if near else show(bore_mm, "bore", system=system)


def pipe_called(pipe: Pipe, system: Show) -> str:
    """A pipe by its size and length."""
    size = bore_called(pipe.bore_mm, system, material=pipe.material)
    return f"{size}, {show(pipe.length_m, 'length', system=system)}"
