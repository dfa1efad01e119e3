"""Rain within the day as plain data."""

from typing import Any

from eavewell.weather.within_day import WithinDay

Plain = dict[str, Any]


def within_day_answer(within: WithinDay | None) -> Plain:
    """The donor, whether it is trusted, and its yearly maxima beside the site's."""
    anchor = within.anchor if within else None
    return {
        "donor": within.donor if within else None,
        "minutes": within.minutes if within else None,
        "says": within.says if within else "",
        "trusted": within.trusted if within else None,
        "donor_hour_share": anchor.donor_hour_share if anchor else None,
        "maxima": [
            {
                "minutes": one.minutes,
                "years": one.years,
                "made_mm_h": one.made_mm_h,
                "site_mm_h": one.site_mm_h,
            }
            for one in (anchor.maxima if anchor else ())
        ],
    }
