"""Temperatures whose unit the file does not say, told apart by what air can be."""

import numpy as np

from eavewell.site.rain_record import FloatArray
from eavewell.tables import table
from eavewell.units import read


def is_fahrenheit(values: FloatArray) -> bool:
    """True where temperatures of a year are too warm for C and too cold for tenths of C."""
    warmest = _warmest(values)
    limits = table("rain_limits")
    return limits["warmest_air_c"].value < warmest <= limits["warmest_air_f"].value


def is_tenths(values: FloatArray) -> bool:
    """True where temperatures are too warm for any unit but tenths of C."""
    return _warmest(values) > table("rain_limits")["warmest_air_f"].value


def celsius(values: FloatArray) -> FloatArray:
    """Temperatures in C from C, F or tenths of C, whichever the warmest tells; codes are NaN."""
    air = np.where(np.abs(values) >= 990.0, np.nan, values)
    if is_tenths(air):
        return air / 10.0
    if is_fahrenheit(air):
        zero_c, hundred_c = read("0 F", "temperature"), read("100 F", "temperature")
        return zero_c + air * (hundred_c - zero_c) / 100.0
    return air


def _warmest(values: FloatArray) -> float:
    """The warmest but for a few slips; -inf where nothing was read."""
    known = values[~np.isnan(values) & (np.abs(values) < 990.0)]
    return float(np.quantile(known, 0.999)) if known.size else -np.inf
