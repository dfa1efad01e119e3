"""A site with its log open, as the pages of the log read it and write into it."""

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import cast

from eavewell.design import Design
from eavewell.faults import BadSite
from eavewell.logbook.nothing_kept import log_if_any
from eavewell.logbook.store import open_log
from eavewell.logbook.store.store import Store
from eavewell.site.site import Site
from eavewell.web.desk import OnDesk, site_as_said
from eavewell.web.pages import Pages


@dataclass(frozen=True, slots=True, eq=False)
class Logged:
    """A site as its file says, or did when it was last worked out; its log, and now.

    shown : as it stands on the desk. store : one in which nothing is kept where no log was begun
            and none is to be; it can then only be read.
    """

    shown: OnDesk
    site: Site
    store: Store
    now: datetime

    @property
    def design(self) -> Design:
        """What was made of the site; BadSite with its faults where there is none."""
        if self.shown.design is None:
            raise BadSite(self.shown.faults)
        return self.shown.design


@contextmanager
def logged(
    pages: Pages, name: str, *, make: bool = False, designed: bool = True
) -> Iterator[Logged]:
    """The site of that name with its log.

    make : begin a log where there is none, to write. designed : False for what needs no design, so
    that nothing is worked out for it.
    Raises BadSite where the site file cannot be one, BadLog where the log cannot be opened.
    """
    folder = pages.site(name)
    shown = pages.desk.quick(folder) if designed else pages.desk.known(folder)
    if designed and shown.design is not None and not shown.fresh:
        site = shown.design.site  # what is worked out and what is read belong together
    else:
        site = site_as_said(shown.text, shown.folder)
    opened = open_log(site) if make else cast(AbstractContextManager[Store], log_if_any(site))
    with opened as store:
        yield Logged(shown, site, store, now())


def now() -> datetime:
    """The clock of this computer, with its offset."""
    return datetime.now().astimezone()
