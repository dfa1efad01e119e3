"""The tank card: what a level on the stick means, how long it lasts, when to call the truck."""

import math
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

from eavewell.answers.shown import Sizes, listed
from eavewell.papers.design_report import paper_of
from eavewell.papers.paper import Form, Lead, NewPage, Paper, PaperBlock, Part
from eavewell.papers.wall_blocks import Large, Points, WallRows
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import show

WORDS = words("tank_card")
Plain = dict[str, Any]
STEPS = {"us": "6 in", "metric": "10 cm"}
MARK_M = {"us": 0.0254, "metric": 0.01}
# what a level below each band is called, and the ground it is printed on
ZONES = {"full": "blue", "ration": "sand", "stops": "", "order": "rust"}
NEVER = WORDS.say("never")


def tank_card_paper(answer: Plain, *, day: date, system: Show) -> Paper:
    """One page for each tank that is no sump."""
    sizes, blocks = Sizes(system), list[PaperBlock]()
    for tank in answer["cards"]["tanks"]:
        blocks += [NewPage()] if blocks else []
        blocks += _page(tank, sizes)
    return wall_paper(
        answer, blocks, named=("tank-card", WORDS.say("page.tank_card")), day=day, system=system
    )


def wall_paper(
    answer: Plain, blocks: list[PaperBlock], *, named: tuple[str, str], day: date, system: Show
) -> Paper:
    """A paper for the wall: the site's name and nothing else above its blocks."""
    paper = paper_of(answer, blocks, named=named, day=day, system=system)
    return replace(paper, lead=(), paged="wall letter" if system == "us" else "wall a4")


def _page(tank: Plain, sizes: Sizes) -> Iterator[PaperBlock]:
    row = WORDS.say("page.tanks_as_one", count=tank["count"]) if tank["count"] > 1 else ""
    yield Part(f"{tank['name']}{row}")
    yield from _mark(tank, sizes)
    yield _stick(tank, sizes)
    if not tank["shape_known"]:
        yield Lead(WORDS.say("page.shape_not_known"))
    yield Points(tuple(_told(tank, sizes)), size_pt=11.0)
    for truck in tank["trucks"]:
        yield Points(tuple(_truck(truck, sizes, rationed=_rationed(tank))), size_pt=11.0)
        yield Form(WORDS.several("page.trucks"))
    yield Large(NEVER, "rust", size_pt=13.0)


def _mark(tank: Plain, sizes: Sizes) -> Iterator[PaperBlock]:
    """What one mark of the stick holds, where every mark holds the same."""
    one = {"us": ("1 in", "even_l_per_inch"), "metric": ("1 cm", "even_l_per_cm")}[sizes.system]
    if tank[one[1]] is not None:
        yield Large(WORDS.say("mark.stick", one=one[0], volume=sizes.volume(tank[one[1]])), "blue")


def _stick(tank: Plain, sizes: Sizes) -> WallRows:
    """From the rim down, as the stick stands: the marks and between them what begins there."""
    bands = [*tank["bands"], *_orders(tank)]
    marks = [
        one
        for one in tank["stick"]
        if one["every"] == STEPS[sizes.system] and _plain_mark(one, tank, bands=bands)
    ]
    both = [(one["total_l"], 0, one) for one in marks] + [(one["total_l"], 1, one) for one in bands]
    both.sort(key=lambda one: (-one[0], -one[1]))
    even, rationed = tank["even_l_per_cm"] is not None, _rationed(tank)
    return WallRows(
        head=_head(sizes.system, even=even, rationed=rationed),
        rows=tuple(_row(one, sizes, even=even, rationed=rationed) for _, _, one in both),
        tones=tuple(_tone(total, bands) for total, _, _ in both),
        bold=tuple(at for at, (_, is_band, _) in enumerate(both) if is_band),
        names=(0, 5 + rationed - even),
        size_pt=min(15.0, max(8.5, (280.0 if tank["trucks"] else 315.0) / len(both))),
    )


def _plain_mark(mark: Plain, tank: Plain, *, bands: list[Plain]) -> bool:
    """A mark below the overflow where no band begins."""
    depth, full = mark["depth_m"], tank["full_m"]
    near = [abs(depth - one["level_m"]) for one in bands if one["level_m"] is not None]
    return (full is None or depth < full) and min(near, default=1.0) > MARK_M["metric"]


def _rationed(tank: Plain) -> bool:
    return any(band["what"] == "ration" for band in tank["bands"])


def _head(system: Show, *, even: bool, rationed: bool) -> tuple[str, ...]:
    per = () if even else (WORDS.say("head.each", what="in" if system == "us" else "cm"),)
    ration = (WORDS.say("head.days_by_ration"),) if rationed else ()
    return (
        WORDS.say("head.on_stick"),
        WORDS.say("head.in_it"),
        *per,
        WORDS.say("head.days_at_mean_use"),
        WORDS.say("head.busiest_month"),
        *ration,
        "",
    )


def _row(one: Plain, sizes: Sizes, *, even: bool, rationed: bool) -> tuple[str, ...]:
    level = one.get("depth_m", one.get("level_m"))
    per = one.get("l_per_inch" if sizes.system == "us" else "l_per_cm")
    return (
        on_stick(level, sizes.system, up="what" in one and one["what"] == "order"),
        sizes.volume(one["total_l"]),
        *(() if even else ("" if per is None else sizes.volume(per),)),
        _days(one["days"]),
        _days(one["peak_days"]),
        *((_days(one["rationed_days"]),) if rationed else ()),
        _says(one) if "what" in one else "",
    )


def _orders(tank: Plain) -> Iterator[Plain]:
    """The levels to order at, as bands; in a drought first."""
    for truck in tank["trucks"]:
        for name in ("drought_", ""):
            if truck[f"{name}order_l"] is not None:
                yield {
                    "what": "order",
                    "of": WORDS.say("orders.of", lead_days=truck[f"{name}lead_days"]),
                    "level_m": truck[f"{name}order_m"],
                    "total_l": truck[f"{name}order_l"],
                    "days": None,
                    "peak_days": None,
                    "rationed_days": truck[f"{name}lead_days"] + truck["safety_days"],
                }


def bands_of(tank: Plain) -> Iterator[tuple[Plain, str]]:
    """Every level of a tank that means something, with its words."""
    for band in (*tank["bands"], *_orders(tank)):
        yield band, _says(band)


def _says(band: Plain) -> str:
    if band["what"] == "ration":
        return WORDS.say("says.takes", of=band["of"], share=band["share"] * 100.0)
    if band["what"] == "order":
        return WORDS.say("says.order", of=band["of"])
    if band["what"] == "stops":
        return WORDS.say("says.stops", of=band["of"])
    return {
        "full": WORDS.say("says.full"),
        "fire reserve": WORDS.say("says.fire_reserve"),
        "dead storage": WORDS.say("says.dead_storage"),
    }[band["what"]]


def _tone(total_l: float, bands: list[Plain]) -> str:
    """The ground by the lowest band that the level does not lie over."""
    above = [band for band in bands if band["total_l"] >= total_l - 1e-6]
    kinds = {band["what"] for band in above}
    if kinds & {"order", "fire reserve", "dead storage"}:
        return "rust"
    return "sand" if "ration" in kinds else "blue"


def on_stick(level_m: float | None, system: Show, *, up: bool = False, down: bool = False) -> str:
    """A level as it is read on the stick, on its next whole mark; a dash where unknown."""
    if level_m is None:
        return "-"
    marks = level_m / MARK_M[system]
    whole = math.ceil(marks - 1e-6) if up else math.floor(marks + 1e-6) if down else round(marks)
    if system == "us":
        return show(whole * MARK_M[system], "length", system=system)
    return f"{whole} cm"


def _days(days: float | None) -> str:
    """Whole days that surely pass."""
    return "" if days is None else f"{math.floor(days + 1e-6):,}"


def _told(tank: Plain, sizes: Sizes) -> Iterator[str]:
    depth, name = {
        "us": (WORDS.say("told.an_inch"), "inch_of_rain"),
        "metric": ("10 mm", "ten_mm_of_rain"),
    }[sizes.system]
    if tank[f"{name}_l"] is not None:
        brings = WORDS.say("told.rain_brings", depth=depth, volume=sizes.volume(tank[f"{name}_l"]))
        days = tank[f"{name}_days"]
        lasts = WORDS.say("told.days_mean_use", days=days) if days else ""
        lifts = listed(tank["rain_lifted_by"]) if tank["rain_lifted_by"] else ""
        through = WORDS.say("told.as_far_as_can", lifts=lifts) if lifts else ""
        yield f"{brings}{lasts}{through}."
    if tank["drawn_by"]:
        yield WORDS.say(
            "told.days_without_rain_down",
            mean=sizes.daily(tank["mean_l_per_day"]),
            peak=sizes.daily(tank["peak_l_per_day"]),
            drawn_by=listed(tank["drawn_by"]),
        )
    if tank["also_from"]:
        yield WORDS.say("told.they_draw_from_too", also_from=listed(tank["also_from"]))
    if tank["overflow_to"]:
        yield WORDS.say("told.full_it_runs_over", overflow_to=tank["overflow_to"])


def _truck(truck: Plain, sizes: Sizes, *, rationed: bool) -> Iterator[str]:
    """When a load has room, how long it lasts, what the order marks are made of."""
    load = WORDS.say("truck.load", load=sizes.volume(truck["load_l"]))
    if truck["fits_l"] is None:
        yield WORDS.say("truck.never_has_room_order", load=load)
    else:
        at = on_stick(truck["fits_m"], sizes.system, down=True)
        level = sizes.volume(truck["fits_l"]) if truck["fits_m"] is None else at
        by = WORDS.say("truck.by_ration") if rationed else WORDS.say("truck.busiest_month")
        lasts = (
            WORDS.say("truck.lasts_days", load=_days(truck["load_days"]), by=by)
            if truck["load_days"]
            else ""
        )
        yield WORDS.say("truck.has_room_when_stick", load=load, level=level, lasts=lasts)
    for name, when in (
        ("", WORDS.say("truck.ordered_at_its_mark")),
        ("drought_", WORDS.say("truck.ordered_early_drought")),
    ):
        wait = truck[f"{name}fits_after_days"]
        if wait:
            yield WORDS.say("truck.it_has_room_only", when=when, wait=math.ceil(wait))
    use = WORDS.say("truck.rationed_use") if rationed else WORDS.say("truck.use")
    own = WORDS.say("truck.stated_for_this_site") if truck["stated"] else ""
    yield WORDS.say(
        "truck.order_marks_dead_storage",
        use=use,
        safety_days=truck["safety_days"],
        lead_days=truck["lead_days"],
        own=own,
    )
