"""How evenly a drip lateral waters: three measures that are never one another."""

import math

import numpy as np
from numpy.typing import ArrayLike

from eavewell.faults import OutOfRange
from eavewell.site.rain_record import FloatArray
from eavewell.tables import table


def coefficient_of_uniformity_christiansen(amounts: ArrayLike) -> float:
    """Christiansen's coefficient (CU), a share: 1 less the mean deviation over the mean.

    amounts : water caught or given at each place, shape (place,), not all nothing.
    """
    given = _amounts(amounts)
    return float(1.0 - np.abs(given - given.mean()).mean() / given.mean())


def distribution_uniformity_low_quarter(amounts: ArrayLike) -> float:
    """Mean of the lowest quarter over the mean of all (DU), a share.

    The quarter counts whole places, rounded up.
    """
    given = np.sort(_amounts(amounts))
    return float(given[: math.ceil(given.size / 4)].mean() / given.mean())


def emission_uniformity(flows: ArrayLike, *, variation: float, each: int = 1) -> float:
    """Emission uniformity (EU), a share: (1 - 1.27 Cv / sqrt n) qmin / qmean.

    flows : of the plants, shape (plant,). variation : coefficient of variation of the emitters.
    each  : emitters at a plant. Source: USDA design practice (seen in an excerpt).
    """
    given = _amounts(flows)
    if not 0.0 <= variation <= 0.5 or each < 1:
        raise OutOfRange("Emission uniformity wants a variation of 0 to 0.5 and whole emitters.")
    made = 1.0 - table("drip")["variation factor"].value * variation / math.sqrt(each)
    return float(made * given.min() / given.mean())


def outlets_factor_christiansen(outlets: int, *, exponent: float = 1.852) -> float:
    """Friction of a pipe with so many equal outlets over that of one carrying all to its end.

    F = 1/(m+1) + 1/(2N) + sqrt(m-1)/(6 N2); 1 for a single outlet, where the formula gives 1.0045.
    """
    if outlets < 1 or not 1.0 < exponent <= 2.0:
        raise OutOfRange("Christiansen's factor wants an outlet or more and an exponent of 1 to 2.")
    if outlets == 1:
        return 1.0
    m, n = exponent, float(outlets)
    return 1.0 / (m + 1.0) + 1.0 / (2.0 * n) + math.sqrt(m - 1.0) / (6.0 * n**2)


def _amounts(amounts: ArrayLike) -> FloatArray:
    given = np.asarray(amounts, dtype=np.float64)
    if given.ndim != 1 or not given.size or not np.isfinite(given).all() or given.min() < 0.0:
        raise OutOfRange("Evenness wants one amount or more, none below nothing.")
    if given.sum() <= 0.0:
        raise OutOfRange("Where nothing is given, nothing is even.")
    return given
