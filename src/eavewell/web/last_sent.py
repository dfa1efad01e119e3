"""What pages show of each version of a site, so that a change sends only what differs from it."""

from collections import OrderedDict
from collections.abc import Iterable, Mapping
from threading import Lock
from typing import Any

from eavewell.report.doubts import doubts_section
from eavewell.web.desk import OnDesk
from eavewell.web.recall import digest_of

MOST_VERSIONS = 200
Shown = Mapping[str, set[str]]


class LastSent:
    """The digests of what was sent of each reach, by site and version.

    A page that shows a version shows one of what was sent of it: where that was always the same,
    the page has it. A reach with the range is always sent, as the range comes to it later.
    """

    def __init__(self) -> None:
        self._sent: OrderedDict[tuple[str, str], dict[str, set[str]]] = OrderedDict()
        self._door = Lock()

    def note(self, shown: OnDesk, reaches: Iterable[Mapping[str, Any]]) -> None:
        """Remember what is sent of a version."""
        told, key = _digests(shown, reaches), (str(shown.folder.path), shown.version)
        with self._door:
            known = self._sent.setdefault(key, {})
            self._sent.move_to_end(key)
            for name, digest in told.items():
                known.setdefault(name, set()).add(digest)
            while len(self._sent) > MOST_VERSIONS:
                self._sent.popitem(last=False)

    def differing(
        self, shown: OnDesk, reaches: Iterable[Mapping[str, Any]], *, version: str
    ) -> list[Mapping[str, Any]]:
        """The reaches that a page of that version does not show as they are now."""
        told = _digests(shown, found := list(reaches))
        with self._door:
            known = dict(self._sent.get((str(shown.folder.path), version), {}))
        return [one for one in found if known.get(name := one["reach"].name) != {told.get(name)}]


def _digests(shown: OnDesk, reaches: Iterable[Mapping[str, Any]]) -> dict[str, str]:
    """Of what stands under each reach but for those with the range."""
    return {
        one["reach"].name: digest_of([shown.fresh, one["blocks"], one["findings"]])[0]
        for one in reaches
        if doubts_section not in one["reach"].sections
    }
