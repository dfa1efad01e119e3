"""Files of readings brought in: any order of dates, any unit, one gauge or many."""

from collections.abc import Mapping

from eavewell.logbook.kept import Kept
from eavewell.logbook.taken.brought import Brought
from eavewell.site.site import Site


def read_file(
    data: bytes,
    site: Site,
    *,
    name: str = "",
    gauge: str | Mapping[str, str] = "",
    unit: str = "",
    kept: Kept | None = None,
) -> Brought:
    """As `taken.file.read_file`; what reads tables is loaded with the first file."""
    from eavewell.logbook.taken import file

    return file.read_file(data, site, name=name, gauge=gauge, unit=unit, kept=kept)
