"""The storm that an authority has roof drainage sized for."""

from eavewell.site.authority import Authority
from eavewell.weather.design_storm import Purpose


def drainage_storm(authority: Authority | None) -> Purpose | None:
    """The authority's storm; None where its file states none."""
    if authority is None:
        return None
    years, minutes = authority.drainage_years, authority.drainage_minutes
    if years is None or minutes is None:
        return None
    written = authority.drainage_written
    source, place = (written.source, written.place) if written else (authority.name, "")
    return Purpose(years, minutes, source, place)
