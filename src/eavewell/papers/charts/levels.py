"""The level through the record, and the worst spell evening by evening."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from eavewell.answers.shown import count, spell
from eavewell.papers.charts.plate import (
    BLUE,
    GREY,
    INK,
    LEFT_MM,
    PALE,
    RUST,
    SMALL,
    WIDE_MM,
    axes,
    plate,
    rests_on,
)
from eavewell.papers.charts.scale import MONTHS, Volumes, plain_numbers, volumes
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import show

WORDS = words("charts")
Plain = Mapping[str, Any]
TITLE = WORDS.say("levels.title")
HIGH_MM = 104.0
# axis over full
HEADROOM = 1.16


def chart_levels(answer: Plain, *, system: Show) -> str | None:
    """Highest and lowest evening of every month; below, the worst spell evening by evening.

    None where nothing is stored.
    """
    levels = answer["storage"]["levels"]
    if levels["usable_l"] <= 0.0:
        return None
    unit = volumes(levels["usable_l"], system=system)

    def draw(figure: Any) -> None:
        _record(_room(figure, low=60.0, high=HIGH_MM - 11.0), answer, unit=unit, system=system)
        _closest(_room(figure, low=13.0, high=47.0), answer, unit=unit, system=system)

    foot = WORDS.say("levels.drawn.evenings_all_stores_together", rests_on=rests_on(answer))
    says = _says(answer, system)
    return plate(draw, title=TITLE, says=says, high_mm=HIGH_MM, foot=foot)


def _room(figure: Any, *, low: float, high: float) -> Any:
    return axes(figure, left=LEFT_MM, low=low, right=WIDE_MM - 5.0, high=high)


def _record(at: Any, answer: Plain, *, unit: Volumes, system: Show) -> None:
    levels, worst = answer["storage"]["levels"], answer["storage"]["worst_short"]
    year, month = (int(part) for part in levels["from"].split("-"))
    first = year + (month - 1) / 12.0
    edges = [first + k / 12.0 for k in range(len(levels["lowest_l"]) + 1)]
    low, high = ([unit.of(one) for one in levels[key]] for key in ("lowest_l", "highest_l"))
    at.fill_between(
        edges, [*low, low[-1]], [*high, high[-1]], step="post", color=PALE, linewidth=0.0
    )
    at.stairs(low, edges, baseline=None, color=BLUE, linewidth=0.6)
    _frame(at, levels["usable_l"], unit=unit, system=system)
    at.set_xlim(edges[0], edges[-1])
    if worst["from"]:
        from_to = [_in_years(worst[key]) for key in ("from", "to")]
        _hatched(at, from_to)
        middle = sum(from_to) / 2.0
        _above(
            at,
            middle,
            says=WORDS.say("levels.record.worst_spell", since=spell(worst["from"], worst["to"])),
        )
    _whole_years(at)
    at.annotate(
        WORDS.say("levels.record.between_highest_lowest_evening"),
        (0.0, 1.0),
        (0, 3),
        xycoords="axes fraction",
        textcoords="offset points",
        fontsize=SMALL,
        color=GREY,
    )


def _hatched(at: Any, from_to: Sequence[float]) -> None:
    """The worst spell, up to the rim."""
    rim = 1.0 / HEADROOM
    at.axvspan(*from_to, 0.0, rim, facecolor="none", edgecolor=RUST, hatch="////", linewidth=0.5)


def _above(at: Any, where: float, *, says: str) -> None:
    """Words above the axes at a place, kept within its ends."""
    low, high = at.get_xlim()
    share = min(max((where - low) / (high - low), 0.0), 1.0)
    side = "left" if share < 0.62 else "right"
    share = max(share, 0.42 if side == "left" else 0.75)
    at.annotate(
        says,
        (share, 1.0),
        (0, 3),
        xycoords="axes fraction",
        textcoords="offset points",
        ha=side,
        fontsize=SMALL,
        color=RUST,
    )


def _closest(at: Any, answer: Plain, *, unit: Volumes, system: Show) -> None:
    levels, worst = answer["storage"]["levels"], answer["storage"]["worst_short"]
    first, evenings = date.fromisoformat(levels["closest_from"]), levels["closest_l"]
    days = list(range(len(evenings)))
    held = [unit.of(one) for one in evenings]
    at.fill_between(days, held, color=PALE, linewidth=0.0)
    at.plot(days, held, color=BLUE, linewidth=1.0)
    _frame(at, levels["usable_l"], unit=unit, system=system)
    at.set_xlim(0, max(len(days) - 1, 1))
    says = WORDS.say("levels.closest.evening_by_evening_round")
    if worst["from"]:
        begin, end = ((date.fromisoformat(worst[key]) - first).days for key in ("from", "to"))
        _hatched(at, (begin, end))
        missing = show(worst["missing_l"], "volume", system=system)
        says = WORDS.say(
            "levels.closest.worst_spell_missing",
            since=spell(worst["from"], worst["to"]),
            missing=missing,
        )
    at.annotate(
        says,
        (0.0, 1.0),
        (0, 3),
        xycoords="axes fraction",
        textcoords="offset points",
        fontsize=SMALL,
        color=RUST if worst["from"] else GREY,
    )
    _month_ticks(at, first, count_days=len(days))


def _frame(at: Any, usable_l: float, *, unit: Volumes, system: Show) -> None:
    """The rim of what can be used, and the axis of volumes."""
    full = unit.of(usable_l)
    at.axhline(full, color=INK, linewidth=0.6, linestyle=(0, (5, 2)))
    at.annotate(
        WORDS.say("levels.frame.full", usable=show(usable_l, "volume", system=system)),
        (1.0, full),
        (-2, 2),
        xycoords=("axes fraction", "data"),
        textcoords="offset points",
        ha="right",
        fontsize=SMALL,
    )
    at.set_ylim(0.0, full * HEADROOM)
    at.set_ylabel(unit.unit, rotation=0, ha="right", va="bottom")
    at.yaxis.set_label_coords(-0.012, 1.0)
    plain_numbers(at.yaxis)


def _whole_years(at: Any) -> None:
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    at.xaxis.set_major_locator(
        MaxNLocator(nbins=12, integer=True, steps=[1, 2, 5, 10], min_n_ticks=1)
    )
    at.xaxis.set_major_formatter(FuncFormatter(lambda year, _: f"{year:.0f}"))


def _month_ticks(at: Any, first: date, *, count_days: int) -> None:
    """The first of each month, by its name; of every second or third where there are many."""
    days = [first + timedelta(days=k) for k in range(count_days)]
    starts = [k for k, day in enumerate(days) if day.day == 1]
    every = 1 + len(starts) // 20
    named = starts[::every]
    at.set_xticks(
        named,
        [
            f"{MONTHS[days[k].month - 1]}\n{days[k].year}"
            if days[k].month == 1 or k == named[0]
            else MONTHS[days[k].month - 1]
            for k in named
        ],
    )


def _in_years(iso: str) -> float:
    day = date.fromisoformat(iso)
    return day.year + (day.timetuple().tm_yday - 1) / 365.25


def _says(answer: Plain, system: Show) -> str:
    store = answer["storage"]
    levels, worst = store["levels"], store["worst_short"]
    full, lowest = (
        show(litres, "volume", system=system)
        for litres in (levels["usable_l"], min(levels["lowest_l"]))
    )
    told = WORDS.say(
        "levels.says.level_all_stores_together",
        months=count(len(levels["lowest_l"]), "month"),
        full=full,
        lowest=lowest,
    )
    if not worst["from"]:
        return WORDS.say("levels.says.no_use_was_ever", told=told)
    missing = show(worst["missing_l"], "volume", system=system)
    return WORDS.say(
        "levels.says.worst_spell_missing",
        told=told,
        since=spell(worst["from"], worst["to"]),
        missing=missing,
    )
