"""Commands on what a standing site needs: what is due, its tests, its faults, its year."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Annotated, Any

import typer

from eavewell.terminal.log_opened import HERE, Folder, Where, site_meant
from eavewell.terminal.show_in import ShowIn, shown_system

service = typer.Typer()

Json = Annotated[str, typer.Option("--json", help="File for the answer; - prints it.")]
Several = list[str] | None


@service.command()
def due(
    folder: Folder = HERE,
    *,
    ics: Annotated[
        Path | None, typer.Option("--ics", help="File for a calendar; written anew each time.")
    ] = None,
    days: Annotated[int, typer.Option("--days", min=1, help="How far ahead.")] = 366,
    site: Where = HERE,
    json: Json = "",
    show: ShowIn = "",
) -> None:
    """Say what is due: over its day first, then month by month.

    By days, storms, a lamp's hours, a cartridge's litres, and after an outage.
    """
    from eavewell.logbook.upkeep.service import due_of
    from eavewell.logbook.upkeep.service_answers import due_answer, due_calendar
    from eavewell.report.due import due_page

    with _opened(site_meant(folder, site), show) as one:
        found = due_of(one.read)
        answer = due_answer(one.site, found, day=one.read.today)
    if ics is not None:
        ics.write_bytes(due_calendar(answer))
    _out(answer, json, page=due_page(answer, days=days))
    if ics is not None and json != "-":
        print(f"Wrote {ics}.")


@service.command()
def results(
    folder: Folder = HERE, *, site: Where = HERE, json: Json = "", show: ShowIn = ""
) -> None:
    """Say how the water tests stand.

    What is done today where one failed, when the next is taken, and how a sample is drawn.
    """
    from eavewell.answers.shown import Sizes
    from eavewell.logbook.upkeep.service_answers import results_answer
    from eavewell.report.results import results_page

    with _opened(site_meant(folder, site), show) as one:
        answer = results_answer(one.site, one.read.results)
    _out(answer, json, page=results_page(answer, Sizes(answer["show"])))


@service.command()
def faults(
    words: Annotated[
        Several,
        typer.Argument(
            metavar="SYMPTOM",
            help='Its number, or some of its words: "no water". The site may stand before it.',
        ),
    ] = None,
    *,
    said: Annotated[
        Several,
        typer.Option(
            "--said", help='Whether a check shows what it should: 1=yes, 2="cannot tell".'
        ),
    ] = None,
    site: Where = HERE,
    json: Json = "",
    show: ShowIn = "",
) -> None:
    """Find a fault: the likeliest cause first.

    With its check and the figure to expect. Say what a check showed and the rest is narrowed; what
    the log shows counts as well.
    """
    from eavewell.answers import answer as answer_of
    from eavewell.logbook.faults.fault_answers import fault_answer, log_signs
    from eavewell.logbook.faults.faults_found import answers_of
    from eavewell.logbook.leaks.leaks import leak_test
    from eavewell.logbook.readings.daily import daily_log
    from eavewell.report.faults import faults_page

    answers, asked = answers_of(said or []), _site_and_symptom(words or [], site)
    with _opened(asked.site, show) as one:
        designed = answer_of(one.made)
        log = daily_log(one.site, one.kept, until=one.read.now)
        leaks = leak_test(one.site, one.made, log=log, kept=one.kept).findings if log.days else ()
        signs = log_signs(designed, one.read, findings=leaks)
        day = one.read.today
    answer = fault_answer(designed, asked.symptom, answers=answers, signs=signs, day=day)
    _out(answer, json, page=faults_page(answer))


@service.command()
def year(
    folder: Folder = HERE,
    *,
    of: Annotated[
        int | None, typer.Option("--year", help="Left out: the last year that is over, else this.")
    ] = None,
    authority: Annotated[
        bool, typer.Option("--authority", help="For an authority: no use or level by month.")
    ] = False,
    agreed: Annotated[
        Several,
        typer.Option("--agreed", help="What it may see all the same: months, place, names."),
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="The PDF; left out: in the site's papers.")
    ] = None,
    site: Where = HERE,
    json: Json = "",
    show: ShowIn = "",
) -> None:
    """Write the year paper.

    What came, what was used and saved, tests, care done and missed, outages.
    """
    from eavewell.logbook.readings.daily import daily_log
    from eavewell.logbook.year.year_paper import last_year_of, year_answer, year_of
    from eavewell.papers.typeset import pdf
    from eavewell.papers.year_paper import in_short, year_paper
    from eavewell.report.blocks import heading, paragraph
    from eavewell.terminal.printed import put

    meant = site_meant(folder, site)
    with _opened(meant, show) as one:
        log = daily_log(one.site, one.kept, until=one.read.now)
        number = of or last_year_of(one.read)
        found = year_of(one.made, log, read=one.read, year=number)
    whom = "authority" if authority else "owner"
    answer = year_answer(found, whom="authority" if authority else "owner", agreed=agreed or ())
    if json:
        _out(answer, json)
    if json != "-":
        file = out or _folder(meant) / "papers" / f"year-{number}-{whom}.pdf"
        file.parent.mkdir(parents=True, exist_ok=True)
        paper = year_paper(answer, system=answer["show"])
        file.write_bytes(pdf(paper))
        put([heading(f"{paper.site}: {paper.title}"), *map(paragraph, in_short(paper))])
        print(f"Wrote {file}.")


@dataclass(frozen=True)
class _Asked:
    """A site, and what is wrong there; "" where that is asked."""

    site: Path
    symptom: str


def _site_and_symptom(words: list[str], site: Path) -> _Asked:
    from eavewell.faults import BadLog

    named, said = (words[:1], words[1:]) if words and _is_site(words[0]) else ([], words)
    if len(said) > 1:
        raise BadLog(f"{' '.join(said)!r}: put the words of a symptom in quotation marks.")
    return _Asked(site_meant(Path(*named), site), "".join(said))


def _is_site(word: str) -> bool:
    return word.endswith(".toml") or (Path(word) / "site.toml").is_file()


@dataclass(frozen=True)
class _Opened:
    """A site with its design, its log, and what service reads of it; any: nothing heavy here."""

    site: Any
    made: Any
    kept: Any
    read: Any


@contextmanager
def _opened(path: Path, show: str) -> Iterator[_Opened]:
    from dataclasses import replace

    from eavewell.design import design
    from eavewell.files.record import beside_of, record_of
    from eavewell.files.site.reader import read_site
    from eavewell.logbook.nothing_kept import log_if_any
    from eavewell.logbook.upkeep.care import care_of
    from eavewell.logbook.upkeep.serviced import serviced

    site = read_site(_folder(path) / "site.toml" if path.is_dir() else path)
    site = replace(site, place=replace(site.place, show=shown_system(show, site.place.show)))
    made = design(site, record_of(site), beside=beside_of(site), stage=_without_doubts)
    with log_if_any(site) as kept:
        read = serviced(care_of(made), kept, now=datetime.now().astimezone())
        yield _Opened(site, made, kept, read)


def _without_doubts(function: Callable[..., Any], *inputs: Any, **named: Any) -> Any:
    """Every stage but the doubts, which service does not ask for and which take longest."""
    from eavewell.storage.doubts import doubts

    return None if function is doubts else function(*inputs, **named)


def _folder(path: Path) -> Path:
    return path if path.is_dir() else path.parent


def _out(answer: dict[str, Any], json: str, *, page: Any = None) -> None:
    """The answer as JSON where it was asked for, else on the page."""
    from eavewell.terminal.printed import put
    from eavewell.terminal.written import as_json, write

    if json == "-":
        print(as_json(answer))
    elif json:
        write(Path(json), as_json(answer))
    if page is not None and json != "-":
        put(page)
