"""The part of the report on chlorine after work, and on closing and opening."""

from typing import Any

from eavewell.answers.shown import Sizes, listed
from eavewell.report.blocks import GAP, Block, heading, marked, paragraph, ruled
from eavewell.report.cautions import cautioned
from eavewell.units import show

Plain = dict[str, Any]
# A cup or two is run off with the first bucket.
LEAST_FLUSH_L = 4.0


def upkeep_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """Doses by tank, flushes by line, and the steps of the season where there is one."""
    upkeep = answer["treatment"]["upkeep"]
    if not upkeep["shock"]:
        return _season(upkeep["season"], sizes)
    head = ("one of", "full", *(_name(one) for one in upkeep["shock"][0]["products"]))
    rows = [
        (
            one["tank"],
            sizes.volume(one["full_l"]),
            *(_dose(product, sizes) for product in one["products"]),
        )
        for one in upkeep["shock"]
    ]
    first = upkeep["shock"][0]
    return [
        heading("Chlorine once, after work on it"),
        ruled(head, rows),
        GAP,
        paragraph(
            f"For {first['mg_l']:g} mg/L in a full tank; half full, half of it. Wait "
            f"{show(first['wait_h'], 'hours', system=sizes.system)} at least.",
            _flushes(upkeep["flush"], sizes),
        ),
        cautioned(answer, "upkeep"),
        *_season(upkeep["season"], sizes),
    ]


def _name(product: Plain) -> str:
    words = product["product"].replace(" ", "\n", 1)
    return f"{words}\n{100.0 * product['strength']:.3g} %"


def _dose(product: Plain, sizes: Sizes) -> str:
    if product["full_g"] is not None:
        unit = "oz" if sizes.system == "us" else "g"
        return show(product["full_g"] / 1000.0, "weight", system=sizes.system, unit=unit)
    unit = "fl oz" if sizes.system == "us" else "L"
    return show(product["full_ml"] / 1000.0, "volume", system=sizes.system, unit=unit)


def _flushes(lines: list[Plain], sizes: Sizes) -> str:
    known = [one for one in lines if one["flush_l"] >= LEAST_FLUSH_L]
    if not known:
        return ""
    times = known[0]["flush_l"] / known[0]["holds_l"]
    amounts = listed(f"{sizes.volume(one['flush_l'])} of line '{one['line']}'" for one in known)
    return (
        f"A line after work: {known[0]['mg_l']:g} mg/L for {known[0]['wait_h']:g} hours, then run "
        f"off {times:.3g} times what its pipes hold: {amounts}."
    )


def _season(steps: list[Plain], sizes: Sizes) -> list[Block]:
    if not steps:
        return []
    page: list[Block] = [heading("Closing and opening")]
    for when, head in (("closing", "Before it stands empty"), ("opening", "Before it is used")):
        page += [*([GAP] if when == "opening" else []), paragraph(f"{head}:")]
        page += [marked("-", _step(one, sizes)) for one in steps if one["when"] == when]
    return page


def _step(one: Plain, sizes: Sizes) -> str:
    amount = "" if one["volume_l"] is None else f" ({sizes.volume(one['volume_l'])})"
    return f"{one['thing'][:1].upper()}{one['thing'][1:]}{amount}: {one['says']}"
