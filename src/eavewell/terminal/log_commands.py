"""The commands on a log: entries go in, are shown and put right; files and sensors; the check."""

from pathlib import Path
from typing import Annotated, Any

import typer

from eavewell.terminal.entry_commands import entries
from eavewell.terminal.log_opened import (
    HERE,
    Folder,
    Number,
    Opened,
    Where,
    Who,
    Why,
    open_site,
    site_meant,
)
from eavewell.terminal.service_commands import service

log = typer.Typer(
    no_args_is_help=True,
    rich_markup_mode=None,
    help="Write into the log of a site, look at it, bring readings in.",
)
log.add_typer(entries)
log.add_typer(service)
TO_BE_DONE = 3
NOTHING = "Nothing needs doing today."


@log.command()
def show(
    name: Annotated[str, typer.Argument(help="A gauge, or readings, loads, notes; else all.")] = "",
    *,
    most: Annotated[int, typer.Option("--most", min=1, max=10_000, help="How many.")] = 20,
    site: Where = HERE,
) -> None:
    """Show the last entries with their numbers."""
    from eavewell.logbook.entries.listed import listed
    from eavewell.logbook.entries.renamed import gone
    from eavewell.report.blocks import paragraph
    from eavewell.terminal.printed import put

    opened = open_site(site, make=False)
    with opened.store as store:
        opened.show(listed(opened.site, store, name=name, most=most))
        if not name:
            put(paragraph(one.words) for one in gone(opened.site, store))


@log.command()
def correct(
    number: Number,
    said: Annotated[str, typer.Argument(help="What it should say; left out: it stays.")] = "",
    *,
    why: Why,
    at: Annotated[str, typer.Option("--at", help="When it was; left out: it stays.")] = "",
    who: Who = "",
    site: Where = HERE,
) -> None:
    """Put an entry right; what stood there is kept.

    Its figure, volume or words, and when it was.
    """
    from eavewell.logbook.entries.listed import asked_again, put_right
    from eavewell.logbook.entries.shown import number_meant

    opened = open_site(site, make=False)
    kind, key = number_meant(number)
    with opened.store as store:
        when = opened.at(at) if at else None
        was = store.entry(kind, key)
        right = put_right(opened.site, was, said=said, at=when)
        right = asked_again(opened.site, store, right=right, was=was, now=opened.now)
        store.correct(key, right, why=why, who=who, now=opened.now)
        opened.show([(key, right)])


@log.command()
def strike(number: Number, *, why: Why, who: Who = "", site: Where = HERE) -> None:
    """Take an entry out; it is kept with the reason."""
    from eavewell.logbook.entries.shown import number_meant

    opened = open_site(site, make=False)
    kind, key = number_meant(number)
    with opened.store as store:
        store.strike(kind, key, why=why, who=who, now=opened.now)
    print(f"{number} is struck out.")


@log.command()
def stretch(
    gauge: Annotated[str, typer.Argument(help="The gauge whose readings are wrong.")],
    *,
    began: Annotated[str, typer.Option("--from", help="The first of them.")],
    ended: Annotated[str, typer.Option("--to", help="They end before this.")],
    unit: Annotated[str, typer.Option("--unit", help="Read them in it; left out: strike.")] = "",
    was: Annotated[str, typer.Option("--was", help="Unit they had; else the gauge's.")] = "",
    why: Why,
    who: Who = "",
    site: Where = HERE,
) -> None:
    """Put a stretch of readings right: another unit, or struck out.

    All of it or nothing; what stood there is kept.
    """
    from eavewell.logbook.entries.stretch import Because, Stretch, in_another_unit, strike_stretch
    from eavewell.logbook.readings.gauges import gauge_called

    opened = open_site(site, make=False)
    with opened.store as store:
        began_at, ended_at = opened.at(began, hour=0.0), opened.at(ended, hour=0.0)
        of = Stretch(gauge_called(opened.site, gauge), began_at, ended_at)
        because = Because(why, who, opened.now)
        if unit:
            count = in_another_unit(store, of, because=because, unit=unit, was=was)
        else:
            count = strike_stretch(store, of, because=because)
    print(f"{count:,} readings are {f'read in {unit}' if unit else 'struck out'}.")


@log.command()
def rename(
    was: Annotated[str, typer.Argument(help="The name that the site file has no more.")],
    name: Annotated[str, typer.Argument(help="The name that the gauge, or tank, has there now.")],
    *,
    site: Where = HERE,
) -> None:
    """Put what stands under an old name of a gauge or tank under its new one.

    All of it or nothing; a note keeps that it was done.
    """
    from eavewell.logbook.entries.renamed import rename as put_under

    opened = open_site(site, make=False)
    with opened.store as store:
        print(put_under(opened.site, store, was=was, name=name, now=opened.now).says)


@log.command()
def bring(
    file: Annotated[Path, typer.Argument(help="csv of readings in any order, or a log.")],
    *,
    gauge: Annotated[
        list[str] | None,
        typer.Option("--gauge", help="Its gauge, or one by the file's name: sensor.tank=main."),
    ] = None,
    unit: Annotated[str, typer.Option("--unit", help="Of its bare figures.")] = "",
    again: Annotated[bool, typer.Option("--again", help="Though it was brought before.")] = False,
    who: Who = "",
    site: Where = HERE,
) -> None:
    """Bring in a file of readings: all of it or nothing, and never twice.

    Of a logger, a meter's bills, the history of a home automation, or a whole log.
    """
    from eavewell.logbook.entries.bring import AsRead, brought_page
    from eavewell.logbook.entries.bring import bring as bring_in
    from eavewell.logbook.entries.phone_brought import bring_phone_text, is_phone_text
    from eavewell.terminal.printed import put

    data = file.read_bytes()
    opened, how = open_site(site), AsRead(gauge or [], unit, who, again)
    with opened.store as store:
        if is_phone_text(data):
            put(bring_phone_text(opened.site, store, data=data, now=opened.now))
            return
        found, added = bring_in(
            opened.site, store, name=file.name, data=data, how=how, now=opened.now
        )
    put(brought_page(opened.site, found, added=added))


@log.command()
def export(
    file: Annotated[Path, typer.Argument(help="The file to write; it must not be there yet.")],
    *,
    site: Where = HERE,
) -> None:
    """Write the whole log to one text file, which 'bring' takes into another.

    To keep a copy, to move to an office's database, or to hand it on.
    """
    from eavewell.logbook.entries.whole_log import written_to

    opened = open_site(site, make=False)
    with opened.store as store, file.open("x", encoding="utf-8") as out:
        count = written_to(out, opened.site, store=store)
    print(f"Wrote {count:,} entries to {file}.")


@log.command()
def erase(
    name: Annotated[str, typer.Argument(help="The name of the site, so that it is meant.")],
    *,
    site: Where = HERE,
) -> None:
    """Erase the whole log of a site; nothing of it is kept.

    'export' writes it to a file before.
    """
    from eavewell.faults import BadLog

    opened = open_site(site, make=False)
    with opened.store as store:
        if name != opened.site.name:
            raise BadLog(f"Nothing was erased: the site is called '{opened.site.name}'.")
        store.erase()
    print(f"The log of {name} is erased.")


@log.command()
def listen(*, site: Where = HERE) -> None:
    """Take what sensors send to the message broker; Ctrl+C stops.

    A message is acknowledged when it is on the disk, so that nothing is lost.
    """
    from eavewell.terminal.listening import listened

    opened = open_site(site)
    with opened.store as store:
        print(listened(opened.site, store))


@log.command()
def check(
    folder: Folder = HERE,
    *,
    tell: Annotated[
        bool, typer.Option("--tell", help="Tell whom [log.tell] names of what is new.")
    ] = False,
    site: Where = HERE,
) -> None:
    """Say what needs doing today; ends with 3 where something does.

    By the look ahead, the leak tests, the due list and the water tests.
    """
    from eavewell.files.record import beside_of, record_of
    from eavewell.logbook.alerts import Asked, check_today

    opened = open_site(site_meant(folder, site), make=False)
    with opened.store as store:
        here = opened.site
        checked = check_today(Asked(here, record_of(here), beside_of(here), opened.now))
        for one in checked.alerts:
            print(one.says)
        for says in checked.unknown:
            print(f"Not looked at: {says}")
        if not checked.alerts:
            print("Nothing is known to need doing." if checked.unknown else NOTHING)
        if tell:
            _tell(opened, store, alerts=checked.alerts)
    if checked.alerts:
        raise typer.Exit(TO_BE_DONE)


def _tell(opened: Opened, store: Any, *, alerts: Any) -> None:
    from eavewell.faults import BadLog
    from eavewell.logbook.wire.told import tell

    whom = opened.site.log.tell
    if not (whom.mail_to or whom.topic):
        raise BadLog("--tell: the site file names nobody: give it [log.tell].")
    new = tell(opened.site, store, alerts=alerts, now=opened.now)
    print(f"Told of {len(new)} of them." if new else "Nothing new was told.")
