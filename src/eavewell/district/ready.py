"""The record of a gauge made ready once, with what every finish and every use set makes of it."""

from dataclasses import dataclass, field, replace
from functools import lru_cache

from eavewell.demand.daily import demand_l
from eavewell.district.gauges import record_at
from eavewell.district.one_roof import site_of_roof
from eavewell.site.district import District, Gauge, OneRoof
from eavewell.site.rain_record import FloatArray
from eavewell.site.site import Site
from eavewell.storage.series import Series, series, uses_in_order
from eavewell.weather.days import Days
from eavewell.weather.ready import ready_days, ready_rain


@dataclass(slots=True, eq=False)
class Ready:
    """The days of one gauge. wants, found : what was worked out of them already."""

    district: District
    gauge: Gauge
    days: Days
    wants: dict[str, list[FloatArray]] = field(default_factory=dict)
    found: dict[tuple[str, str], Series] = field(default_factory=dict)

    def site(self, use_set: str, finish: str) -> Site:
        """The site of 1 m2 of roof, one person and a tank of 1 L."""
        site = site_of_roof(self.district, self.gauge, roof=OneRoof(use_set, finish))
        return _without_mains(site)

    def water(self, use_set: str, finish: str) -> Series:
        """Runoff of 1 m2 and wants of one person."""
        if (use_set, finish) not in self.found:
            site = self.site(use_set, finish)
            if use_set not in self.wants:
                uses = uses_in_order(site)
                self.wants[use_set] = [demand_l(use, self.days) for use in uses]
            self.found[use_set, finish] = series(site, self.days, wants=self.wants[use_set])
        return self.found[use_set, finish]


def _without_mains(site: Site) -> Site:
    """A single use without ration stages as if nothing made it up.

    Mains at the tap change nothing in the tank, and the balance is faster without; what they give
    is what the use wanted and did not get.
    """
    if len(site.uses) > 1 or any(use.stages for use in site.uses):
        return site
    return replace(site, uses=tuple(replace(use, fallback="none") for use in site.uses))


@lru_cache(maxsize=2)
def ready(district: District, gauge: Gauge) -> Ready:
    """Read the record of a gauge and make it ready; BadRecord where it cannot be designed on."""
    record = record_at(gauge, unit=district.unit)
    like = site_of_roof(district, gauge, roof=OneRoof(district.usual, ""))
    rain = ready_rain(record, like.rain, place=like.place)
    return Ready(district, gauge, ready_days(rain.record, like.place).days)
