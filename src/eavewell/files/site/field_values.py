"""One value of the site file, read as its field says: quantities, words, lists and dates."""

import difflib
import math
import re
from collections.abc import Callable, Mapping
from datetime import date, time
from itertools import combinations, pairwise
from types import MappingProxyType
from typing import Any

from eavewell.faults import BadQuantity
from eavewell.files.money_texts import read_money, read_money_per_m3
from eavewell.files.site.fields import Field
from eavewell.files.site.slope import read_slope
from eavewell.site.money import Amount
from eavewell.site.reserve import Reserve
from eavewell.tables import table
from eavewell.units import quantities, read, show

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_LONGEST_TEXT = 200
_LEAP_YEAR = 2000  # a month and day is kept as a date of a year that has 29 February


def value_of(raw: object, field: Field) -> Any:
    """Read one value as its field says.

    Raises BadQuantity with one sentence.
    """
    if field.quantity in quantities():
        value = read(raw, field.quantity)
        _within(value, field, raw=raw)
        return value
    return _KINDS[field.quantity](raw, field)


def near(word: str, known: tuple[str, ...]) -> str:
    """A hint at the nearest known word, or the list of them."""
    close = difflib.get_close_matches(word, known, n=1, cutoff=0.6)
    if close:
        return f"did you mean '{close[0]}'?"
    return f"it must be one of: {', '.join(known)}." if known else "there is none."


def written(raw: object) -> str:
    """What stands in the file, short enough for a sentence."""
    if isinstance(raw, bool):
        return "true" if raw else "false"
    text = f"'{raw}'" if isinstance(raw, str) else str(raw)
    return text if len(text) <= 60 else text[:60] + "..."


def _within(value: float, field: Field, *, raw: object) -> None:
    unit = field.quantity in quantities()
    for limit, wrong, word in (
        (field.low, field.low is not None and value < field.low, "small: at least"),
        (field.high, field.high is not None and value > field.high, "large: at most"),
    ):
        if wrong and limit is not None:
            shown = _both(limit, field.quantity) if unit else f"{limit:g}"
            raise BadQuantity(f"{written(raw)} is too {word} {shown} can be right.")


def _both(value: float, quantity: str) -> str:
    us, metric = show(value, quantity, system="us"), show(value, quantity, system="metric")
    return us if us == metric else f"{us} ({metric})"


def _text(raw: object, field: Field) -> str:
    if not isinstance(raw, str) or not raw.strip():
        raise BadQuantity(f"{written(raw)} is not a word or a text: put it in quotation marks.")
    if len(raw) > _LONGEST_TEXT or not raw.isprintable():
        raise BadQuantity(f"{written(raw)} must be one line of at most {_LONGEST_TEXT} letters.")
    return raw.strip()


def _choice(raw: object, field: Field) -> str:
    word = _text(raw, field)
    if field.choices and word not in field.choices:
        raise BadQuantity(f"{written(raw)} is not known: {near(word, field.choices)}")
    return word


def _number(raw: object, field: Field) -> float:
    if isinstance(raw, bool) or not isinstance(raw, (int, float)):
        raise BadQuantity(f"{written(raw)} must be a bare number, without quotation marks.")
    try:
        value = float(raw)
    except OverflowError:
        value = math.inf
    if not math.isfinite(value):
        raise BadQuantity(f"{written(raw)} is not a number one can count with.")
    _within(value, field, raw=raw)
    return value


def _count(raw: object, field: Field) -> int:
    value = _number(raw, field)
    if value != int(value):
        raise BadQuantity(f"{written(raw)} must be a whole number.")
    return int(value)


def _yes_or_no(raw: object, field: Field) -> bool:
    if not isinstance(raw, bool):
        raise BadQuantity(f"{written(raw)} must be true or false.")
    return raw


def _items(raw: object, what: str) -> list[Any]:
    if not isinstance(raw, list) or not raw:
        raise BadQuantity(f"{written(raw)} must be a list, such as {what}.")
    return raw


def _pairs(raw: object, what: str) -> list[list[Any]]:
    items = _items(raw, what)
    if not all(isinstance(pair, list) and len(pair) == 2 for pair in items):
        raise BadQuantity(f"{written(raw)} must be a list of pairs, such as {what}.")
    return items


def _month_day(raw: object, field: Field) -> date:
    if isinstance(raw, date):
        return date(_LEAP_YEAR, raw.month, raw.day)
    found = (
        re.fullmatch(r"([0-9]{1,2})-([0-9]{1,2})", raw.strip()) if isinstance(raw, str) else None
    )
    try:
        return date(_LEAP_YEAR, int(found[1]), int(found[2]))  # type: ignore[index]
    except (TypeError, ValueError):
        raise BadQuantity(f"{written(raw)} is not a month and day such as '05-15'.") from None


def _day(raw: object) -> date:
    try:
        if isinstance(raw, date):
            return date(raw.year, raw.month, raw.day)
        return date.fromisoformat(str(raw))
    except ValueError:
        raise BadQuantity(f"{written(raw)} is not a date such as 2027-07-01.") from None


def _date(raw: object, field: Field) -> date:
    return _day(raw)


def _months(raw: object, field: Field) -> frozenset[int]:
    months = _items(raw, "[6, 7, 8]")
    if not all(type(month) is int and 1 <= month <= 12 for month in months):
        raise BadQuantity(f"{written(raw)} must be months by number, 1 to 12.")
    return frozenset(months)


def _weekdays(raw: object, field: Field) -> frozenset[int]:
    found = set()
    for word in _items(raw, '["Sat", "Sun"]'):
        matches = [
            number
            for number, name in enumerate(WEEKDAYS)
            if isinstance(word, str) and len(word) >= 3 and name.startswith(word.lower())
        ]
        if len(matches) != 1:
            raise BadQuantity(f'{written(word)} is not a weekday such as "Sat".')
        found.add(matches[0])
    return frozenset(found)


def _seasons(raw: object, field: Field) -> tuple[tuple[tuple[int, int], ...], ...]:
    pairs = _pairs(raw, '[["05-15", "09-30"]]')
    dated = [[_month_day(end, field) for end in pair] for pair in pairs]
    return tuple(tuple((end.month, end.day) for end in pair) for pair in dated)


def _dates(raw: object, field: Field) -> tuple[tuple[date, ...], ...]:
    spans = tuple(
        tuple(_day(end) for end in pair) for pair in _pairs(raw, "[[2027-07-01, 2027-07-14]]")
    )
    for first, last in spans:
        if last < first:
            raise BadQuantity(f"{first} to {last} runs backwards: the earlier date comes first.")
    return spans


def _names(raw: object, field: Field) -> tuple[str, ...]:
    names = tuple(_text(name, field) for name in _items(raw, '["main"]'))
    if len(set(names)) != len(names):
        raise BadQuantity(f"{written(raw)} names one thing twice.")
    return names


def _factors(raw: object, field: Field) -> tuple[float, ...]:
    if not isinstance(raw, list):
        return (_number(raw, field),) * 12
    if len(raw) != 12:
        raise BadQuantity(f"{len(raw)} factors are given: write one, or twelve from January.")
    return tuple(_number(factor, field) for factor in raw)


def _volume_or_share(raw: object, field: Field) -> Reserve:
    text = str(raw)
    if isinstance(raw, float) or "%" in text or "per" in text.lower():
        return Reserve(share=read(raw, "share"))
    return Reserve(volume_l=read(raw, "volume"))


def _corners(raw: object, field: Field) -> tuple[tuple[float, float], ...]:
    pairs = _pairs(raw, "[[0, 0], [62, 0], [62, 44], [0, 44]]")
    return tuple((_number(x, field), _number(y, field)) for x, y in pairs)


def _strapping(raw: object, field: Field) -> tuple[tuple[float, float], ...]:
    pairs = _pairs(raw, '[["0 ft", "0 gal"], ["1 ft", "375 gal"]]')
    table = tuple((read(depth, "length"), read(volume, "volume")) for depth, volume in pairs)
    rising = all(a < b for one, other in pairwise(table) for a, b in zip(one, other, strict=True))
    if len(table) < 2 or not rising:
        raise BadQuantity("depth and volume of the measured table must both rise from row to row.")
    if table[0] != (0.0, 0.0):
        raise BadQuantity("the measured table must begin with the empty tank: no depth, no volume.")
    return table


def _curve(raw: object, field: Field) -> tuple[tuple[float, float], ...]:
    pairs = _pairs(raw, '[["0 gal/min", "24 ft"], ["20 gal/min", "15 ft"]]')
    points = tuple((read(flow, "flow"), read(head, "pressure")) for flow, head in pairs)
    falls = all(a[0] < b[0] and a[1] > b[1] for a, b in pairwise(points))
    if len(points) < 2 or points[0][0] != 0.0 or not falls:
        raise BadQuantity(
            "a pump's curve begins at no flow; from point to point the flow rises and the head "
            "falls."
        )
    return points


def _levels(raw: object, field: Field) -> tuple[float, ...]:
    return tuple(read(level, "level") for level in _items(raw, '["0 ft", "1 in"]'))


def _fittings(raw: object, field: Field) -> tuple[tuple[str, int], ...]:
    known = tuple(table("fittings"))
    if not isinstance(raw, dict):
        raise BadQuantity(f'{written(raw)} must be counts by name, such as {{ "90 elbow" = 3 }}.')
    for name, count in raw.items():
        if name not in known:
            raise BadQuantity(f"there is no fitting {written(name)}: {near(name, known)}")
        if type(count) is not int or not 0 <= count <= 10_000:
            raise BadQuantity(f"{written(count)} is no number of fittings.")
    return tuple(raw.items())


def _distances(raw: object, field: Field) -> tuple[tuple[str, float], ...]:
    if not isinstance(raw, dict) or not raw:
        raise BadQuantity(
            f'{written(raw)} must be distances by name, such as {{ "property line" = "12 ft" }}.'
        )
    return tuple((_text(name, field), read(far, "length")) for name, far in raw.items())


def _each(quantity: str, example: str) -> Callable[[object, Field], tuple[float, ...]]:
    """Reads a list of sizes, each with its unit; the same one twice counts once."""

    def read_list(raw: object, field: Field) -> tuple[float, ...]:
        return tuple(dict.fromkeys(read(one, quantity) for one in _items(raw, example)))

    return read_list


def _counts(raw: object, field: Field) -> tuple[int, ...]:
    return tuple(dict.fromkeys(_count(one, field) for one in _items(raw, "[1, 2, 4]")))


def _clock(raw: object, field: Field) -> float:
    """A time of day in hours."""
    if isinstance(raw, time):
        return raw.hour + raw.minute / 60.0
    found = re.fullmatch(r"([01]?[0-9]|2[0-3])[:.h]([0-5][0-9])", str(raw).strip())
    if not found:
        raise BadQuantity(f"{written(raw)} is not a time of day such as '7:30' or '19:30'.")
    return int(found[1]) + int(found[2]) / 60.0


def _figure(raw: object, field: Field) -> str | float:
    """A figure as it stands: its unit depends on the gauge."""
    return raw if type(raw) in (int, float) else _text(raw, field)  # type: ignore[return-value]


def _known_levels(raw: object, field: Field) -> tuple[tuple[float, float], ...]:
    pairs = _pairs(raw, '[[412, "6 ft"], [1630, "2 ft"]]')
    known = tuple((_number(said, field), read(level, "length")) for said, level in pairs)
    if any(a[0] == b[0] for a, b in combinations(known, 2)):
        raise BadQuantity("each of the known levels needs a figure of its own.")
    ordered = [level for _, level in sorted(known)]
    rises = [b > a for a, b in pairwise(ordered)]
    if (any(rises) and not all(rises)) or len(set(ordered)) < len(ordered):
        raise BadQuantity("the known levels must all rise with the figure, or all fall with it.")
    return known


def _result(raw: object, field: Field) -> str | float:
    """What a laboratory wrote, kept as it stands: its unit depends on the test."""
    return raw if type(raw) in (int, float) else _text(raw, field)  # type: ignore[return-value]


def _slope(raw: object, field: Field) -> float:
    """Rise over run."""
    return read_slope(_text(raw, field))


def _money(raw: object, field: Field) -> Amount:
    return read_money(raw)


def _money_per_volume(raw: object, field: Field) -> Amount:
    return read_money_per_m3(raw)


_KINDS: Mapping[str, Callable[[object, Field], Any]] = MappingProxyType(
    {
        "text": _text,
        "choice": _choice,
        "number": _number,
        "count": _count,
        "yes or no": _yes_or_no,
        "month day": _month_day,
        "months": _months,
        "weekdays": _weekdays,
        "seasons": _seasons,
        "dates": _dates,
        "date": _date,
        "names": _names,
        "factors": _factors,
        "volume or share": _volume_or_share,
        "corners": _corners,
        "strapping": _strapping,
        "curve": _curve,
        "levels": _levels,
        "fittings": _fittings,
        "distances": _distances,
        "volumes": _each("volume", '["1,500 gal", "2,600 gal"]'),
        "areas": _each("area", '["2,700 ft2", "3,600 ft2"]'),
        "shares": _each("share", '["80 %", "60 %"]'),
        "counts": _counts,
        "result": _result,
        "clock": _clock,
        "slope": _slope,
        "figure": _figure,
        "known levels": _known_levels,
        "money": _money,
        "money per volume": _money_per_volume,
    }
)
