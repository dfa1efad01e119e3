"""What more days with water cost: the choices weighed that no other beats."""

from collections.abc import Mapping, Sequence
from typing import Any

from eavewell.papers.charts.plate import BLUE, GREY, INK, LEFT_MM, RUST, SMALL, WIDE_MM, axes, plate
from eavewell.papers.charts.scale import per_cent, plain_numbers
from eavewell.papers.charts.storage import apart
from eavewell.report.cost import money
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import show

WORDS = words("charts")
Plain = Mapping[str, Any]
TITLE = WORDS.say("cost_front.title")
HIGH_MM = 96.0
BESIDE = ("roof_m2", "fixtures", "garden", "rations")


def chart_cost_front(weighed: Plain, *, system: Show) -> str | None:
    """Days met over the cost of a whole life; every choice of the front with its price range.

    weighed : choices weighed, as plain data. None where nothing was priced.
    """
    front = [one for one in weighed["by_days"] if one["life"]["typical"] is not None]
    if not front:
        return None
    marks = _marks(weighed, front, system=system)

    def draw(figure: Any) -> None:
        at = axes(figure, left=LEFT_MM, low=17.0, right=WIDE_MM - 54.0, high=HIGH_MM - 11.0)
        _front(at, front)
        _limits(at, [*front, *(one for one, _, _ in marks)])
        at.set_xlabel(
            WORDS.say(
                "cost_front.draw.whole_life_years",
                currency=weighed["currency"],
                years=weighed["years"],
            ),
            loc="right",
        )
        _marked(at, marks)

    says = WORDS.say(
        "cost_front.drawn.share_days_met_full",
        years=weighed["years"],
        what="; ".join((words.replace(chr(10), ", ") for _, words, _ in marks)),
    )
    invented = (
        WORDS.say("cost_front.drawn.invented_rain_measured_nowhere") if weighed["invented"] else ""
    )
    foot = WORDS.say(
        "cost_front.drawn.dots_typical_prices_thin", rain=weighed["rain"], invented=invented
    )
    return plate(draw, title=TITLE, says=says, high_mm=HIGH_MM, foot=foot)


def _marks(weighed: Plain, front: Sequence[Plain], *, system: Show) -> list[tuple[Plain, str, str]]:
    """The present, the cheapest that reaches the goals, the dearest: each with words and ink."""
    best = (
        WORDS.say("cost_front.marks.cheapest_that_meets_goals")
        if weighed["some_meets_goals"]
        else WORDS.say("cost_front.marks.nearest_goals")
    )
    named = (
        (weighed["present"], WORDS.say("cost_front.marks.as_it_stands"), RUST),
        (weighed["cheapest"], best, INK),
    )
    varied = _varied([weighed["present"], weighed["cheapest"], *front])
    found: list[tuple[Plain, str, str]] = []
    for one, name, ink in (*named, (front[-1], WORDS.say("cost_front.marks.most_days_met"), GREY)):
        alike = [k for k, (other, _, _) in enumerate(found) if _same(one, other)]
        if alike:
            other, words, was = found[alike[0]]
            found[alike[0]] = (other, words.replace("\n", f",\n{name}\n", 1), was)
        elif one["life"]["typical"] is not None:
            found.append((one, f"{name}\n{_told(one, varied, system=system)}", ink))
    return found


def _same(one: Plain, other: Plain) -> bool:
    return all(one[key] == other[key] for key in ("count", "each_l", *BESIDE))


def _varied(shown: Sequence[Plain]) -> list[str]:
    """What differs beside the tank, among all that is shown."""
    return [name for name in BESIDE if len({one[name] for one in shown}) > 1]


def _told(one: Plain, varied: Sequence[str], *, system: Show) -> str:
    def share(name: str) -> str:
        return show(one[name], "share", system=system)

    each = show(one["each_l"], "volume", system=system)
    beside = {
        "roof_m2": WORDS.say(
            "cost_front.told.roof", roof=show(one["roof_m2"], "area", system=system)
        ),
        "fixtures": WORDS.say("cost_front.told.fixtures", what=share("fixtures")),
        "garden": WORDS.say("cost_front.told.garden", what=share("garden")),
        "rations": WORDS.say("cost_front.told.with_rations")
        if one["rations"]
        else WORDS.say("cost_front.told.no_rations"),
    }
    lines = [
        f"{one['count']} x {each}" if one["count"] > 1 else each,
        *(beside[name] for name in varied),
    ]
    return "\n".join(
        [
            *_paired(lines),
            WORDS.say(
                "cost_front.told.for",
                what=share("days_met_share"),
                typical=money(one["life"]["typical"]),
            ),
        ]
    )


def _paired(words: Sequence[str]) -> list[str]:
    """Two to a line."""
    return [", ".join(words[at : at + 2]) for at in range(0, len(words), 2)]


def _front(at: Any, front: Sequence[Plain]) -> None:
    cost = [one["life"]["typical"] for one in front]
    days = [one["days_met_share"] for one in front]
    at.hlines(
        days,
        [one["life"]["low"] for one in front],
        [one["life"]["high"] for one in front],
        color=BLUE,
        linewidth=0.3,
    )
    at.step(cost, days, where="post", color=BLUE, linewidth=0.8)
    at.plot(cost, days, "o", color=BLUE, markersize=2.6)


def _limits(at: Any, shown: Sequence[Plain]) -> None:
    """Room for every choice with its range of prices."""
    dearest = max(one["life"]["high"] for one in shown)
    shares = [one["days_met_share"] for one in shown]
    low, high = min(shares), max(shares)
    room = max(high - low, 0.02) * 0.12
    at.set_xlim(0.0, dearest * 1.04)
    at.set_ylim(max(0.0, low - room), min(1.0, high) + room)
    per_cent(at.yaxis)
    plain_numbers(at.xaxis)


def _marked(at: Any, marks: Sequence[tuple[Plain, str, str]]) -> None:
    """Each mark with its words at the right, led to by a thin line."""
    low, high = at.get_ylim()
    shares = [one["days_met_share"] for one, _, _ in marks]
    least = 0.045 * max(told.count("\n") + 2 for _, told, _ in marks)
    heights = apart(
        [(share - low) / (high - low) for share in shares], least, lowest=0.12, most=0.9
    )
    for (one, told, ink), height in zip(marks, heights, strict=True):
        cost, share = one["life"]["typical"], one["days_met_share"]
        at.plot([cost], [share], "s", color=ink, markersize=4.2, fillstyle="none", mew=1.1)
        at.annotate(
            told,
            (cost, share),
            (1.02, height),
            textcoords="axes fraction",
            va="center",
            fontsize=SMALL,
            color=ink,
            linespacing=1.2,
            arrowprops={"arrowstyle": "-", "color": ink, "linewidth": 0.5, "relpos": (0.0, 0.5)},
        )
