"""Text with a unit <-> a number in our internal unit; nothing else converts.

Units and factors are rows of tables/units.csv, quantities rows of tables/quantities.csv.
Arithmetic is exact (fractions) until the last step, so "2.5 kL" is 2500.0 and nothing near it.
"""

import csv
import difflib
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from importlib.resources import files
from typing import Literal

from eavewell.faults import BadQuantity

System = Literal["us", "metric"]

_LONGEST = 60
_DIGITS = r"[0-9]{1,15}"
_WHOLE = r"[0-9]{1,3}(?:,[0-9]{3}){1,4}(?![0-9])|" + _DIGITS
_NUMBER = re.compile(
    rf"(?P<sign>[-+]?)(?:(?:(?P<whole>{_DIGITS})[ -])?(?P<over>{_DIGITS})/(?P<under>{_DIGITS})"
    rf"|(?P<decimal>(?:{_WHOLE})(?:\.[0-9]{{1,15}})?|\.[0-9]{{1,15}}))"
)
_NEXT_TERM = re.compile(r"(?<=[A-Za-z.]) +(?=[0-9.])|(?<=['\"]) *(?=[0-9.])")
_TIMES = re.compile(r" ?[x*] ?(?=[0-9.])| by (?=[0-9.])")
_ADDS_UP = ("length", "weight", "duration")  # "9 ft 6 in", "10 lb 4 oz", "1 h 30 min"
_WRITTEN = str.maketrans(
    dict.fromkeys("\u00a0\u2007\u2009\u202f\t", " ")
    | dict.fromkeys("\u2212\u2010\u2011\u2013", "-")
    | {"\u2032": "'", "\u2019": "'", "\u2033": '"', "\u201d": '"', "\u00d7": "x"}
    | {"\u00b2": "^2", "\u00b3": "^3", "\u2044": "/"}
    | {"\u00bd": " 1/2", "\u00bc": " 1/4", "\u00be": " 3/4"}
)


@dataclass(frozen=True, slots=True)
class Unit:
    """One row of tables/units.csv: internal base = factor x value + offset."""

    dimension: str
    name: str
    aliases: tuple[str, ...]
    factor: Fraction
    offset: Fraction


@dataclass(frozen=True, slots=True)
class Quantity:
    """One row of tables/quantities.csv.

    internal   : the unit we compute in; "" for a share.
    low, high  : limits in the internal unit; None for none.
    us, metric : units printed; the steps are the finest rounding, in those units.
    """

    name: str
    dimension: str
    internal: str
    low: float | None
    high: float | None
    us: str
    us_step: float
    metric: str
    metric_step: float
    example_us: str
    example_metric: str

    @property
    def example(self) -> str:
        """How to write one, in both systems."""
        if self.example_us == self.example_metric:
            return f"'{self.example_us}'"
        return f"'{self.example_us}' or '{self.example_metric}'"


def read(text: object, quantity: str) -> float:
    """Read text with a unit as a number in our unit of a quantity of tables/quantities.csv.

    Raises BadQuantity with a sentence for anything that is not plainly one such size.

    >>> read("9 ft 6 in", "length")
    2.8956
    """
    return _read_before(text, quantity) if isinstance(text, str) else _read(text, quantity)


def _read(text: object, quantity: str) -> float:
    asked = quantities()[quantity]
    clean = _tidy(text, asked)
    value = _product(clean, asked) if asked.name == "area" else None
    value = _sum(clean, asked) if value is None else value
    return _within(_from_base(value, asked), clean, asked=asked)


_read_before = lru_cache(maxsize=4096)(_read)


def sides(text: object) -> tuple[float, float] | None:
    """The two lengths in m of an area written as a product; None for one written as a number.

    >>> sides("62 ft x 44 ft")
    (18.8976, 13.4112)
    """
    parts = _TIMES.split(_tidy(text, quantities()["area"]))
    if len(parts) != 2:
        return None
    return read(parts[0], "length"), read(parts[1], "length")


def show(
    value: float, quantity: str, *, system: System = "us", figures: int = 3, unit: str = ""
) -> str:
    """Print a number in the internal unit as a person would write it.

    system  : "us" or "metric".
    figures : significant figures kept.
    unit    : a unit name in tables/units.csv that is used instead of the usual one.

    >>> show(2.8956, "length", system="us")
    '9 ft 6 in'
    """
    asked = quantities()[quantity]
    if not math.isfinite(value):
        return "unknown" if math.isnan(value) else "no limit"
    chosen = unit or _usual_unit(value, asked, system=system)
    step = 0.0 if unit else asked.us_step if system == "us" else asked.metric_step
    if chosen == "ft" and not unit:
        return _feet_and_inches(value, asked, figures=figures)
    if asked.name == "share" and 0.999 < value < 1.0:
        value = 0.999  # what is not the whole is never printed as 100 %
    number = _rounded(convert(value, quantity, unit=chosen), figures, step=step)
    return f"{number} {_named(chosen, number)}"


def convert(value: float, quantity: str, *, unit: str) -> float:
    """A number in the internal unit of a quantity, in another unit of tables/units.csv."""
    asked = quantities()[quantity]
    inside, outside = _internal(asked), _unit(asked.dimension, unit)
    base = value * float(inside.factor) + float(inside.offset)
    return (base - float(outside.offset)) / float(outside.factor)


@cache
def units() -> tuple[Unit, ...]:
    """Every unit that may be written."""
    return tuple(
        Unit(
            row["dimension"],
            row["unit"],
            tuple(part for part in row["aliases"].split("|") if part),
            _ratio(row["factor"]),
            _ratio(row["offset"]),
        )
        for row in _csv("units")
    )


@cache
def quantities() -> Mapping[str, Quantity]:
    """Every quantity by its name."""
    return {row["quantity"]: _quantity(row) for row in _csv("quantities")}


def _quantity(row: Mapping[str, str]) -> Quantity:
    return Quantity(
        name=row["quantity"],
        dimension=row["dimension"],
        internal=row["internal"],
        low=float(row["low"]) if row["low"] else None,
        high=float(row["high"]) if row["high"] else None,
        us=row["us"],
        us_step=float(row["us_step"]),
        metric=row["metric"],
        metric_step=float(row["metric_step"]),
        example_us=row["example_us"],
        example_metric=row["example_metric"],
    )


def _csv(name: str) -> list[dict[str, str]]:
    # tables/ stands below units in the import order, so the file is opened here and not there
    text = files("eavewell").joinpath("tables", f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def _ratio(text: str) -> Fraction:
    over, _, under = text.partition(" / ")
    return Fraction(over) / Fraction(under or "1")


def _tidy(text: object, asked: Quantity) -> str:
    if text is None or (isinstance(text, str) and not text.strip()):
        raise BadQuantity(f"nothing is given: write {asked.example}.")
    if isinstance(text, (int, float)) and not isinstance(text, bool):
        text = repr(text)
    if not isinstance(text, str):
        raise BadQuantity(f"{_short(str(text))} is not text with a unit: write {asked.example}.")
    clean = re.sub(r" +", " ", text.translate(_WRITTEN)).strip()
    if len(clean) > _LONGEST:
        raise BadQuantity(f"{_short(clean)} is too long for one size: write {asked.example}.")
    return clean


def _product(clean: str, asked: Quantity) -> Fraction | None:
    sides = _TIMES.split(clean)
    if len(sides) == 1:
        return None
    if len(sides) != 2:
        raise BadQuantity(f"'{clean}' has {len(sides)} sides: an area is length x width.")
    if any(_NUMBER.fullmatch(side.strip()) for side in sides):
        raise BadQuantity(f"'{clean}' needs a unit on both sides: write '62 ft x 44 ft'.")
    length = quantities()["length"]
    first, second = (
        _within(_from_base(_sum(side, length), length), side, asked=length) for side in sides
    )
    return Fraction(first) * Fraction(second)


def _sum(clean: str, asked: Quantity) -> Fraction:
    terms = _NEXT_TERM.split(clean.strip()) if asked.dimension in _ADDS_UP else [clean.strip()]
    total, sign, last = Fraction(0), 1, None
    for term in terms:
        number, unit = _term(term, asked)
        if last is not None and (number < 0 or number * unit.factor >= last):
            raise BadQuantity(
                f"'{clean}' does not add up: the larger unit first, then less than one of it, "
                f"such as {asked.example}."
            )
        sign = -1 if last is None and term.startswith("-") else sign
        total += sign * abs(number) * unit.factor + unit.offset
        last = unit.factor
    return total


def _term(term: str, asked: Quantity) -> tuple[Fraction, Unit]:
    found = _NUMBER.match(term)
    if found is None:
        raise BadQuantity(_no_number(term, asked))
    rest = term[found.end() :].strip()
    if re.match(r"[,.'0-9]", rest) and not re.match(r"'$", rest):
        raise BadQuantity(_odd_number(term, asked))
    return _number(found, term, asked=asked), _find(rest, term, asked=asked)


def _number(found: re.Match[str], term: str, *, asked: Quantity) -> Fraction:
    sign = -1 if found["sign"] == "-" else 1
    if found["decimal"] is not None:
        return sign * Fraction(found["decimal"].replace(",", ""))
    if int(found["under"]) == 0:
        raise BadQuantity(f"'{term}' divides by nothing: write {asked.example}.")
    return sign * (int(found["whole"] or 0) + Fraction(int(found["over"]), int(found["under"])))


def _find(written: str, term: str, *, asked: Quantity) -> Unit:
    if not written and asked.internal == "":
        return Unit(asked.dimension, "", (), Fraction(1), Fraction(0))
    if not written:
        raise BadQuantity(f"{term} has no unit: write {asked.example}.")
    key = _plain(written)
    matches = _names().get(key) or _names_any_case().get(key.casefold(), ())
    for unit in matches:
        if unit.dimension == asked.dimension:
            return unit
    raise BadQuantity(_wrong_unit(written, term, matches=matches, asked=asked))


def _wrong_unit(written: str, term: str, *, matches: tuple[Unit, ...], asked: Quantity) -> str:
    if matches:
        return (
            f"'{term}' is {_a(matches[0].dimension)}; {_a(asked.dimension)} is needed here, "
            f"such as {asked.example}."
        )
    near = _near(_plain(written), asked)
    hint = f"did you mean {near}? Such as" if near else "write"
    return f"'{term}': the unit '{written}' is not known; {hint} {asked.example}."


def _near(written: str, asked: Quantity) -> str:
    ours = [name for name, known in _names().items() if known[0].dimension == asked.dimension]
    same = [name for name in ours if name.casefold() == written.casefold()]
    near = same or difflib.get_close_matches(written, ours, n=1, cutoff=0.65)
    return " or ".join(f"'{name}'" for name in near)


def _no_number(term: str, asked: Quantity) -> str:
    if re.search(r"[0-9]", term):
        return f"'{term}': write the number first, then the unit, such as {asked.example}."
    return f"'{_short(term)}' has no number: write {asked.example}."


def _odd_number(term: str, asked: Quantity) -> str:
    return (
        f"'{term}' can be read in more than one way: a point marks decimals ('10.5'), a comma "
        f"goes only before three figures ('10,500'), and no space stands inside a number; "
        f"write {asked.example}."
    )


def _within(value: float, clean: str, *, asked: Quantity) -> float:
    if asked.low is not None and value < asked.low:
        if asked.low == 0:
            raise BadQuantity(f"'{clean}' is negative: {_a(asked.dimension)} is never below zero.")
        raise BadQuantity(f"'{clean}' is colder than anything can be.")
    if asked.high is not None and value > asked.high:
        raise BadQuantity(f"'{clean}' is more than the whole: write {asked.example}.")
    return value


def _from_base(value: Fraction, asked: Quantity) -> float:
    inside = _internal(asked)
    return float((value - inside.offset) / inside.factor)


def _internal(asked: Quantity) -> Unit:
    if not asked.internal:
        return Unit(asked.dimension, "", (), Fraction(1), Fraction(0))
    return _unit(asked.dimension, asked.internal)


@cache
def _unit(dimension: str, name: str) -> Unit:
    return next(unit for unit in units() if (unit.dimension, unit.name) == (dimension, name))


@cache
def _names() -> Mapping[str, tuple[Unit, ...]]:
    found: dict[str, tuple[Unit, ...]] = {}
    for unit in units():
        for name in (unit.name, *unit.aliases):
            found[_plain(name)] = (*found.get(_plain(name), ()), unit)
    return found


@cache
def _names_any_case() -> Mapping[str, tuple[Unit, ...]]:
    # "mL" and "ML" differ by case alone: such a name is left out, so that it must be written right
    found: dict[str, tuple[Unit, ...]] = {}
    for name, known in _names().items():
        found[name.casefold()] = (*found.get(name.casefold(), ()), *known)
    return {
        name: known
        for name, known in found.items()
        if len({(unit.dimension, unit.factor) for unit in known})
        == len({unit.dimension for unit in known})
    }


def _plain(written: str) -> str:
    text = re.sub(r"(?<=[A-Za-z])\.", "", written).replace("^", "")
    text = re.sub(r" per (?!cent)", "/", text)
    return re.sub(r" ?([/-]) ?", r"\1", text).strip()


def _usual_unit(value: float, asked: Quantity, *, system: System) -> str:
    if system == "us":
        return "in" if asked.us == "ft" and abs(value) < 0.3048 and value else asked.us
    # ten thousand litres and more are easier to picture as cubic metres
    if asked.metric == "L" and abs(value) >= 10_000:
        return "m3"
    return asked.metric


def _feet_and_inches(value: float, asked: Quantity, *, figures: int) -> str:
    inches = round(convert(abs(value), asked.name, unit="in"))
    feet, rest = divmod(inches, 12)
    sign = "-" if value < 0 and inches else ""
    if feet >= 100:
        return f"{sign}{_rounded(inches / 12, figures, step=1)} ft"
    return f"{sign}{feet} ft {rest} in" if rest else f"{sign}{feet} ft"


def _rounded(value: float, figures: int, *, step: float) -> str:
    if value == 0:
        return "0"
    finest = max(step, 10.0 ** (math.floor(math.log10(abs(value))) + 1 - figures))
    decimals = max(0, -math.floor(math.log10(finest) + 1e-9))
    text = f"{round(value / finest) * finest:,.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def _named(unit: str, number: str) -> str:
    return "days" if unit == "day" and number != "1" else unit


def _a(word: str) -> str:
    return f"{'an' if word[0] in 'aeiou' else 'a'} {word}"


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST else text[:_LONGEST] + "..."
