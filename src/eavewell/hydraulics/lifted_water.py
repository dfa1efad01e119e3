"""The site and its days as the daily engine sees them once the sumps are lifted within the day."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from eavewell.hydraulics.lift import Lifted
from eavewell.hydraulics.sump_sizes import SumpSize, sump_sizes
from eavewell.site.site import Site
from eavewell.storage.series import Series, WaterOf, series
from eavewell.storage.with_captured import SumpSeries, with_captured
from eavewell.storage.within_day import (
    Captured,
    RainWithinDay,
    SumpLift,
    capture,
    sumps_reckoned,
)


@dataclass(frozen=True, slots=True, eq=False)
class LiftedWater:
    """What the daily engine runs in place of a site and its series.

    site, water : for the stages of the balance; the very ones given where no sump is reckoned.
    water_of    : makes the series of other days for `site`, as `series` does for a site.
    captured    : of each lift reckoned. sizes : other sumps and pumps, by lift.
    sharper     : captured with the storms drawn together to the site's own; empty where the
                  donor is as sharp.
    """

    site: Site
    water: Series
    water_of: WaterOf
    captured: tuple[Captured, ...]
    sizes: Mapping[str, tuple[SumpSize, ...]]
    sharper: tuple[Captured, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class SumpWater:
    """What sumps of which enough is known give to their lifts; else as in `LiftedWater`."""

    lifts: tuple[SumpLift, ...] = ()
    captured: tuple[Captured, ...] = ()
    sizes: Mapping[str, tuple[SumpSize, ...]] = field(default_factory=dict)
    sharper: tuple[Captured, ...] = ()


def sump_water(
    site: Site, water: Series, *, within: RainWithinDay | None, lifted: Lifted
) -> SumpWater:
    """Run every sump of which enough is known through the record.

    within : rain within the day; None leaves every sump on a daily step.
    """
    reckoned = sumps_reckoned(site)
    lifts = tuple(one for one in lifted.numbers if one.sump in reckoned)
    if within is None or not lifts:
        return SumpWater()
    names = {one.lift for one in lifts}
    sizes = {
        duty.lift.name: sump_sizes(site, water, within=within, duty=duty)
        for duty in lifted.lifts
        if duty.lift.name in names
    }
    captured = capture(site, water, within=within, lifts=lifts)
    sharper = getattr(within, "sharper", None)
    other = capture(site, water, within=sharper, lifts=lifts) if sharper else ()
    return SumpWater(lifts, captured, sizes, other)


def lift_water(
    site: Site,
    water: Series,
    *,
    within: RainWithinDay | None,
    lifted: Lifted,
    sumps: SumpWater | None = None,
) -> LiftedWater:
    """The site and its days with every sump of which enough is known lifted within the day.

    sumps : what they give, where that is known already.
    """
    found = sumps or sump_water(site, water, within=within, lifted=lifted)
    if within is None or not found.lifts:
        return LiftedWater(site, water, series, (), {})
    moved, daily = with_captured(site, water, captured=found.captured)
    return LiftedWater(
        moved,
        daily,
        SumpSeries(site, water.dates, within, found.lifts),
        found.captured,
        sizes=found.sizes,
        sharper=found.sharper,
    )
