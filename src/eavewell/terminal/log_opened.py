"""A site with its log open, for the commands on it, and what they all ask."""

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import typer

At = Annotated[str, typer.Option("--at", help='"2027-03-04 7:30", "yesterday 18:00"; else now.')]
Who = Annotated[str, typer.Option("--who", help="Who read or did it.")]
Remark = Annotated[str, typer.Option("--note", help="Anything else to know of it.")]
Where = Annotated[Path, typer.Option("--site", help="The site file or its folder; else here.")]
Folder = Annotated[Path, typer.Argument(help="The same as --site.")]
Why = Annotated[str, typer.Option("--why", help="What was wrong; it is kept.")]
Number = Annotated[str, typer.Argument(help="As 'eavewell log show' has it, such as r12.")]
HERE = Path()


@dataclass(frozen=True, slots=True)
class Opened:
    """A site with its log open, at a moment of this computer's clock."""

    site: Any
    store: Any
    now: Any

    def at(self, said: str, *, hour: float | None = None) -> Any:
        """The instant that is meant."""
        from eavewell.logbook.entries.when import instant_said
        from eavewell.logbook.readings.midnights import zone_of

        zone = zone_of(self.site.log.zone) if self.site.log.zone else None
        usual = self.site.log.readings_at if hour is None else hour
        return instant_said(said, now=self.now, zone=zone, hour=usual)

    def write(self, entry: Any) -> None:
        """Write an entry, show it with its number, and say what follows from it."""
        from datetime import timedelta

        from eavewell.logbook.entries.follows import refuse
        from eavewell.logbook.store.documents import instant_of, kind_of

        refuse(entry, self.site, now=self.now)
        added = self.store.add([entry], now=self.now)
        at = instant_of(entry)
        near = self.store.entries(kind_of(entry), at, until=at + timedelta(seconds=1))
        self.show([one for one in near if one[1] == entry][:1], again=not added.new)
        self.follow(entry)

    def follow(self, entry: Any) -> None:
        """Say what follows from an entry that stands in the log."""
        from eavewell.logbook.entries.follows import follows_now
        from eavewell.report.blocks import paragraph
        from eavewell.terminal.printed import put

        said = follows_now(self.site, entry, kept=self.store, now=self.now)
        put([paragraph(says) for says in said])

    def show(self, found: Any, *, again: bool = False) -> None:
        """Show entries of the log."""
        from eavewell.logbook.entries.shown import entries_page
        from eavewell.terminal.printed import put

        put(entries_page(self.site, found))
        if again:
            print("It was in the log already.")


def site_meant(folder: Path, site: Path) -> Path:
    """The site that was named with --site or without it; BadLog where both name another."""
    from eavewell.faults import BadLog

    if HERE not in (folder, site) and folder != site:
        raise BadLog(f"Which site is meant, {folder} or {site}? Name one.")
    return site if folder == HERE else folder


def open_site(path: Path, *, make: bool = True) -> Opened:
    """The site of a file or folder, its log open; make : begin a log where there is none."""
    from datetime import datetime

    from eavewell.files.site.reader import read_site
    from eavewell.logbook.store import open_log

    site = read_site(path / "site.toml" if path.is_dir() else path)
    store = open_log(site, make=make, waits=_say)
    return Opened(site, store, datetime.now().astimezone())


def _say(words: str) -> None:
    print(words, file=sys.stderr, flush=True)
