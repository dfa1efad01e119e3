"""One lock for each site: what takes long at one site keeps no other one waiting."""

from threading import Lock, RLock

from eavewell.web.site_folders import SiteFolder


class SiteLocks:
    """The locks of a server's sites, each made when it is first asked for."""

    def __init__(self) -> None:
        self._locks: dict[str, RLock] = {}
        self._door = Lock()

    def of(self, folder: SiteFolder) -> RLock:
        """The lock of one site."""
        with self._door:
            return self._locks.setdefault(str(folder.path), RLock())
