"""The states a site file has had, kept beside it, so that a change can be taken back and redone.

They lie as numbered files in `.undo/`, with the number of the present one in `.undo/at`. A state
is written before the site file is, so whatever happens in between, the file and its states hold.
"""

from dataclasses import dataclass
from pathlib import Path

from eavewell.files.site.edit import write_bytes_beside
from eavewell.files.site.reader import text_brought
from eavewell.web.site_folders import UNDO, SiteFolder

MOST_STATES = 200
MOST_BYTES = 20_000_000


@dataclass(frozen=True, slots=True)
class History:
    """The numbers of the states kept, oldest first, and which of them the file is now.

    at : 0 where the file is none of them: it was changed outside, or nothing was changed yet.
    """

    folder: Path
    states: tuple[int, ...]
    at: int

    def text(self, state: int) -> bytes:
        """What the file said then."""
        return _file(self.folder, state).read_bytes()

    def beside(self, steps: int) -> int:
        """The state so many steps on, or back for less than 0; 0 where there is none."""
        if not self.states:
            return 0
        row = self.states.index(self.at) if self.at else len(self.states)
        return self.states[row + steps] if 0 <= row + steps < len(self.states) else 0


def history(folder: SiteFolder) -> History:
    """The states of a site file as they lie beside it."""
    place = folder.inside(UNDO)
    kept = place.glob("*.toml") if place.is_dir() else iter(())
    states = tuple(sorted(int(one.stem) for one in kept if one.stem.isdecimal() and one.is_file()))
    now = folder.file.read_bytes() if folder.file.is_file() else b""
    likely = [_noted(place), *reversed(states)]
    at = next((one for one in likely if one in states and _file(place, one).read_bytes() == now), 0)
    return History(place, states, at)


def kept_and_written(folder: SiteFolder, data: bytes) -> None:
    """Write the site file and keep what it said before, and what it says now, as states.

    Raises BadSite for what could not be read again as a site file.
    """
    text_brought(data, file=str(folder.file))
    past = history(folder)
    past.folder.mkdir(exist_ok=True)
    last = past.at or (past.states[-1] if past.states else 0)
    for state in past.states:
        if past.at and state > past.at:
            _file(past.folder, state).unlink(missing_ok=True)
    if not past.at:
        last += 1
        write_bytes_beside(_file(past.folder, last), folder.file.read_bytes())
    write_bytes_beside(_file(past.folder, last + 1), data)
    write_bytes_beside(folder.file, data)
    _note(past.folder, last + 1)
    _bound(past.folder)


def stepped(folder: SiteFolder, steps: int) -> bool:
    """Set the file to the state before or after; False where there is none."""
    past = history(folder)
    state = past.beside(steps)
    if not state:
        return False
    if not past.at:  # changed outside: that too can be had back
        write_bytes_beside(_file(past.folder, past.states[-1] + 1), folder.file.read_bytes())
    write_bytes_beside(folder.file, past.text(state))
    _note(past.folder, state)
    return True


def _file(place: Path, state: int) -> Path:
    return place / f"{state:08d}.toml"


def _noted(place: Path) -> int:
    try:
        return int((place / "at").read_text(encoding="ascii"))
    except (OSError, ValueError):
        return 0


def _note(place: Path, state: int) -> None:
    write_bytes_beside(place / "at", str(state).encode())


def _bound(place: Path) -> None:
    """Drop the oldest states beyond the number and bytes that are kept."""
    files = sorted(place.glob("*.toml"), reverse=True)
    total = 0
    for row, one in enumerate(files):
        total += one.stat().st_size
        if row >= MOST_STATES or (total > MOST_BYTES and row > 1):
            one.unlink(missing_ok=True)
