"""Where a log is kept: a file beside the site file, or an office's database by its address."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from eavewell.site.site import Site

if TYPE_CHECKING:
    from eavewell.logbook.store.store import Store


def open_log(
    site: Site, *, make: bool = True, waits: Callable[[str], None] | None = None
) -> "Store":
    """The log of a site, brought up to this program's layout.

    make : begin a log where there is none; without it BadLog says that there is none, and a log
    in a folder that cannot be written to is opened for reading.
    waits : is given a sentence where another program is writing, and we wait for it.
    Raises BadLog for a place that cannot be reached or written to, in a sentence.
    """
    from eavewell.logbook.store.opened import opened

    return opened(site, make=make, waits=waits)
