"""A made-up roof with gutters and invented storms with a plain law, for arithmetic on paper."""

import sys
from dataclasses import replace

from eavewell.hydraulics.eaves import drain_roofs
from eavewell.hydraulics.roof_methods import method_called
from eavewell.site.gutter import Downspout, Gutter
from eavewell.weather.design_storm import Intensity

IN = 25.4
BEIJ = method_called("Beij")
ROUND_4 = Downspout(bore_mm=4 * IN)
TEN_YEARS_FIVE_MINUTES_MM_H = 180.0


class MadeUpStorms:
    """180 mm/h in 5 minutes of 10 years; by years^0.2 and minutes^-0.5 elsewhere."""

    def intensity(self, minutes, years):
        mm_h = TEN_YEARS_FIVE_MINUTES_MM_H * (years / 10) ** 0.2 * (5 / minutes) ** 0.5
        return Intensity(mm_h, 0.8 * mm_h, 1.3 * mm_h, minutes, years, "invented")

    def years_of(self, minutes, mm_h):
        return 10 * (mm_h / (TEN_YEARS_FIVE_MINUTES_MM_H * (5 / minutes) ** 0.5)) ** 5


class NoStorms:
    """Nothing is known of any storm."""

    says = "no rain is known"

    def intensity(self, minutes, years):
        return None

    def years_of(self, minutes, mm_h):
        return None


def gutter(name="north", shape="half-round", **fields):
    """Five-inch half-round, 10 m, one four-inch round downspout, but for what is given."""
    fields = {"downspout": ROUND_4, "length_m": 10.0, "width_mm": 5 * IN} | fields
    return Gutter(name, shape, **fields)


def site(*gutters, area_m2=50.0, site_fields=None, **fields):
    """A flat metal roof of 50 m2 with these gutters; fields are the roof's."""
    making = sys.modules["making"]
    roof = replace(making.roof(area_m2=area_m2), gutters=gutters, **({"pitch": 0.0} | fields))
    return making.site(roofs=(roof,), **(site_fields or {}))


def drained(whole, method=BEIJ, storms=None):
    return drain_roofs(whole, storms or MadeUpStorms(), method=method)
