"""Whether a site has a log, and when it was last read: asked of many sites at once."""

from functools import lru_cache
from pathlib import Path

from eavewell.faults import EavewellFault
from eavewell.logbook.store import open_log
from eavewell.site.entry import Reading
from eavewell.site.gauge import LOG_FILE
from eavewell.web.desk import OnDesk, site_as_said
from eavewell.web.site_folders import SiteFolder

MOST_SITES = 1000
Stamp = tuple[int, int]


def has_log(shown: OnDesk) -> bool:
    """Whether a log lies beside the site file, or the file names where it is kept."""
    return _lies_beside(shown) or _is_kept_elsewhere(shown)


def last_read(shown: OnDesk) -> str | None:
    """The day of the last reading; None where there is none.

    A log that is kept elsewhere is not asked: the register waits for nothing.
    """
    if not _lies_beside(shown) or _is_kept_elsewhere(shown):
        return None
    file = shown.folder.path / LOG_FILE
    stamps = tuple(_stamp(Path(f"{file}{end}")) for end in ("", "-wal"))
    return _last_read(shown.folder, shown.text, stamps=stamps)


@lru_cache(maxsize=MOST_SITES)
def _last_read(folder: SiteFolder, text: str, *, stamps: tuple[Stamp, ...]) -> str | None:
    """The same, asked again where the site file or the log has changed."""
    from eavewell.logbook.ahead.from_log import day_of

    try:
        site = site_as_said(text, folder)
        with open_log(site, make=False) as store:
            for _, last in store.latest("reading", most=1):
                if isinstance(last, Reading):
                    return day_of(site, last.at).isoformat()
    except EavewellFault:
        return None
    return None


def _stamp(file: Path) -> Stamp:
    try:
        found = file.stat()
    except OSError:
        return (-1, -1)
    return (found.st_size, found.st_mtime_ns)


def _lies_beside(shown: OnDesk) -> bool:
    return (shown.folder.path / LOG_FILE).is_file()


def _is_kept_elsewhere(shown: OnDesk) -> bool:
    log = (shown.raw or {}).get("log")
    return isinstance(log, dict) and bool(log.get("kept_in"))
