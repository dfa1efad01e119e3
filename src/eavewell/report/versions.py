"""Versions of a site side by side: each result in words, and which of them does better."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import isclose
from typing import Any

from eavewell.answers.shown import Sizes, count, listed, spell
from eavewell.report.cost import money
from eavewell.units import read

Plain = Mapping[str, Any]
_UNKNOWN = "-"


@dataclass(frozen=True, slots=True)
class Result:
    """One line of results.

    sign  : 1 where more is better, -1 where less is, 0 where neither.
    value : of an answer, to compare by; None unknown. words : as it is shown.
    money : True where it can be compared in one currency and one length of life alone.
    """

    key: str
    label: str
    sign: int
    value: Callable[[Plain], float | None]
    words: Callable[[Plain, Sizes], str]
    money: bool = False


def side_by_side(columns: Sequence[tuple[str, Plain | None]], sizes: Sizes) -> list[dict[str, Any]]:
    """Every result of every version, in SI units and in words, and the better one told.

    columns : what each version is called, and its answer; None where it cannot be designed.
    """
    alike = _alike_money([answer for _, answer in columns if answer])
    return [_line(one, columns, sizes=sizes, alike=alike) for one in _results(columns, sizes)]


def _line(
    result: Result, columns: Sequence[tuple[str, Plain | None]], *, sizes: Sizes, alike: bool
) -> dict[str, Any]:
    values = [None if answer is None else result.value(answer) for _, answer in columns]
    words = ["" if answer is None else result.words(answer, sizes) for _, answer in columns]
    best = _best(values, words, sign=result.sign if alike or not result.money else 0)
    told = [value for value in values if value is not None]
    return {
        "result": result.key,
        "label": result.label,
        "values": values,
        "words": words,
        "best": best,
        "says": _says([columns[at][0] for at in best], result, alike=alike)
        if best and len(told) > 1
        else "alike"
        if len(told) > 1 and len(set(words)) == 1
        else "",
    }


def _best(values: Sequence[float | None], words: Sequence[str], *, sign: int) -> list[int]:
    """Which do best, those that read the same among them; none where all read the same."""
    told = [sign * value for value in values if value is not None]
    if not sign or len(told) < 2:
        return []
    top = max(told)
    best = {
        words[at]
        for at, value in enumerate(values)
        if value is not None and isclose(sign * value, top, rel_tol=1e-9, abs_tol=1e-12)
    }
    found = [at for at, value in enumerate(values) if value is not None and words[at] in best]
    return [] if len(found) == len(told) else found


def _says(names: Sequence[str], result: Result, *, alike: bool) -> str:
    return f"{'most' if result.sign > 0 else 'least'}: {listed(names)}" if names else ""


def _alike_money(answers: Sequence[Plain]) -> bool:
    return len({(one["cost"]["currency"], one["cost"]["life"]["years"]) for one in answers}) < 2


def _results(columns: Sequence[tuple[str, Plain | None]], sizes: Sizes) -> tuple[Result, ...]:
    answers = [answer for _, answer in columns if answer]
    years = sorted({one["cost"]["life"]["years"] for one in answers})
    over = f"{' or '.join(map(str, years))} years" if years else "its life"
    volume = "1,000 gal" if sizes.system == "us" else "m3"
    return (
        Result("rain", "Rain", 0, lambda answer: None, _rain_words),
        _share("supplied_share", "Water supplied", sign=1),
        _share("days_met_share", "Days met", sign=1),
        Result("longest_short_days", "Longest run of short days", -1, _longest, _longest_words),
        Result("worst_spell", "Worst spell", -1, _worst, _worst_words),
        Result("loads_per_year", "Hauled loads a year", -1, _loads, _loads_words),
        _share("spilled_share", "Water spilled", sign=-1),
        Result("smallest", "Smallest size that reaches the goals", 0, _smallest, _smallest_words),
        _found("stop", "Findings that stop"),
        _found("fix", "Findings to fix"),
        _band("first", "To have it", band=lambda one: one["first"]),
        _band("life", f"Over {over}", band=lambda one: one["life"]["present"]),
        _band("per_m3", f"For each {volume} of rain used", band=lambda one: one["per_m3"]),
    )


def _share(key: str, label: str, *, sign: int) -> Result:
    return Result(
        key,
        label,
        sign,
        lambda answer: float(answer["storage"][key]),
        lambda answer, sizes: sizes.share(answer["storage"][key]),
    )


def _found(level: str, label: str) -> Result:
    def number(answer: Plain) -> int:
        return sum(one["level"] == level for one in answer["findings"])

    return Result(level, label, -1, number, lambda answer, sizes: f"{number(answer)}")


def _band(key: str, label: str, *, band: Callable[[Plain], Plain]) -> Result:
    def words(answer: Plain, sizes: Sizes) -> str:
        found, per = band(answer["cost"]), key == "per_m3"
        if found["typical"] is None:
            return _UNKNOWN
        times = read("1,000 gal", "volume") / 1000.0 if per and sizes.system == "us" else 1.0
        ends = [found[end] * times for end in ("low", "typical", "high")]
        told = [f"{end:,.2f}" if per else money(end) for end in ends]
        return f"{' - '.join(told)} {answer['cost']['currency']}"

    return Result(key, label, -1, lambda one: band(one["cost"])["typical"], words, money=True)


def _rain_words(answer: Plain, sizes: Sizes) -> str:
    rain = answer["rain"]
    invented = rain["invented"] and "invented" not in rain["name"]
    name = f"{rain['name']}, invented" if invented else rain["name"]
    return f"{name}, {spell(rain['from'], rain['to'])}"


def _longest(answer: Plain) -> float:
    return float(answer["storage"]["longest_short_days"])


def _longest_words(answer: Plain, sizes: Sizes) -> str:
    days, longest = answer["storage"]["longest_short_days"], answer["storage"]["longest_short"]
    if longest["from"] is None:
        return "none"
    return f"{count(days, 'day')}, {spell(longest['from'], longest['to'])}"


def _worst(answer: Plain) -> float:
    return float(answer["storage"]["worst_short"]["missing_l"])


def _worst_words(answer: Plain, sizes: Sizes) -> str:
    worst = answer["storage"]["worst_short"]
    if worst["from"] is None:
        return "none"
    return f"{sizes.volume(worst['missing_l'])} missing, {spell(worst['from'], worst['to'])}"


def _loads(answer: Plain) -> float:
    return float(answer["storage"]["loads_per_year"])


def _loads_words(answer: Plain, sizes: Sizes) -> str:
    storage = answer["storage"]
    if not storage["loads_per_year"]:
        return "none"
    return f"{storage['loads_per_year']:.2g}, {storage['loads_in_worst_year']} in the worst"


def _smallest(answer: Plain) -> float | None:
    smallest: float | None = answer["sizing"]["smallest_l"]
    return smallest


def _smallest_words(answer: Plain, sizes: Sizes) -> str:
    smallest = answer["sizing"]["smallest_l"]
    return "no size does" if smallest is None else f"{sizes.volume(smallest)} usable"
