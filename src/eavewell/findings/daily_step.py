"""Whether the daily step is fine enough for a small store."""

from collections.abc import Iterable, Iterator

from eavewell.site.finding import Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.storage.too_coarse import Coarse
from eavewell.tables import table
from eavewell.units import show


def daily_step_fits(site: Site, coarse: Iterable[Coarse]) -> Iterator[Finding]:
    """Stores whose supplied share is another within the day than on a daily step."""
    limit = table("sump")["step difference"].value
    for one in coarse:
        apart = abs(one.within_share - one.daily_share)
        if apart > limit:
            yield _apart(one, apart, system=site.place.show)


def _apart(one: Coarse, apart: float, *, system: Show) -> Finding:
    within, daily = (
        show(share, "share", system=system) for share in (one.within_share, one.daily_share)
    )
    better = one.within_share > one.daily_share
    return Finding(
        "daily-step-too-coarse",
        "watch",
        f"tank {one.store!r}",
        f"On a daily step it supplies {daily} of what is wanted, within the day {within}: the "
        + (
            "daily figures of this store are on the safe side."
            if better
            else "daily figures of this store are too good."
        ),
        measured=apart,
        limit=table("sump")["step difference"].value,
        unit="share",
        source="the same store with rain in its steps and its want even over the day",
        fix=f"reckon with {within}, or a store that holds several days' use",
    )
