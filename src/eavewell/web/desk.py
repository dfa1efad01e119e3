"""The desk: each site as it stands in its file, with the last answer that could be worked out."""

import gc
import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache, lru_cache
from threading import Lock, RLock
from typing import Any

from eavewell.answers import answer
from eavewell.design import Design, Stage, design
from eavewell.faults import BadSite, EavewellFault, Fault
from eavewell.files.record import beside_of, record_of
from eavewell.files.site.reader import site_of_text
from eavewell.files.toml_text import is_deep, said_in
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.storage.doubts import doubts
from eavewell.web.recall import Recall
from eavewell.web.site_folders import SiteFolder, version_of
from eavewell.web.site_locks import SiteLocks

MOST_DESIGNS = 12


@dataclass(frozen=True, slots=True, eq=False)
class OnDesk:
    """A site as its pages show it.

    raw    : what stands in the file; None where it is no TOML.
    faults : what keeps it from being designed; empty where nothing does.
    design, answer : of the file as it is, or where it has faults of the last one that had none;
             None where there was none since the server began, and no design either where many
             other sites were worked out since.
    fresh  : True where design and answer belong to the file as it is.
    recall : what remembers what is drawn of it.
    """

    folder: SiteFolder
    text: str
    raw: Mapping[str, Any] | None
    faults: tuple[Fault, ...] = ()
    design: Design | None = None
    answer: Mapping[str, Any] | None = None
    fresh: bool = False
    recall: Recall = field(default_factory=Recall)

    @property
    def title(self) -> str:
        """What the site is called: by its file, else by its folder."""
        said = (self.raw or {}).get("name")
        return said if isinstance(said, str) and said.strip() else self.folder.name

    @property
    def version(self) -> str:
        """A mark of the text that changes with it."""
        return version_of(self.text)

    @property
    def worked_out(self) -> str:
        """A mark of the text, of what came of it and the files beside it, and of the day.

        The doubts are left out: they come later, and of the same inputs are always the same.
        """
        told = {key: said for key, said in (self.answer or {}).items() if key != "doubts"}
        return version_of(json.dumps([self.text, told, date.today()], default=str))


class Desk:
    """Designs sites on demand and remembers every stage; several threads may ask at once."""

    def __init__(self) -> None:
        self.recall = Recall()
        self._last: dict[str, OnDesk] = {}
        self._locks = SiteLocks()
        self._door = Lock()

    def lock_of(self, folder: SiteFolder) -> RLock:
        """The lock under which one site's file is changed."""
        return self._locks.of(folder)

    def __call__(self, folder: SiteFolder) -> OnDesk:
        """The site as it stands, worked out anew only where something changed."""
        return self._as_it_stands(folder, self.recall)

    def quick(self, folder: SiteFolder) -> OnDesk:
        """The same for a page that asks for the doubts later: they are put off where not known."""
        with self.lock_of(folder):
            return self._as_it_stands(folder, self.recall.putting_off(doubts))

    def _as_it_stands(self, folder: SiteFolder, stage: Stage) -> OnDesk:
        try:
            text = folder.text()
        except EavewellFault as refused:
            return OnDesk(folder, "", None, refused.faults)
        now = self._worked_out(OnDesk(folder, text, _raw(text), recall=self.recall), stage)
        if now.fresh:
            self._remember(now)
        return now

    def _remember(self, now: OnDesk) -> None:
        """Keep a site as its last: the answers of all, the designs, which are large, of a few."""
        with self._door:
            self._last.pop(str(now.folder.path), None)
            self._last[str(now.folder.path)] = now
            for place, one in list(self._last.items())[:-MOST_DESIGNS]:
                if one.design is not None:
                    self._last[place] = replace(one, design=None)

    def known(self, folder: SiteFolder) -> OnDesk:
        """The site as far as it is known without working anything out."""
        try:
            text = folder.text()
        except EavewellFault as refused:
            return OnDesk(folder, "", None, refused.faults)
        last = self._last.get(str(folder.path))
        return (
            last
            if last and last.text == text
            else OnDesk(folder, text, _raw(text), recall=self.recall)
        )

    def tried(self, folder: SiteFolder, text: str) -> OnDesk:
        """The site as it would be with another text; nothing is written or kept as its last."""
        with self.lock_of(folder):
            bare = OnDesk(folder, text, _raw(text), recall=self.recall)
            return self._worked_out(bare, self.recall.putting_off(doubts))

    def _worked_out(self, bare: OnDesk, stage: Stage) -> OnDesk:
        folder = bare.folder
        try:
            site = site_as_said(bare.text, folder)
            beside = self.recall.files(beside_of, site)
            record = self.recall.files(record_of, site)
            made = design(site, record, beside=beside, stage=stage)
            plain = self.recall.answer(answer, made)
            _loaded_for_good()
            return replace(bare, design=made, answer=plain, fresh=True)
        except EavewellFault as refused:
            last = self._last.get(str(folder.path))
            return replace(
                bare,
                faults=refused.faults,
                design=last.design if last else None,
                answer=last.answer if last else None,
            )


@lru_cache(maxsize=16)
def site_as_said(text: str, folder: SiteFolder) -> Site:
    """The site that a text describes; BadSite with its faults where it cannot be one."""
    return site_of_text(text, file=str(folder.file), folder=str(folder.path))


@cache
def _loaded_for_good() -> None:
    """No search for garbage goes again through what the first design has loaded: 0.15 s each."""
    gc.freeze()


def _raw(text: str) -> Mapping[str, Any] | None:
    try:
        raw = said_in(text)
    except (ValueError, RecursionError):
        return None
    return None if is_deep(raw) else raw


def needed(shown: OnDesk) -> OnDesk:
    """The same where it has an answer; BadSite with its faults where it has none."""
    if shown.answer is None:
        raise BadSite(shown.faults)
    return shown


def system_of(shown: OnDesk) -> Show:
    """The units in which the site's pages print, "us" or "metric"."""
    place = (shown.raw or {}).get("place")
    said = place.get("show") if isinstance(place, dict) else None
    return "metric" if said == "metric" else "us"
