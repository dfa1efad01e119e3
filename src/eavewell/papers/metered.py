"""What mains meters say that tanks saved, in sentences."""

from collections.abc import Iterator, Mapping
from typing import Any

from eavewell.answers.shown import count
from eavewell.answers.shown import day as day_in_words
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import show

WORDS = words("programme")
MONTHS_IN_FULL = WORDS.several("months")
Plain = Mapping[str, Any]


def metered_words(found: Plain, system: Show) -> Iterator[str]:
    """What mains meters say that a home with a tank saved, in sentences.

    found : what was metered before and after, as plain data.
    """
    how = WORDS.say("savings.weather") if found["compared"] else WORDS.say("savings.no_weather")
    months = found["months"]
    yield WORDS.say(
        "savings.metered",
        homes=found["homes"],
        saved=_saved(found["saved_l"], system),
        months=count(len(months), "month"),
        how=how,
    )
    yield WORDS.say(
        "savings.peak_metered",
        month=MONTHS_IN_FULL[found["peak_month"] - 1],
        saved=_saved(found["peak_month_saved_l"], system),
    )
    if found["peak_day_saved_l"] is not None:
        saved = _saved(found["peak_day_saved_l"], system)
        day = day_in_words(found["peak_day"])
        yield WORDS.say("savings.peak_day", day=day, saved=saved)


def _saved(litres: float, system: Show) -> str:
    """What was saved; less than nothing where more was used."""
    sign = "-" if litres < 0.0 else ""
    return sign + show(abs(litres), "volume", system=system)
