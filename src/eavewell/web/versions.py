"""Versions of a site: whole texts of its site file, kept beside it under names of their own."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from eavewell.faults import BadSite, EavewellFault, Fault
from eavewell.files.site.edit import write_beside
from eavewell.files.site.reader import text_of
from eavewell.web.site_folders import SiteFolder

VERSIONS = "versions"
MOST_VERSIONS = 4
LONGEST_NAME = 40
_BESIDE_LETTERS = frozenset(" -_.,+&'()")


@dataclass(frozen=True, slots=True)
class Version:
    """One version. faults : why its text cannot be read; it is empty then."""

    name: str
    text: str
    faults: tuple[Fault, ...] = ()


def versions_of(folder: SiteFolder) -> tuple[Version, ...]:
    """Every version, the oldest first."""
    return tuple(_read(folder, one) for one in _files(folder))


def version_called(folder: SiteFolder, name: str) -> Version:
    """The version of that name; BadSite where there is none or it cannot be read."""
    found = next((one for one in versions_of(folder) if one.name == name), None)
    if found is None:
        raise BadSite(f"There is no version called '{name[:LONGEST_NAME]}' any more.")
    if found.faults:
        raise BadSite(found.faults)
    return found


def keep(folder: SiteFolder, name: str, *, text: str) -> str:
    """Keep a text as a version; the name it has then.

    Raises BadSite for a name that cannot be or is taken, and where there are four already: none
    is dropped unasked.
    """
    name = _name(name)
    there = [one.stem for one in _files(folder)]
    if name.casefold() in (one.casefold() for one in there):
        raise BadSite(f"There is a version called '{name}' already: choose another name.")
    if len(there) >= MOST_VERSIONS:
        raise BadSite(
            f"{MOST_VERSIONS} versions are kept, which is all that stand side by side: remove one "
            f"first; the oldest is '{there[0]}'."
        )
    target = folder.inside(VERSIONS, f"{name}.toml")
    target.parent.mkdir(exist_ok=True)
    write_beside(target, text)
    return name


def remove(folder: SiteFolder, name: str) -> None:
    """Remove a version; BadSite where there is none."""
    found = next((one for one in _files(folder) if one.stem == name), None)
    if found is None:
        raise BadSite(f"There is no version called '{name[:LONGEST_NAME]}' any more.")
    found.unlink()


def _files(folder: SiteFolder) -> list[Path]:
    place = folder.inside(VERSIONS)
    if not place.is_dir():
        return []
    return sorted(_kept(place), key=lambda one: (one.lstat().st_mtime_ns, one.name))


def _kept(place: Path) -> Iterator[Path]:
    """Files of versions; one that leads elsewhere by a link is none."""
    for one in place.glob("*.toml"):
        if one.is_file() and not one.is_symlink() and not one.name.startswith("."):
            yield one


def _read(folder: SiteFolder, file: Path) -> Version:
    try:
        return Version(file.stem, text_of(file))
    except EavewellFault as refused:
        return Version(file.stem, "", refused.faults)


def _name(typed: str) -> str:
    name = " ".join(typed.split())
    if not name:
        raise BadSite("A version needs a name, such as 'larger tank'.")
    if len(name) > LONGEST_NAME:
        raise BadSite(f"A name of a version has at most {LONGEST_NAME} letters.")
    wrong = next((one for one in name if not one.isalnum() and one not in _BESIDE_LETTERS), "")
    if wrong or not name[0].isalnum() or name[-1] == ".":
        raise BadSite(
            "A name of a version begins with a letter or a figure; beside these it may have "
            "spaces, hyphens, commas, points within, +, &, ' and brackets."
        )
    return name
