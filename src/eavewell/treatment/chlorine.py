"""Free chlorine: contact by the EPA tables, dose by volume and strength, contact tanks.

Chlorine earns no credit against Cryptosporidium. Look-ups round to the safe side and refuse what
the tables do not hold; interpolation is a function of its own and no design uses it.
"""

import bisect
from functools import cache

import numpy as np

from eavewell.faults import OutOfRange
from eavewell.tables import rows

PH = (6.0, 6.5, 7.0, 7.5, 8.0, 8.5, 9.0)
MOST_MG_L = 3.0
_COLUMNS = ("ph_6", "ph_6_5", "ph_7", "ph_7_5", "ph_8", "ph_8_5", "ph_9")
# logs that the tables hold a contact for
GIARDIA_LOGS, VIRUS_LOGS = 3.0, 4.0


def giardia_ct_mg_min_l(celsius: float, ph: float, *, mg_l: float, logs: float = 3.0) -> float:
    """Contact that inactivates so many logs of Giardia, EPA 815-R-20-003 table B-1.

    celsius : of the coldest water, 0.5 or more, taken down to the next row. ph : up to 9, taken up;
    below 6 as 6. mg_l : residual at the end of contact, taken up; above 3 as 3. logs : 0.5 to 3,
    a share of the three. Raises OutOfRange beyond.
    """
    if not 0.0 < logs <= GIARDIA_LOGS:
        raise OutOfRange(f"The table holds up to 3 logs of Giardia, not {logs:g}.")
    row = _next_colder(tuple(_giardia()), celsius)
    column = _next_higher(PH, max(ph, PH[0]), what="pH")
    by_chlorine = _giardia()[row]
    level = _next_higher(tuple(by_chlorine), min(_some(mg_l), MOST_MG_L), what="chlorine")
    return by_chlorine[level][PH.index(column)] * logs / GIARDIA_LOGS


def virus_ct_mg_min_l(celsius: float, ph: float) -> float:
    """Contact that inactivates four logs of virus, EPA 815-R-20-003 table B-2.

    celsius : taken down to the next row. ph : below 6 as 6, up to 9, and 10 above it.
    """
    table = _virus()
    row = _next_colder(tuple(table), celsius)
    if not ph <= 10.0:
        raise OutOfRange(f"The table ends at pH 10, not {ph:g}.")
    return table[row][1 if ph > 9.0 else 0]


def virus_ct_interpolated_mg_min_l(celsius: float) -> float:
    """The virus table straight between its rows, pH 6 to 9; for comparison, never for a design."""
    warm = sorted(_virus())
    if not warm[0] <= celsius <= warm[-1]:
        raise OutOfRange(f"The table holds {warm[0]:g} to {warm[-1]:g} C, not {celsius:g} C.")
    return float(np.interp(celsius, warm, [_virus()[row][0] for row in warm]))


def logs_by_ratio(ct_mg_min_l: float, needed_mg_min_l: float, *, table_logs: float) -> float:
    """Logs that a contact earns, by the ratio of 40 CFR 141; no more than the table's logs."""
    if ct_mg_min_l < 0.0 or needed_mg_min_l <= 0.0:
        raise OutOfRange("A contact is never less than nothing.")
    return min(table_logs * ct_mg_min_l / needed_mg_min_l, table_logs)


def contact_volume_l(ct_mg_min_l: float, peak_l_s: float, *, mg_l: float, baffle: float) -> float:
    """Water a contact tank must hold at its lowest, at peak flow.

    baffle : share of the plug-flow time that the first water stays, 0.1 for an open tank to 1.
    """
    if not 0.0 < baffle <= 1.0 or peak_l_s < 0.0:
        raise OutOfRange(f"A baffle factor of {baffle:g} lies outside 0 to 1.")
    minutes = ct_mg_min_l / _some(mg_l) / baffle
    return minutes * 60.0 * peak_l_s


def product_ml(volume_l: float, mg_l: float, *, strength: float, stabilised: bool = False) -> float:
    """Millilitres of sodium hypochlorite that raise a measured volume by so much chlorine.

    strength : trade per cent as a share, 0.01 to 0.2 (10 g/L for each 1 %). A stabilised product is
    refused: its stabiliser stays in a closed tank.
    """
    if not 0.01 <= strength <= 0.2:
        raise OutOfRange(f"A hypochlorite of {strength:.0%} is not one that is sold.")
    return _dosed(volume_l, mg_l, strength=strength, stabilised=stabilised)


def granules_g(volume_l: float, mg_l: float, *, strength: float, stabilised: bool = False) -> float:
    """Grams of calcium hypochlorite that raise a measured volume by so much chlorine.

    strength : available chlorine by weight, 0.5 to 0.8. Stabilised granules, sold for pools, are
    refused.
    """
    if not 0.5 <= strength <= 0.8:
        raise OutOfRange(f"Calcium hypochlorite of {strength:.0%} is not one that is sold.")
    return _dosed(volume_l, mg_l, strength=strength, stabilised=stabilised)


def _dosed(volume_l: float, mg_l: float, *, strength: float, stabilised: bool) -> float:
    if stabilised:
        raise OutOfRange("A stabilised chlorine must never be used in a closed tank.")
    if volume_l <= 0.0:
        raise OutOfRange("The volume must be measured: a dose by guess is none.")
    return volume_l * _some(mg_l) / (1000.0 * strength)


@cache
def _giardia() -> dict[float, dict[float, tuple[float, ...]]]:
    """CT by temperature, chlorine and pH."""
    found: dict[float, dict[float, tuple[float, ...]]] = {}
    for row in rows("chlorine_giardia"):
        cells = tuple(float(row[column]) for column in _COLUMNS)
        found.setdefault(float(row["celsius"]), {})[float(row["mg_l"])] = cells
    return found


@cache
def _virus() -> dict[float, tuple[float, float]]:
    return {
        float(row["celsius"]): (float(row["ph_6_to_9"]), float(row["ph_10"]))
        for row in rows("chlorine_virus")
    }


def _some(mg_l: float) -> float:
    if not 0.0 < mg_l <= 200.0:
        raise OutOfRange(f"A chlorine of {mg_l:g} mg/L is out of range.")
    return mg_l


def _next_colder(known: tuple[float, ...], celsius: float) -> float:
    ordered = sorted(known)
    if not ordered[0] <= celsius <= ordered[-1]:
        raise OutOfRange(f"The table holds {ordered[0]:g} to {ordered[-1]:g} C, not {celsius:g} C.")
    return ordered[bisect.bisect_right(ordered, celsius) - 1]


def _next_higher(known: tuple[float, ...], value: float, *, what: str) -> float:
    ordered = sorted(known)
    if not value <= ordered[-1] + 1e-9:
        raise OutOfRange(f"The table ends at {what} {ordered[-1]:g}, not {value:g}.")
    return ordered[bisect.bisect_left(ordered, value - 1e-9)]
