"""Commands that hold a log against its site file, and look for leaks in it."""

from pathlib import Path
from typing import Annotated, Any

import typer

from eavewell.terminal.show_in import ShowIn, shown_system

checking = typer.Typer()
SiteFile = Annotated[Path, typer.Argument(help="The site file, or the folder it lies in.")]
Json = Annotated[str, typer.Option("--json", help="File for the answer; - prints it.")]


@checking.command()
def reconcile(site: SiteFile, *, json: Json = "", show: ShowIn = "") -> None:
    """Say what the log found of the roof, the first flush and the use.

    Against what the site file says, each with its range, and what to change in it.
    """
    from eavewell.logbook.checked import reconciled_answered
    from eavewell.report.reconciled import reconciled_page

    _checked(site, show, answered=reconciled_answered, page=reconciled_page, json=json)


@checking.command()
def leaks(site: SiteFile, *, json: Json = "", show: ShowIn = "") -> None:
    """Look for leaks, stuck floats and a gauge that drifts.

    Each test with the least leak that it can show, and how to find where it is.
    """
    from eavewell.logbook.checked import leaks_answered
    from eavewell.report.leaks import leaks_page

    _checked(site, show, answered=leaks_answered, page=leaks_page, json=json)


def _checked(path: Path, show: str, *, answered: Any, page: Any, json: str) -> None:
    from dataclasses import replace
    from datetime import datetime

    from eavewell.files.record import beside_of, record_of
    from eavewell.files.site.reader import read_site
    from eavewell.terminal.printed import put
    from eavewell.terminal.written import as_json, write

    site = read_site(path / "site.toml" if path.is_dir() else path)
    site = replace(site, place=replace(site.place, show=shown_system(show, site.place.show)))
    now = datetime.now().astimezone()
    answer = answered(site, record_of(site), beside=beside_of(site), now=now)
    if json == "-":
        print(as_json(answer))
        return
    if json:
        write(Path(json), as_json(answer))
    put(page(answer, system=answer["show"]))
