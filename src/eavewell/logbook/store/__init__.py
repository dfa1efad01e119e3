"""Where a log is kept: a file beside the site file, or an office's database by its address."""

from typing import TYPE_CHECKING

from eavewell.site.site import Site

if TYPE_CHECKING:
    from eavewell.logbook.store.store import Store


def open_log(site: Site, *, make: bool = True) -> "Store":
    """The log of a site, brought up to this program's layout.

    make : begin a log where there is none; without it BadLog says that there is none, and a log
    in a folder that cannot be written to is opened for reading.
    Raises BadLog for a place that cannot be reached or written to, in a sentence.
    """
    from eavewell.logbook.store.opened import opened

    return opened(site, make=make)
