"""Whether a site has a log, and when it was last read: asked of many sites at once."""

from eavewell.faults import EavewellFault
from eavewell.logbook.ahead.from_log import day_of
from eavewell.logbook.store import open_log
from eavewell.logbook.store.place import FILE
from eavewell.site.entry import Reading
from eavewell.web.desk import OnDesk, site_as_said


def has_log(shown: OnDesk) -> bool:
    """Whether a log lies beside the site file, or the file names where it is kept."""
    return _lies_beside(shown) or _is_kept_elsewhere(shown)


def last_read(shown: OnDesk) -> str | None:
    """The day of the last reading; None where there is none.

    A log that is kept elsewhere is not asked: the register waits for nothing.
    """
    if not _lies_beside(shown) or _is_kept_elsewhere(shown):
        return None
    try:
        site = site_as_said(shown.text, shown.folder)
        with open_log(site, make=False) as store:
            for _, last in store.latest("reading", most=1):
                if isinstance(last, Reading):
                    return day_of(site, last.at).isoformat()
    except EavewellFault:
        return None
    return None


def _lies_beside(shown: OnDesk) -> bool:
    return (shown.folder.path / FILE).is_file()


def _is_kept_elsewhere(shown: OnDesk) -> bool:
    log = (shown.raw or {}).get("log")
    return isinstance(log, dict) and bool(log.get("kept_in"))
