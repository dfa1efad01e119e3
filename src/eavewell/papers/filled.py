"""Sentences of a table with gaps for what an answer says: "{gives_l:volume} between them"."""

import re
from collections.abc import Callable, Iterator
from typing import Any

from eavewell.answers.shown import Sizes, day
from eavewell.drawings.sizes_called import bore_called
from eavewell.units import show

Plain = dict[str, Any]
GAP = re.compile(r"\{(?P<key>[\w. ]+)(?::(?P<quantity>\w+))?\}")


def filled(sentence: str, thing: Plain, *, sizes: Sizes) -> str | None:
    """The sentence with every gap filled; None where what belongs into one is unknown.

    A gap is a key of the thing, dotted into its depth, and the quantity that prints it.
    """
    words = {gap[0]: _said(gap, thing, sizes=sizes) for gap in GAP.finditer(sentence)}
    if None in words.values():
        return None
    return GAP.sub(lambda gap: str(words[gap[0]]), sentence)


def filled_as_known(sentence: str, thing: Plain, *, sizes: Sizes) -> str:
    """The same with "unknown" in the gaps that cannot be filled."""
    return GAP.sub(lambda gap: _said(gap, thing, sizes=sizes) or "unknown", sentence)


def holds(key: str, thing: Plain) -> bool:
    """Whether every key of "a b" is true of the thing; "not a" is true where a is not."""
    words = iter(key.split(", ") if key else ())
    return all(_true(word, thing) for word in words)


def needed(rows: tuple[Any, ...], found: dict[str, list[Plain]]) -> Iterator[tuple[Any, Plain]]:
    """Every row of a table with each thing of its kind for which its needs hold."""
    for row in rows:
        for thing in found[row["of"]]:
            if holds(row["needs"], thing):
                yield row, thing


def at(key: str, thing: Plain) -> Any:
    """What stands at a dotted key, a number counting in a list; None where there is nothing."""
    found: Any = thing
    for part in key.split("."):
        if isinstance(found, list) and part.isdigit() and int(part) < len(found):
            found = found[int(part)]
        else:
            found = found.get(part) if isinstance(found, dict) else None
    return found


def _true(word: str, thing: Plain) -> bool:
    if word.startswith("not "):
        return not at(word.removeprefix("not "), thing)
    key, _, wanted = word.partition("=")
    return at(key, thing) == wanted if wanted else bool(at(key, thing))


def _said(gap: re.Match[str], thing: Plain, *, sizes: Sizes) -> str | None:
    value, quantity = at(gap["key"], thing), gap["quantity"]
    if value is None or not (value or isinstance(value, int | float)):
        return None
    if isinstance(value, list):
        return ", ".join(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if quantity in PLAIN:
        return PLAIN[quantity](value)
    if quantity == "called":
        return bore_called(value, sizes.system)
    return show(value, quantity, system=sizes.system) if quantity else f"{value}"


def _seconds(value: float) -> str:
    whole = round(value)
    minutes, seconds = divmod(whole, 60)
    return f"{whole} s" if whole < 100 else f"{minutes} min {seconds:02d} s"


PLAIN: dict[str, Callable[[Any], str]] = {
    "day": day,
    "seconds": _seconds,
    "whole": lambda value: f"{value:,.0f}",
    "ratio": lambda value: f"{value:.3g}",
}
