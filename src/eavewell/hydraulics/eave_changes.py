"""Smallest changes to a gutter run with which one of its parts holds, in sizes that are sold."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from eavewell.hydraulics.downspouts import area_mm2
from eavewell.hydraulics.eave_parts import parts_of
from eavewell.hydraulics.gutters import counted_section_mm2, section_length_m
from eavewell.hydraulics.roof_methods import Method
from eavewell.hydraulics.standard_sizes import FAMILIES, standard_bores
from eavewell.site.gutter import Downspout, Gutter
from eavewell.site.place import Show
from eavewell.tables import rows

MOST_SPOUTS = 12
# Enlarging one part may bring another into play, each a second time at most.
_PARTS_TWICE = 8
_MM = {"us": 25.4, "metric": 1.0}


def changes(gutter: Gutter, *, flow_l_s: float, method: Method, system: Show) -> tuple[Gutter, ...]:
    """The run with each smallest change that lets all of it carry a flow.

    Larger parts at the same count of downspouts first, then more downspouts of the same size.
    """
    ways = (
        _enlarged(gutter, flow_l_s=flow_l_s, method=method, system=system),
        next((one for one in _more_spouts(gutter) if not _low(one, flow_l_s, method=method)), None),
    )
    return tuple(way for way in ways if way is not None)


def _enlarged(gutter: Gutter, *, flow_l_s: float, method: Method, system: Show) -> Gutter | None:
    """Part by part until the whole run carries the flow; None where nothing sold does."""
    larger = {
        "gutter": _gutters,
        "outlet": _outlets,
        "downspout": _downspouts,
        "transition": _pipes,
    }
    for _ in range(_PARTS_TWICE):
        low = _low(gutter, flow_l_s, method=method)
        if not low:
            return gutter
        sold = larger[low[0]](gutter, system)
        fits = (one for one in sold if low[0] not in _low(one, flow_l_s, method=method))
        found = next(fits, None)
        if found is None:
            return None
        gutter = found
    return None


def _low(gutter: Gutter, flow_l_s: float, *, method: Method) -> list[str]:
    """Parts known to carry less than a flow."""
    parts = parts_of(gutter, method)
    return [p.name for p in parts if p.capacity_l_s is not None and p.capacity_l_s < flow_l_s]


def spouts_for_length(gutter: Gutter, most_m: float) -> Gutter:
    """The run with the fewest downspouts that leave none with more than a length to drain."""
    spouts = gutter.spouts
    while section_length_m(replace(gutter, spouts=spouts)) > most_m + 1e-9:
        spouts += 1
    return replace(gutter, spouts=spouts)


def least_downspout(gutter: Gutter, least_mm2: float, *, system: Show) -> Gutter | None:
    """The run with the smallest downspout sold of some area; None where none is so large."""
    for one in _downspouts(gutter, system):
        if one.downspout is not None and area_mm2(one.downspout) >= least_mm2:
            return one
    return None


@cache
def _sold(name: str, family: str, *, shape: str) -> tuple[tuple[float, float], ...]:
    """Width and depth in mm of the sizes of one family and shape."""
    return tuple(
        (float(row["width"]) * _MM[family], float(row["depth"]) * _MM[family])
        for row in rows(name)
        if (row["family"], row["shape"]) == (family, shape)
    )


def _gutters(gutter: Gutter, system: Show) -> Iterator[Gutter]:
    for width_mm, depth_mm in _sold("standard_gutters", system, shape=gutter.shape):
        one = replace(gutter, width_mm=width_mm, depth_mm=depth_mm)
        if counted_section_mm2(one) > counted_section_mm2(gutter):
            yield one


def _outlets(gutter: Gutter, system: Show) -> Iterator[Gutter]:
    """As wide as the downspout first, then with a larger downspout, then in a deeper gutter."""
    spout = gutter.downspout
    if spout is None:
        return
    if spout.outlet_mm is not None:
        yield replace(gutter, downspout=replace(spout, outlet_mm=None))
    yield from _downspouts(gutter, system)
    yield from _gutters(gutter, system)


def _downspouts(gutter: Gutter, system: Show) -> Iterator[Gutter]:
    spout = gutter.downspout
    if spout is None:
        return
    shape = "round" if spout.bore_mm is not None else "rectangular"
    for width_mm, depth_mm in _sold("standard_downspouts", system, shape=shape):
        one = _sized(spout, shape=shape, width_mm=width_mm, depth_mm=depth_mm)
        if area_mm2(one) > area_mm2(spout):
            yield replace(gutter, downspout=one)


def _sized(spout: Downspout, *, shape: str, width_mm: float, depth_mm: float) -> Downspout:
    if shape == "round":
        return replace(spout, bore_mm=width_mm, outlet_mm=None)
    return replace(spout, width_mm=width_mm, depth_mm=depth_mm, outlet_mm=None)


def _pipes(gutter: Gutter, system: Show) -> Iterator[Gutter]:
    spout = gutter.downspout
    if spout is None or spout.into_mm is None:
        return
    for _, bore_mm in standard_bores(FAMILIES[system]):
        if bore_mm > spout.into_mm:
            yield replace(gutter, downspout=replace(spout, into_mm=bore_mm))


def _more_spouts(gutter: Gutter) -> Iterator[Gutter]:
    for spouts in range(gutter.spouts + 1, MOST_SPOUTS + 1):
        yield replace(gutter, spouts=spouts)
