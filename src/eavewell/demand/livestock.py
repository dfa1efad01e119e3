"""Herds, flocks, pets and wild visitors."""

import numpy as np

from eavewell.demand.calendar import present
from eavewell.demand.drinking import drinking_table
from eavewell.site.rain_record import FloatArray
from eavewell.site.want import Animals
from eavewell.weather.days import Days


def animals_l(want: Animals, days: Days) -> FloatArray:
    """Water that animals drink on each day, shape (day,).

    A measured figure rules. Else tables/animals.csv, along straight lines in weight, milk and
    the day's mean temperature, so that they drink more on the hot days on which rain fails;
    beyond the table's range its edge holds, and nothing is read past it. A record without
    temperatures takes the table's middle column; `assumptions` says all of this of a use.
    """
    here = present(want.calendar, days.dates)
    if want.each_l_day is not None:
        return np.where(here, want.head * want.each_l_day, 0.0)
    drinking = drinking_table(want.species)
    by_temperature_l = drinking.at(want.weight_kg, want.milk_kg_day)
    if not drinking.knows_temperature:
        return np.where(here, want.head * by_temperature_l[0], 0.0)
    warmth_c = mean_temperature_c(days)
    air_c = drinking.middle_temperature_c if warmth_c is None else warmth_c
    each_l = np.interp(air_c, drinking.temperatures_c, by_temperature_l)
    return np.where(here, want.head * each_l, 0.0)


def mean_temperature_c(days: Days) -> FloatArray | None:
    """Mean of each day's warmest and coldest, shape (day,); None without temperatures."""
    if days.tmax_c is None or days.tmin_c is None:
        return None
    return (days.tmax_c + days.tmin_c) / 2.0
