"""The site and its days as the daily engine sees them once the sumps are lifted within the day."""

from collections.abc import Mapping
from dataclasses import dataclass

from eavewell.hydraulics.lift import Lifted
from eavewell.hydraulics.sump_sizes import SumpSize, sump_sizes
from eavewell.site.site import Site
from eavewell.storage.series import Series, WaterOf, series
from eavewell.storage.with_captured import SumpSeries, with_captured
from eavewell.storage.within_day import Captured, RainWithinDay, capture, sumps_reckoned


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


def lift_water(
    site: Site, water: Series, *, within: RainWithinDay | None, lifted: Lifted
) -> LiftedWater:
    """Lift every sump of which enough is known through the record.

    within : rain within the day; None leaves every sump on a daily step.
    """
    reckoned = sumps_reckoned(site)
    lifts = tuple(one for one in lifted.numbers if one.sump in reckoned)
    if within is None or not lifts:
        return LiftedWater(site, water, series, (), {})
    captured = capture(site, water, within=within, lifts=lifts)
    moved, daily = with_captured(site, water, captured=captured)
    names = {one.lift for one in lifts}
    sizes = {
        duty.lift.name: sump_sizes(site, water, within=within, duty=duty)
        for duty in lifted.lifts
        if duty.lift.name in names
    }
    sharper = getattr(within, "sharper", None)
    return LiftedWater(
        moved,
        daily,
        SumpSeries(site, water.dates, within, lifts),
        captured,
        sizes=sizes,
        sharper=capture(site, water, within=sharper, lifts=lifts) if sharper else (),
    )
