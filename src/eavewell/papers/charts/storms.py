"""What a sump and its lift catch of storms, by their size."""

from collections.abc import Mapping
from typing import Any

from eavewell.answers.shown import count
from eavewell.papers.charts.bars import OVERTOPPED, SUPPLIED, stacked
from eavewell.papers.charts.plate import (
    BODY,
    GREY,
    LEFT_MM,
    SMALL,
    WIDE_MM,
    axes,
    cut_to,
    plate,
    rests_on,
)
from eavewell.papers.charts.scale import per_cent
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import show

WORDS = words("charts")
Plain = Mapping[str, Any]
TITLE = WORDS.say("storms.title")
PANEL_MM, AROUND_MM = 58.0, 13.0


def chart_storms(answer: Plain, *, system: Show) -> str | None:
    """One panel a lift: of each class of the day's rain the share that the lift moves.

    None where no lift was reckoned within the day.
    """
    lifts = [one for one in answer["hydraulics"]["lifts"] if _classes(one)]
    if not lifts:
        return None
    high_mm = AROUND_MM + PANEL_MM * len(lifts)

    def draw(figure: Any) -> None:
        for row, lift in enumerate(lifts):
            top = high_mm - 9.0 - PANEL_MM * row
            at = axes(figure, left=LEFT_MM, low=top - 38.0, right=WIDE_MM - 4.0, high=top - 5.0)
            _panel(at, lift, system=system)

    foot = WORDS.say("storms.drawn.days_with_runoff_by", rests_on=rests_on(answer))
    says = " ".join(_says(lift, system) for lift in lifts)
    return plate(draw, title=TITLE, says=says, high_mm=high_mm, foot=foot)


def _classes(lift: Plain) -> list[Plain]:
    return [one for one in lift["storms"] if one["captured_share"] is not None]


def _panel(at: Any, lift: Plain, *, system: Show) -> None:
    classes = _classes(lift)
    shares = [one["captured_share"] for one in classes]
    places = [float(k) for k in range(len(classes))]
    lost = [1.0 - share for share in shares]
    stacked(at, places, pieces=[(SUPPLIED, shares), (OVERTOPPED, lost)], wide=0.62)
    at.set_xlim(-0.6, max(len(classes), 3) - 0.4)
    at.set_ylim(0.0, 1.0)
    per_cent(at.yaxis)
    at.set_xticks(places, [""] * len(places))
    at.tick_params(axis="x", length=0)
    for place, one in zip(places, classes, strict=True):
        _named(at, one, place=place, system=system)
    name = cut_to(lift["name"], BODY, most_mm=60.0)
    whole = show(lift["captured_share"], "share", system=system)
    at.annotate(
        WORDS.say("storms.panel.runoff_lifted_rest_runs", name=name, whole=whole),
        (0.0, 1.0),
        (0, 13),
        xycoords="axes fraction",
        textcoords="offset points",
        fontsize=BODY,
        color=GREY,
    )


def _named(at: Any, one: Plain, *, place: float, system: Show) -> None:
    """Its share above the bar; what it is, how often and how much below."""
    share = show(one["captured_share"], "share", system=system)
    at.annotate(
        share,
        (place, 1.0),
        (0, 2.5),
        textcoords="offset points",
        ha="center",
        fontsize=BODY,
        fontweight=700,
    )
    below = (
        one["name"],
        WORDS.say("storms.named.to", to=show(one["to_mm"], "depth", system=system)),
        count(one["days"], "day"),
        show(one["runoff_l"], "volume", system=system),
    )
    at.annotate(
        "\n".join(below),
        (place, 0.0),
        (0, -4),
        textcoords="offset points",
        ha="center",
        va="top",
        fontsize=SMALL,
        linespacing=1.25,
    )


def _says(lift: Plain, system: Show) -> str:
    told = ", ".join(
        WORDS.say(
            "storms.says.to",
            name=one["name"],
            to=show(one["to_mm"], "depth", system=system),
            captured_share=show(one["captured_share"], "share", system=system),
        )
        for one in _classes(lift)
    )
    return WORDS.say("storms.says.share_runoff_that_moves", name=lift["name"], told=told)
