"""Parts of the roof edge: gutters, downspouts, adapters, screens, first flush."""

import math
from collections.abc import Iterator

from eavewell.cost.part_rows import part_rows, row, stock_m_of
from eavewell.cost.stock import joints, spaced, split, stock_of
from eavewell.hydraulics.standard_sizes import called
from eavewell.site.gutter import Downspout, Gutter
from eavewell.site.part import Part
from eavewell.site.roof import Roof
from eavewell.site.site import Site


def roof_parts(site: Site, roof: Roof) -> Iterator[Part]:
    """Everything from the eave down to the head of the collection pipe."""
    drop_m = None if roof.eave_m is None else roof.eave_m - (site.ground.level_m or 0.0)
    for gutter in roof.gutters:
        yield from _gutter(gutter)
        if gutter.downspout is not None:
            yield from _downspouts(gutter, gutter.downspout, drop_m=drop_m)
    for screen in roof.screens:
        spouts = sum(gutter.spouts for gutter in roof.gutters) or 1
        mesh = "" if screen.mesh_mm is None else f"openings {screen.mesh_mm:.2g} mm or finer"
        yield row("leaf screen", spouts, where=f"screen {screen.name!r}", says=mesh)
    yield from _first_flush(roof)


def _gutter(gutter: Gutter) -> Iterator[Part]:
    where, size = f"gutter {gutter.name!r}", {"size": gutter.width_mm}
    stock_m = stock_m_of("gutter")
    joined = joints(gutter.length_m, stock_m) + 2 * gutter.corners
    yield row(
        "gutter",
        gutter.length_m,
        where=where,
        lengths_m=split(gutter.length_m, stock_m),
        says=gutter.shape,
        **size,
    )
    yield row("gutter joiner", joined, where=where, **size)
    yield row("gutter end cap", 2, where=where, **size)
    if gutter.corners:
        yield row("gutter corner", gutter.corners, where=where, **size)
    yield row("gutter outlet", gutter.spouts, where=where, size=_outlet_mm(gutter))
    yield row("gutter hanger", spaced(gutter.length_m, stock_of("hangers")), where=where, **size)
    sealed = joined + 2 + gutter.spouts
    yield row("gutter screw", sealed * stock_of("joint screws"), where=where)
    yield row("sealant", sealed / stock_of("joints a sealant"), where=where)


def _outlet_mm(gutter: Gutter) -> float | None:
    spout = gutter.downspout
    return None if spout is None else spout.outlet_mm or spout.bore_mm or spout.width_mm


def _downspouts(gutter: Gutter, spout: Downspout, *, drop_m: float | None) -> Iterator[Part]:
    where, count = f"gutter {gutter.name!r}", gutter.spouts
    size = {"size": spout.bore_mm or spout.width_mm, "called": _spout_called(spout)}
    if drop_m is None or drop_m <= 0.0:
        yield row("downspout", 0.0, where=where, says="length unknown: eave height unknown", **size)
        return
    lengths = split(drop_m, stock_m_of("downspout")) * count
    yield row(
        "downspout",
        count * drop_m,
        where=where,
        lengths_m=tuple(sorted(lengths, reverse=True)),
        **size,
    )
    yield row("downspout elbow", count * stock_of("spout elbows"), where=where, **size)
    yield row("downspout strap", count * spaced(drop_m, stock_of("straps")), where=where, **size)
    if spout.into_mm is not None and spout.bore_mm is None:
        between = f"{size['called']} to {called(spout.into_mm)} round"
        yield row("downspout adapter", count, where=where, size=spout.into_mm, called=between)


def _spout_called(spout: Downspout) -> str:
    if spout.bore_mm is not None:
        return called(spout.bore_mm)
    sides = [side / 25.4 for side in (spout.width_mm, spout.depth_mm) if side is not None]
    return " x ".join(f"{side:.3g}" for side in sides) + " in"


def _first_flush(roof: Roof) -> Iterator[Part]:
    flush = roof.first_flush
    if flush is None:
        return
    where = f"first flush of roof {roof.name!r}"
    volume_l = flush.volume_l
    if volume_l is None and flush.depth_mm is not None:
        volume_l = flush.depth_mm * roof.plan_area_m2
    if flush.bore_mm is None or volume_l is None:
        yield row("first-flush box", 1, where=where, size=volume_l)
        return
    length_m = volume_l / 1000.0 / (math.pi / 4.0 * (flush.bore_mm / 1000.0) ** 2)
    size = {"size": flush.bore_mm}
    yield row(
        "standpipe",
        length_m,
        where=where,
        lengths_m=split(length_m, stock_m_of("standpipe")),
        **size,
    )
    weld = part_rows()["standpipe"]["joins"]
    yield row("tee", 1, where=where, stand="at the eave", joins=weld, **size)
    yield row("standpipe cleanout", 1, where=where, **size)
    yield row("standpipe drain", 1, where=where)
