"""Commands that hold a site against its log: ahead, today, reconcile, leaks."""

from pathlib import Path
from typing import Annotated, Any

import typer

from eavewell.terminal.show_in import ShowIn, shown_system

Several = list[str] | None
SiteFile = Annotated[Path, typer.Argument(help="The site file, or the folder it lies in.")]
Json = Annotated[str, typer.Option("--json", help="File for the answer; - prints it.")]
looking = typer.Typer()
TO_BE_DONE = 3


@looking.command()
def ahead(
    site: SiteFile,
    *,
    level: Annotated[
        Several, typer.Option("--level", help='main="41 in", "60 %" or "900 gal"; else the log\'s.')
    ] = None,
    use: Annotated[
        Several, typer.Option("--use", help='"84 gal/day" of last week, or house="60 gal/day".')
    ] = None,
    rain: Annotated[
        Several, typer.Option("--rain", help='"0.8 in on Friday", or on 2027-03-05.')
    ] = None,
    load: Annotated[
        Several, typer.Option("--load", help='"2,000 gal on Friday", "on 2027-03-05 to main".')
    ] = None,
    reach: Annotated[str, typer.Option("--reach", help="A day to which it is to last.")] = "",
    chance: Annotated[
        str, typer.Option("--chance", help="Of running dry before it that is borne.")
    ] = "",
    read_on: Annotated[
        str, typer.Option("--read-on", help="The day of the typed levels; left out: today.")
    ] = "",
    alert: Annotated[
        bool, typer.Option("--alert", help="End with 3 where something is to be done today.")
    ] = False,
    json: Json = "",
    daily: Annotated[
        bool, typer.Option("--daily", help="Every evening in --json, not one a week.")
    ] = False,
    show: ShowIn = "",
) -> None:
    """Say how long the water lasts, when to ration, when to order.

    From today's level through every year of the record; levels typed here, or the last of the log.
    """
    from datetime import datetime

    from eavewell.logbook.ahead.answer import by_weeks
    from eavewell.logbook.ahead.answered import Said, answered
    from eavewell.report.ahead import ahead_page

    said = Said(level or (), use or (), rain or (), load or (), reach, chance, read_on)
    shown, record, beside = _read(site, show)
    now = datetime.now().astimezone()
    answer = answered(shown, record, beside=beside, said=said, now=now)
    _put(answer, ahead_page, json=json, twin=answer if daily else by_weeks(answer))
    if alert and answer["alerts"]:
        raise typer.Exit(TO_BE_DONE)


@looking.command()
def today(site: SiteFile, *, json: Json = "", show: ShowIn = "") -> None:
    """Say until when the water lasts, what stands in the tanks, what was used and caught.

    By the log, against what the season lets expect.
    """
    from datetime import datetime
    from functools import partial

    from eavewell.logbook.today_answer import today_answered
    from eavewell.report.today import today_page

    shown, record, beside = _read(site, show)
    found = today_answered(shown, record, beside=beside, now=datetime.now().astimezone())
    _put(found.today, partial(today_page, ahead=found.ahead), json=json)


@looking.command()
def reconcile(site: SiteFile, *, json: Json = "", show: ShowIn = "") -> None:
    """Say what the log found of the roof, the first flush and the use.

    Against what the site file says, each with its range, and what to change in it.
    """
    from eavewell.logbook.checked import reconciled_answered
    from eavewell.report.reconciled import reconciled_page

    _shown(site, show, answered=reconciled_answered, page=reconciled_page, json=json)


@looking.command()
def leaks(site: SiteFile, *, json: Json = "", show: ShowIn = "") -> None:
    """Look for leaks, stuck floats and a gauge that drifts.

    Each test with the least leak that it can show, and how to find where it is.
    """
    from eavewell.logbook.checked import leaks_answered
    from eavewell.report.leaks import leaks_page

    _shown(site, show, answered=leaks_answered, page=leaks_page, json=json)


def _shown(path: Path, show: str, *, answered: Any, page: Any, json: str) -> None:
    """What a log answers with its site's record, as of now."""
    from datetime import datetime

    site, record, beside = _read(path, show)
    answer = answered(site, record, beside=beside, now=datetime.now().astimezone())
    _put(answer, page, json=json)


def _read(path: Path, show: str) -> tuple[Any, Any, Any]:
    """The site, printed as asked, its record and what it names beside it."""
    from dataclasses import replace

    from eavewell.files.record import beside_of, record_of
    from eavewell.files.site.reader import read_site

    site = read_site(path / "site.toml" if path.is_dir() else path)
    place = replace(site.place, show=shown_system(show, site.place.show))
    return replace(site, place=place), record_of(site), beside_of(site)


def _put(
    answer: dict[str, Any], page: Any, *, json: str, twin: dict[str, Any] | None = None
) -> None:
    """As JSON where it was asked for, else as a page; a file of it leaves the page too.

    twin : what the JSON says; None: the answer.
    """
    from eavewell.terminal.printed import put
    from eavewell.terminal.written import as_json, write

    if json == "-":
        print(as_json(twin or answer))
        return
    if json:
        write(Path(json), as_json(twin or answer))
    put(page(answer, system=answer["show"]))
