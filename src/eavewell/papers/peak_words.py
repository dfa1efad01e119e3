"""What the tanks of many roofs give in the month that asks most of them, in words."""

from collections.abc import Iterator, Mapping
from typing import Any

from eavewell.papers.metered import MONTHS_IN_FULL
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import show

WORDS = words("programme")
# less is told as nothing
SOME_L = 1.0


def peak_words(peak: Mapping[str, Any] | None, *, system: Show, unit: str) -> Iterator[str]:
    """The peak of a programme; nothing where none is known.

    unit : of the water of all roofs; "" for the usual one.
    """
    if peak is None or not peak["wanted_l"]:
        return
    month = MONTHS_IN_FULL[peak["month"] - 1]
    given = show(peak["supplied_l"], "volume", system=system, unit=unit)
    share = show(peak["supplied_l"] / peak["wanted_l"], "share")
    if peak["alike"]:
        yield WORDS.say("savings.peak_alike", month=month, given=given, share=share)
    else:
        yield WORDS.say("savings.peak", month=month, given=given, share=share)
    if peak["sure_l_day"] >= SOME_L:
        yield WORDS.say("savings.sure", sure=show(peak["sure_l_day"], "volume", system=system))
    else:
        yield WORDS.say("savings.unsure")
    if peak["records"] == peak["of"]:
        yield WORDS.say("savings.how")
    else:
        yield WORDS.say("savings.how_most", records=peak["records"], of=peak["of"])
