"""What a use wants on each day."""

import numpy as np

from eavewell.demand.checks import refuse_bad_use
from eavewell.demand.cooler import cooler_l
from eavewell.demand.household import household_l, people_l
from eavewell.demand.landscape import plants_l
from eavewell.demand.livestock import animals_l
from eavewell.demand.washing import washing_l
from eavewell.site.rain_record import FloatArray
from eavewell.site.use import Use
from eavewell.site.want import Animals, Cooler, Household, People, Plants, Want
from eavewell.weather.days import Days


def demand_l(use: Use, days: Days) -> FloatArray:
    """Water a use would draw on each day if it never ran short, L/day, shape (day,).

    The sum of its wants, each on its own calendar, and the leak on the way: the leak is a share
    of the water drawn, so drawn = wanted / (1 - leak share). Numbers that cannot be raise BadSite.
    """
    refuse_bad_use(use)
    wanted_l = np.zeros(days.count)
    for want in use.wants:
        wanted_l += want_l(want, days)
    return wanted_l / (1.0 - use.leak_share)


def want_l(want: Want, days: Days) -> FloatArray:
    """Water of one want on each day, without leaks, L/day, shape (day,)."""
    match want:
        case People():
            return people_l(want, days)
        case Household():
            return household_l(want, days)
        case Animals():
            return animals_l(want, days)
        case Plants():
            return plants_l(want, days)
        case Cooler():
            return cooler_l(want, days)
        case _:
            return washing_l(want, days)
