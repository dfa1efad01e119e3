"""Whether the rain within the day can be trusted."""

from collections.abc import Iterator

from eavewell.site.finding import COMMON, Finding
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables import table
from eavewell.units import show
from eavewell.weather.anchor import Maximum
from eavewell.weather.within_day import FINE_MINUTES, UNDERSTATED, WithinDay

WHERE = "rain within the day"


def within_day_trusted(site: Site, within: WithinDay | None) -> Iterator[Finding]:
    """Checks on the donor: there is one, its steps are short, its storms are the site's."""
    if not any(tank.is_sump for tank in site.tanks):
        return
    if within is None:
        yield _no_donor()
        return
    if within.minutes > FINE_MINUTES:
        yield _coarse(within)
    if within.anchor is None:
        yield _unknown(within)
    elif not within.anchor.agrees:
        yield _apart(within, site.place.show)


def _no_donor() -> Finding:
    return Finding(
        "within-day-not-checked",
        "note",
        WHERE,
        "Not checked: rain within the day unknown, so what a sump's lift captures is not reckoned.",
        fix='name a record in steps of 5 minutes from the same climate: [storm] donor = "FILE"',
    )


def _coarse(within: WithinDay) -> Finding:
    return Finding(
        "donor-steps-too-long",
        "watch",
        WHERE,
        f"The steps of {within.donor} are {within.minutes} minutes: {UNDERSTATED}.",
        measured=within.minutes,
        limit=FINE_MINUTES,
        unit="min",
        source=COMMON,
        fix=f"take a donor with steps of at most {FINE_MINUTES} minutes",
    )


def _unknown(within: WithinDay) -> Finding:
    return Finding(
        "within-day-intensity-unknown",
        "watch",
        WHERE,
        f"Intensity unknown: the site's own storms are not known, so whether {within.donor} is "
        "sharp enough cannot be told.",
        fix="give a table of the site's storms: [storm] table",
    )


def _apart(within: WithinDay, system: Show) -> Finding:
    assert within.anchor is not None
    rule = table("fragments")
    worst = max(within.anchor.maxima, key=lambda one: abs(one.ratio - 1.0))
    hour = within.anchor.donor_hour_share
    least = rule["donor_hour_least"].value
    weak = hour is not None and hour < least
    says = f"Intensity unknown: {_says(worst, within, system=system)}"
    if weak:
        says += f" Its own 2-year hour is {hour:.2f} of the site's, under {least:g}."
    return Finding(
        "within-day-intensity-unknown",
        "watch",
        WHERE,
        says,
        measured=worst.ratio,
        limit=1.0 + rule["agrees_within"].value * (1 if worst.ratio > 1.0 else -1),
        unit="of the site's storm",
        source=COMMON,
        fix="take a donor whose storms are the site's, or a table of storms nearer to the site",
    )


def _says(worst: Maximum, within: WithinDay, *, system: Show) -> str:
    made, ours = (
        show(value, "intensity", system=system) for value in (worst.made_mm_h, worst.site_mm_h)
    )
    softer = worst.ratio < 1.0
    return (
        f"the {worst.years}-year {worst.minutes}-minute rain in the shape of {within.donor} is "
        f"{made}, the site's own {ours}; what overtops is {'under' if softer else 'over'}stated."
    )
