"""The command on a workshop."""

from pathlib import Path
from typing import Annotated

import typer


def workshop(
    guests: Annotated[
        Path, typer.Argument(help="Sign-in list as csv: name, town, roof, what for.")
    ],
    *,
    kit: Annotated[
        Path | None,
        typer.Option("--kit", help="Site file of what all build; left out: two barrels."),
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="Folder of the papers; left out: by the list.")
    ] = None,
) -> None:
    """Make a workshop ready: a page for everybody, and parts, tools and cuts for all.

    A roof that is not known gives a page with the steps of the tape measure. Nothing is fetched.
    """
    from datetime import date

    from eavewell.district.workshop import kit_of, read_guests, workshop_papers
    from eavewell.district.workshop import workshop as made_ready
    from eavewell.papers.written import write_papers
    from eavewell.report.blocks import paragraph
    from eavewell.terminal.printed import put

    folder = out or guests.with_name(f"{guests.stem}-papers")
    told = made_ready(read_guests(guests), kit_of(kit))
    found = workshop_papers(told, day=date.today())
    write_papers(found, folder)
    put([paragraph(says) for says in told["signed_again"]])
    print(f"Wrote to {folder}: {', '.join(found)}.")
