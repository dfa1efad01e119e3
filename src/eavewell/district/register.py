"""The register of built systems: the sites of a folder, each as its owner lets it be known."""

from collections.abc import Callable, Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from functools import partial
from multiprocessing import get_context
from pathlib import Path

from eavewell.district.shared_site import SharedSite, shared_site
from eavewell.faults import BadSite

SITE_FILE = "site.toml"
# so few are read before other processes would have begun
FEW_SITES = 8

Tell = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Register:
    """The sites of a folder on a day, by name; None where they were never read."""

    name: str
    day: date | None
    sites: tuple[SharedSite, ...]


def read_register(
    folder: Path, *, now: datetime, workers: int = 1, tell: Tell | None = None
) -> Register:
    """Read every site of a folder with its log, wherever that is kept.

    now : an instant with its offset. workers : processes. tell : called with sites read, of all.
    Raises BadSite where no site lies in the folder.
    """
    folders = list(site_folders(folder))
    if not folders:
        raise BadSite(
            f"No site lies in {folder.resolve().name!r}: each is a folder with a {SITE_FILE}."
        )
    found = list[SharedSite]()
    with _each(folders, workers, now=now) as sites:
        for one in sites:
            found.append(one)
            if tell is not None:
                tell(len(found), len(folders))
    return Register(folder.resolve().name, now.date(), tuple(found))


def site_folders(folder: Path) -> Iterator[Path]:
    """Every folder that holds a site file of its own, by name; none that is a link."""
    for one in sorted(folder.iterdir(), key=lambda each: each.name.lower()):
        file = one / SITE_FILE
        own = file.is_file() and file.resolve().parent == folder.resolve() / one.name
        if own and not one.name.startswith("."):
            yield one


@contextmanager
def _each(folders: list[Path], workers: int, *, now: datetime) -> Iterator[Iterator[SharedSite]]:
    """The sites in the order of their folders, here or in other processes."""
    read = partial(shared_site, now=now)
    if workers < 2 or len(folders) <= FEW_SITES:
        yield map(read, folders)
        return
    pool: Executor = ProcessPoolExecutor(workers, mp_context=get_context("spawn"))
    with pool:
        yield iter(pool.map(read, folders))
