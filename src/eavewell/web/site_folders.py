"""The sites of a folder: each a folder of its own with a site file, reached by its name alone."""

import json
import os
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from urllib.parse import quote

from eavewell.faults import BadSite
from eavewell.files.site.edit import write_beside
from eavewell.files.site.new_site import STARTERS, new_site
from eavewell.files.site.reader import text_of

SITE_FILE = "site.toml"
BIN = ".bin"
UNDO = ".undo"
BLANK = "blank"
LONGEST_NAME = 200  # bytes, as a disk counts


@dataclass(frozen=True, slots=True)
class SiteFolder:
    """One site's folder; everything that belongs to the site lies in it."""

    path: Path

    @property
    def name(self) -> str:
        """Name of the folder, which is the site's address in the pages."""
        return self.path.name

    @property
    def address(self) -> str:
        """Where its page is, as an address is written: fit for a header too."""
        return f"/sites/{quote(self.name, '')}"

    @property
    def file(self) -> Path:
        """The site file."""
        return self.path / SITE_FILE

    def text(self) -> str:
        """The site file as it stands now; BadSite where it cannot be read."""
        return text_of(self.file)

    def inside(self, *parts: str) -> Path:
        """A path within the folder; BadSite where it would lead out of it, also by a link."""
        longest = max((len(os.fsencode(one)) for one in parts), default=0)
        if "\0" in "".join(parts) or longest > LONGEST_NAME:
            raise BadSite("That cannot be the name of a file.")
        path = self.path.joinpath(*parts).resolve()
        if not path.is_relative_to(self.path.resolve()) or path == self.path.resolve():
            raise BadSite(f"'{'/'.join(parts)[:80]}' does not lie in the folder of the site.")
        return path


@dataclass(frozen=True, slots=True)
class SiteFolders:
    """A folder of sites."""

    path: Path

    def __iter__(self) -> Iterator[SiteFolder]:
        """Every site, by name."""
        if (self.path / SITE_FILE).is_file():
            yield SiteFolder(self.path)
            return
        for folder in sorted(self.path.iterdir(), key=lambda one: one.name.lower()):
            if not folder.name.startswith(".") and self._holds(folder):
                yield SiteFolder(folder)

    def __getitem__(self, name: str) -> SiteFolder:
        """The site of that name; KeyError where there is none."""
        for one in self:
            if one.name == name:
                return one
        raise KeyError(name)

    def _holds(self, folder: Path) -> bool:
        """A folder with a site file that neither is a link nor holds one to elsewhere."""
        file = folder / SITE_FILE
        return file.is_file() and file.resolve().parent == self.path.resolve() / folder.name

    def new(self, name: str, *, like: str) -> SiteFolder:
        """Begin a site from a starter; BadSite for a name that cannot be or is taken.

        like : one of the starters, or BLANK for a file that says its name alone.
        """
        self._refuse_within_site()
        blank = like == BLANK
        made = new_site(name, like=STARTERS[0] if blank else like, folder=self.path)
        if blank:
            write_beside(made, f"name = {json.dumps(name)}\n")
        return SiteFolder(made.parent)

    def bring(self, name: str, text: str) -> SiteFolder:
        """Begin a site with the text of a site file that came from elsewhere."""
        made = self.new(name, like=BLANK)
        write_beside(made.file, text)
        return made

    def copy(self, name: str) -> SiteFolder:
        """Duplicate a site under the next free name; what was changed before stays with it."""
        self._refuse_within_site()
        source = self[name]
        taken = {one.name for one in self.path.iterdir()}
        target = next(
            free for row in range(2, 10_000) if (free := f"{_stem(name)} {row}") not in taken
        )
        try:
            shutil.copytree(
                source.path,
                self.path / target,
                symlinks=True,
                ignore=shutil.ignore_patterns(UNDO),
            )
        except OSError:
            shutil.rmtree(self.path / target, ignore_errors=True)
            raise
        return SiteFolder(self.path / target)

    def put_in_bin(self, name: str) -> str:
        """Put a site aside, so that it can be had back; says under which name it lies there."""
        self._refuse_within_site()
        source = self[name]
        stamp = datetime.now(UTC).strftime("%Y%m%d-%H%M%S-%f")
        (self.path / BIN).mkdir(exist_ok=True)
        source.path.rename(self.path / BIN / f"{stamp} {name}")
        return f"{stamp} {name}"

    def _refuse_within_site(self) -> None:
        """Within the folder of one site no other is begun, and it cannot move itself."""
        if (self.path / SITE_FILE).is_file():
            raise BadSite("This folder is one site: open the folder above it for that.")

    def binned(self) -> tuple[str, ...]:
        """What lies in the bin, the last one first."""
        folder = self.path / BIN
        names = (one.name for one in folder.iterdir()) if folder.is_dir() else iter(())
        return tuple(sorted(names, reverse=True))

    def take_back(self, binned: str) -> SiteFolder:
        """Have a site back from the bin; BadSite where its name is taken by now."""
        if binned not in self.binned():
            raise BadSite("There is no such site in the bin.")
        name = binned.split(" ", 1)[-1]
        if (self.path / name).exists():
            raise BadSite(f"'{name}' is there already: rename or bin that one first.")
        (self.path / BIN / binned).rename(self.path / name)
        return SiteFolder(self.path / name)


def version_of(text: str) -> str:
    """A short mark of a text that changes with it."""
    return sha256(text.encode()).hexdigest()[:16]


def _stem(name: str) -> str:
    return re.sub(r" [0-9]+$", "", name)
