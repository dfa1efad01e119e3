"""The command on built systems."""

from pathlib import Path
from typing import Annotated

import typer


def register(
    folder: Annotated[Path, typer.Argument(help="The folder of sites.")] = Path(),
    *,
    out: Annotated[
        Path | None, typer.Option("--out", help="Folder of results; left out: register, in it.")
    ] = None,
    days: Annotated[
        int, typer.Option("--days", min=1, max=366, help="How far ahead the round looks.")
    ] = 30,
    meters: Annotated[
        Path | None,
        typer.Option("--meters", help="Mains water metered before and after, for the board."),
    ] = None,
    workers: Annotated[
        int | None, typer.Option("--workers", min=1, max=256, help="Left out: one a core.")
    ] = None,
    json: Annotated[str, typer.Option("--json", help="File for the answer; - prints it.")] = "",
) -> None:
    """Keep the register of built systems: which work, what is due, what meters verify.

    Of each site no more than its owner agreed to in [log.share]. Writes the round of the field
    team, by town, and a paper for the board.
    """
    from datetime import datetime
    from os import cpu_count

    from eavewell.district.metered import read_metered
    from eavewell.district.register import read_register
    from eavewell.district.register_answer import register_answer
    from eavewell.district.register_page import register_page
    from eavewell.district.register_papers import FOLDER, register_files, write_files
    from eavewell.terminal.printed import put
    from eavewell.terminal.progress import bar
    from eavewell.terminal.written import as_json, write

    mains = read_metered(meters) if meters is not None else None
    now = datetime.now().astimezone()
    with bar("sites") as tell:
        hands = workers or cpu_count() or 1
        found = read_register(folder, now=now, workers=hands, tell=tell)
    answer = register_answer(found, mains=mains)
    if json == "-":
        print(as_json(answer))
        return
    if json:
        write(Path(json), as_json(answer))
    results = out or folder / FOLDER
    files = register_files(answer, days=days)
    write_files(files, results)
    put(register_page(answer))
    print(f"Wrote to {results}: {', '.join(files)}.")
