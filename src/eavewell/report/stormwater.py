"""The part of the report on storm-water."""

from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.report.blocks import GAP, Block, heading, paragraph, ruled
from eavewell.units import show

Plain = dict[str, Any]


def stormwater_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """Runoff before, with the roof and with its water caught; room before storms; low spots."""
    found = answer["stormwater"]
    rows = _volumes(found, sizes)
    if not rows and not found["low_spots"]:
        return []
    page: list[Block] = [heading("Storm-water")]
    if rows:
        head = ("runoff of the place", "ground", "with roofs", "caught", "of the roofs' kept")
        page += [ruled(head, rows), GAP]
    return [
        *page,
        paragraph(_room(found, sizes), _peak(found, sizes)),
        *_spots(found, sizes),
    ]


def _volumes(found: Plain, sizes: Sizes) -> list[tuple[str, ...]]:
    year = found["year"]
    rows: list[tuple[str, ...]] = []
    if year["ground_l"] is not None:
        rows.append(("in a mean year", *_three(year, sizes), "-"))
    rows += [
        (
            f"{one['years']}-year day, {sizes.depth(one['rain_mm'])}",
            *_three(one, sizes),
            _kept(one, sizes),
        )
        for one in found["events"]
        if one["ground_l"] is not None
    ]
    return rows


def _three(one: Plain, sizes: Sizes) -> tuple[str, str, str]:
    ground, with_roof, caught = (
        sizes.volume(one[key]) for key in ("ground_l", "with_roof_l", "caught_l")
    )
    return ground, with_roof, caught


def _kept(one: Plain, sizes: Sizes) -> str:
    if one["kept_tenth_share"] is None:
        return "-"
    return f"{sizes.share(one['kept_tenth_share'])}, mean {sizes.share(one['kept_mean_share'])}"


def _room(found: Plain, sizes: Sizes) -> str:
    whole = next((one for one in found["room"] if one["when"] == "year"), None)
    if whole is None:
        return ""
    seasons = ", ".join(
        f"{one['when']} {sizes.volume(one['tenth_l'])}"
        for one in found["room"]
        if one["when"] != "year"
    )
    words = (
        f"Of {sizes.volume(found['usable_l'])} usable, nine storms in ten find at least "
        f"{sizes.volume(whole['tenth_l'])} of room, the mean {sizes.volume(whole['mean_l'])} "
        f"({whole['storms']:,} storms; {seasons})."
    )
    if found["draw_down_days"] is not None:
        words += f" Mean use draws full tanks down in {found['draw_down_days']:.0f} days."
    return words


def _peak(found: Plain, sizes: Sizes) -> str:
    peaks = [found[key] for key in ("peak_ground_l_s", "peak_with_roof_l_s")]
    if None in peaks:
        return ""
    ground, roofs = (show(peak, "flow", system=sizes.system) for peak in peaks)
    return (
        f"The {found['peak_years']}-year peak of the place by the rational method: {ground} "
        f"without its roofs, {roofs} with them."
    )


def _spots(found: Plain, sizes: Sizes) -> list[Block]:
    rows = [
        (
            one["name"],
            sizes.depth(one["before_mm"]),
            sizes.depth(one["after_mm"]),
            _hours(one["soak_before_h"], sizes),
            _hours(one["soak_after_h"], sizes),
        )
        for one in found["low_spots"]
        if one["before_mm"] is not None
    ]
    head = ("low spot, 2-year day", "stands\nbefore", "after", "soaks in\nbefore", "after")
    return [GAP, ruled(head, rows)] if rows else []


def _hours(hours: float | None, sizes: Sizes) -> str:
    return "-" if hours is None else show(hours, "hours", system=sizes.system)
