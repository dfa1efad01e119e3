"""From the downspout: the first-flush standpipe and the piece from rectangular to round."""

from collections.abc import Iterator, Sequence

from eavewell.drawings.detail import Detail, measured, tube
from eavewell.drawings.letters import shortened
from eavewell.drawings.marks import Dimension, Hatch, Leader, Mark, Stroke, Text
from eavewell.drawings.pieces import box, filled
from eavewell.drawings.sizes_called import bore_called
from eavewell.hydraulics.first_flush_pipe import FlushPipe
from eavewell.site.gutter import Downspout
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import texts
from eavewell.units import show

WORDS = texts.words("sheets")
UNKNOWN_M, UNKNOWN_BORE_M, SPOUT_M, PLUG_M = 0.9, 0.1, 0.1, 0.06


def standpipes(flushes: Sequence[FlushPipe], system: Show) -> Iterator[Detail]:
    """The first flush of every roof, its length and its hole as worked out."""
    for one in flushes:
        title = WORDS.say("details_roof.standpipes.first_flush_roof", roof=shortened(one.roof))
        yield Detail(title, tuple(_standpipe(one, system)), tuple(_flush_notes(one, system)))


def _standpipe(one: FlushPipe, system: Show) -> Iterator[Mark]:
    of, known = f"roof {one.roof}", one.length_m is not None
    bore = one.flush.bore_mm / 1000.0 if one.flush.bore_mm else UNKNOWN_BORE_M
    long = one.length_m if one.length_m is not None else UNKNOWN_M
    x, layer = bore + 3.0 * SPOUT_M, "pipe" if known else "unknown"
    top = 1.2 * SPOUT_M
    yield from tube(((0.0, 0.55), (0.0, -0.35)), SPOUT_M, layer="gutter", of=of)
    yield from tube(((SPOUT_M / 2.0, top), (x - bore / 2.0, top)), SPOUT_M, layer="gutter", of=of)
    yield Hatch("water", filled(x - bore / 2.0, -long, right=x + bore / 2.0, high=0.0), "water", of)
    yield box(layer, x - bore / 2.0, low=-long, right=x + bore / 2.0, high=2.2 * SPOUT_M, of=of)
    yield box(
        "fitting", x - bore * 0.6, low=-long - PLUG_M, right=x + bore * 0.6, high=-long, of=of
    )
    right = x + bore / 2.0
    hole = (
        WORDS.say("details_roof.standpipe.hole", hole=show(one.hole_mm, "bore", system=system))
        if one.hole_mm
        else WORDS.say("details_roof.standpipe.drain_size_unknown")
    )
    yield Leader("text" if one.hole_mm else "unknown", (right, -long + 0.03), hole, of=of)
    yield Leader(
        "text",
        (x - bore * 0.6, -long - PLUG_M / 2.0),
        WORDS.say("details_roof.standpipe.cleanout_plug"),
        of=of,
    )
    yield Leader("text", (0.0, 0.45), WORDS.say("details_roof.standpipe.from_gutter"), of=of)
    yield Leader(
        "text", (0.0, -0.3), WORDS.say("details_roof.standpipe.tank_once_this_full"), of=of
    )
    if known:
        yield measured((right, -long), (right, 0.0), system=system, off_mm=-12.0)
        words = WORDS.say(
            "details_roof.standpipe.pipe", bore=bore_called(one.flush.bore_mm or 0.0, system)
        )
        yield Leader("text", (x - bore / 2.0, -0.45 * long), words, of=of)
    else:
        yield Leader(
            "unknown",
            (right, -0.6 * long),
            WORDS.say("details_roof.standpipe.length_unknown_bore_unknown"),
            of=of,
        )


def _flush_notes(one: FlushPipe, system: Show) -> Iterator[str]:
    volume = show(one.volume_l, "volume", system=system)
    depth = show(one.depth_mm, "depth", system=system)
    yield WORDS.say("details_roof.flush_notes.holds_first_rain", volume=volume, depth=depth)
    if one.empties_h is not None:
        yield WORDS.say(
            "details_roof.flush_notes.empties_keep_hole_open",
            empties=show(one.empties_h, "hours", system=system),
        )
    else:
        yield WORDS.say("details_roof.flush_notes.time_empty_unknown_shut")


def transitions(site: Site) -> Iterator[Detail]:
    """Every different pair of rectangular downspout and round pipe, once."""
    found: dict[tuple[float, float, float], list[str]] = {}
    for roof in site.roofs:
        for gutter in roof.gutters:
            spout = gutter.downspout
            if spout is not None and spout.width_mm and spout.depth_mm and spout.into_mm:
                key = (spout.width_mm, spout.depth_mm, spout.into_mm)
                found.setdefault(key, []).append(roof.name)
    for (width, depth, into), roofs in found.items():
        one = Downspout(width_mm=width, depth_mm=depth, into_mm=into)
        where = ", ".join(shortened(name, 20) for name in dict.fromkeys(roofs))
        marks = tuple(_transition(one, site.place.show))
        notes = (
            WORDS.say("details_roof.transitions.at", where=where),
            WORDS.say("details_roof.transitions.rectangular_end_slips_over"),
        )
        yield Detail(
            WORDS.say("details_roof.transitions.transition_piece_rectangular_round"), marks, notes
        )


def _transition(spout: Downspout, system: Show) -> Iterator[Mark]:
    """Seen from the front and from the side."""
    bore = (spout.into_mm or 0.0) / 1000.0
    apart = 0.14 + max((spout.width_mm or 0.0) / 1000.0, bore)
    for at, (side_mm, called) in enumerate(((spout.width_mm, "front"), (spout.depth_mm, "side"))):
        side, x = (side_mm or 0.0) / 1000.0, at * apart
        yield from tube(((x, 0.3), (x, 0.17)), side, layer="gutter", of="transition")
        half, round_half = side / 2.0 + 0.004, bore / 2.0 + 0.004
        for sign in (-1.0, 1.0):
            way = (
                (x + sign * half, 0.2),
                (x + sign * half, 0.13),
                (x + sign * round_half, 0.06),
                (x + sign * round_half, 0.0),
            )
            yield Stroke("fitting", way, of="transition")
        yield from tube(((x, 0.02), (x, -0.1)), bore, layer="pipe", of="transition")
        words = show(side_mm or 0.0, "bore", system=system)
        yield Dimension("dimension", (x - side / 2.0, 0.3), (x + side / 2.0, 0.3), words, 5.0)
        yield Text("text", (x, -0.135), called, anchor="middle")
    yield Leader(
        "text",
        (-bore / 2.0, -0.06),
        WORDS.say("details_roof.transition.pipe", bore=bore_called(bore * 1000.0, system)),
    )
    yield Leader("text", (apart + bore / 2.0, 0.03), "hub")
