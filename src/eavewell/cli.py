"""The command line: reads what is asked, asks the engine, shows the answer. No arithmetic."""

import os
import sys
from io import TextIOWrapper
from pathlib import Path
from typing import Annotated, Any

import typer

from eavewell.faults import EavewellFault
from eavewell.terminal.ahead_commands import looking
from eavewell.terminal.district_commands import screening
from eavewell.terminal.log_commands import log
from eavewell.terminal.rain_commands import rain
from eavewell.terminal.register_commands import register
from eavewell.terminal.show_in import ShowIn, shown_system
from eavewell.terminal.workshop_commands import workshop
from eavewell.terminal.written import as_json, write

BAD_INPUT, OUR_FAULT = 2, 1

app = typer.Typer(
    name="eavewell",
    help="Design and look after systems that live on rain.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
app.add_typer(rain, name="rain")
app.add_typer(log, name="log")
app.add_typer(screening)
app.command()(workshop)
app.command()(register)
app.add_typer(looking)

SiteFile = Annotated[Path, typer.Argument(help="The site file, or the folder it lies in.")]


def main() -> None:
    """Run the command line: 0 done, 2 bad input in sentences, 1 a fault of ours."""
    # Nets are small: more threads of the linear algebra only wait for one another, and on a busy
    # machine for long. Read once, when numpy is first loaded; what the user has set stands.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    for stream in (sys.stdout, sys.stderr):
        # A terminal that lacks a letter of a site's name shows a mark instead.
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        app(standalone_mode=True)
    except EavewellFault as refused:
        for fault in refused.faults:
            print(fault, file=sys.stderr)
        sys.exit(BAD_INPUT)
    except BrokenPipeError:
        # The reader has gone; closing quietly needs the output out of the way.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)
    except OSError as refused:
        print(
            f"{refused.filename or 'the output'}: {refused.strerror or refused}.", file=sys.stderr
        )
        sys.exit(BAD_INPUT)
    except Exception as broken:
        if os.environ.get("EAVEWELL_DEBUG"):
            raise
        print(
            f"A fault of ours, not of your input: {type(broken).__name__}: {broken}. "
            "Please report it; EAVEWELL_DEBUG=1 shows where it happened.",
            file=sys.stderr,
        )
        sys.exit(OUR_FAULT)


@app.callback(invoke_without_command=True)
def eavewell(
    version: Annotated[bool, typer.Option("--version", help="Say the version and stop.")] = False,
) -> None:
    """Design and look after systems that live on rain."""
    if version:
        from importlib.metadata import version as version_of

        print(f"eavewell {version_of('eavewell')}")
        raise typer.Exit


@app.command()
def new(
    name: Annotated[str, typer.Argument(help="Name of the site and of its folder.")],
    like: Annotated[
        str, typer.Option("--like", help="barrels, low-eaves, part-year or whole-house.")
    ] = "barrels",
    into: Annotated[Path, typer.Option("--in", help="Folder to make it in.")] = Path(),
) -> None:
    """Begin a site: a folder with a file that explains itself."""
    from eavewell.files.site.new_site import new_site

    path = new_site(name, like=like, folder=into)
    print(f"Wrote {path}. Edit it, then: eavewell design {path.parent}")


@app.command()
def design(
    site: SiteFile,
    out: Annotated[
        Path | None, typer.Option("--out", help="Folder for report.txt and design.json.")
    ] = None,
    json: Annotated[str, typer.Option("--json", help="File for the answer; - prints it.")] = "",
    show: ShowIn = "",
    quiet: Annotated[bool, typer.Option("--quiet", help="Print no report.")] = False,
) -> None:
    """Design a site on its rain record and print the report.

    How well it lives through every dry spell on record, what limits it, and which size does.
    """
    answer = _designed(_site_file(site), show)
    system = answer["place"]["show"]
    if out is not None:
        write(out / "design.json", as_json(answer))
        write(out / "report.txt", _as_text(answer, system))
    if json == "-":
        print(as_json(answer))
        return
    if json:
        write(Path(json), as_json(answer))
    if not quiet:
        _put(_report(answer, system))
    if out is not None:
        print(f"\nWrote {out / 'report.txt'} and {out / 'design.json'}.")


@app.command("open")
def open_pages(
    folder: Annotated[Path, typer.Argument(help="The folder of sites, or one site.")] = Path(),
    port: Annotated[
        int | None,
        typer.Option("--port", min=1, max=65535, help="Left out: 8080 or the next free."),
    ] = None,
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open the browser on it.")
    ] = True,
    share: Annotated[
        bool, typer.Option("--share", help="To the local network too, behind a passphrase.")
    ] = False,
) -> None:
    """Open the pages of a folder of sites in the browser; Ctrl+C stops."""
    from eavewell.web.serving import serve

    serve(folder, port=port, browser=browser, share=share)


@app.command()
def weigh(
    site: SiteFile,
    json: Annotated[str, typer.Option("--json", help="File for the answer; - prints it.")] = "",
    show: ShowIn = "",
    most: Annotated[
        int, typer.Option("--most", min=2, max=200, help="How many of a front to price in full.")
    ] = 20,
) -> None:
    """Weigh choices: other tanks, roof, fixtures, garden, rations.

    What each costs over its life, and how many days it meets; what to change stands in [weigh].
    """
    answer = _weighed(_site_file(site), show, most=most)
    if json == "-":
        print(as_json(answer))
        return
    if json:
        write(Path(json), as_json(answer))
    from eavewell.report.weighed import weigh_page

    _put(weigh_page(answer, system=answer["show"]))


@app.command()
def papers(
    site: SiteFile,
    out: Annotated[
        Path | None, typer.Option("--out", help="Folder for them; left out: papers, by the site.")
    ] = None,
    show: ShowIn = "",
) -> None:
    """Write the papers: design report, sheets, parts and order, labels at true size.

    Labels lie one a file and on sheets to print; a paper that you changed is not replaced.
    """
    from eavewell.papers.written import CONTENTS, write_papers

    file = _site_file(site)
    folder = out or file.parent / "papers"
    found = _papers_of(file, show)
    write_papers(found, folder)
    plain = ", ".join(sorted(name for name in found if "/" not in name))
    sheets, labels = (
        sum(name.startswith(f"{kind}/") for name in found) for kind in ("label-sheets", "labels")
    )
    print(f"Wrote to {folder}: {plain}, {labels} labels, {sheets} sheets of labels.")
    print(f"Print the sheets at 100 % and measure the bar on them. {CONTENTS} lists what is ours.")


@app.command()
def schema(
    answer: Annotated[str, typer.Argument(help="Which: design, weighed, ahead ...")] = "design",
) -> None:
    """Print what every key of --json means.

    As a JSON schema, each key with its unit.
    """
    import json

    from eavewell.answers.schema import layouts
    from eavewell.answers.schema import schema as layout

    if answer not in layouts():
        known = ", ".join(layouts())
        raise EavewellFault(f"There is no answer called {answer!r}: say one of {known}.")
    print(json.dumps(layout(answer), indent=1))


def _site_file(path: Path) -> Path:
    return path / "site.toml" if path.is_dir() else path


def _read(path: Path, show: str) -> Any:
    """The site, printed as asked."""
    from dataclasses import replace

    from eavewell.files.site.reader import read_site

    site = read_site(path)
    return replace(site, place=replace(site.place, show=shown_system(show, site.place.show)))


def _weighed(path: Path, show: str, *, most: int) -> dict[str, Any]:
    site = _read(path, show)
    with _waiting(f"Weighing the choices of {site.name} ..."):
        from eavewell.files.record import beside_of, record_of
        from eavewell.weigh import weigh as chain
        from eavewell.weigh.answer import weighed_answer

        found = chain(site, record_of(site), beside=beside_of(site), most_full=most)
        return weighed_answer(found)


def _designed(path: Path, show: str) -> dict[str, Any]:
    """Read, design, answer; says what it is doing to a person who waits."""
    site = _read(path, show)
    with _waiting(f"Designing {site.name} ..."):
        from eavewell.answers import answer
        from eavewell.design import design as chain
        from eavewell.files.record import beside_of, record_of

        return answer(chain(site, record_of(site), beside=beside_of(site)))


def _papers_of(path: Path, show: str) -> dict[str, str | bytes]:
    """Every paper by its file name."""
    site = _read(path, show)
    with _waiting(f"Drawing the papers of {site.name} ..."):
        import tomllib
        from datetime import date

        from eavewell.answers import answer
        from eavewell.design import design as chain
        from eavewell.files.record import beside_of, record_of
        from eavewell.files.site.reader import text_of
        from eavewell.papers.all_papers import drawn_papers, labels_for, papers
        from eavewell.report.parts import parts_page
        from eavewell.terminal.printed import on_paper
        from eavewell.weigh.answer import weighed_of

        beside = beside_of(site)
        made = chain(site, record_of(site), beside=beside)
        plain = answer(made)
        labels = labels_for(made, beside.authority)
        parts = on_paper(parts_page(plain, system=site.place.show))
        weighed, raw = weighed_of(made, beside), tomllib.loads(text_of(path))
        drawn = drawn_papers(made, plain, day=date.today(), weighed=weighed, raw=raw)
        return {**papers(site, labels, answer=plain), "parts.txt": parts, **drawn}


def _waiting(words: str) -> Any:
    from rich.console import Console

    first = "" if _engine_is_ready() else " The engine is prepared once; that takes some seconds."
    return Console(stderr=True).status(words + first, spinner="line", spinner_style="default")


def _engine_is_ready() -> bool:
    """True where the compiled engine lies in its cache already."""
    folders = [
        Path(__file__).parent / "storage" / "__pycache__",
        # Where the package is read-only the cache lies with the user.
        Path.home() / ".cache" / "numba",
        Path.home() / "Library" / "Caches" / "numba",
    ]
    if kept := os.environ.get("NUMBA_CACHE_DIR"):
        folders = [Path(kept)]
    return any(any(folder.rglob("kernel.run_days*.nbi")) for folder in folders)


def _put(page: Any) -> None:
    from eavewell.terminal.printed import put

    put(page)


def _report(answer: dict[str, Any], system: Any) -> Any:
    from eavewell.report.whole import report

    return report(answer, system=system)


def _as_text(answer: dict[str, Any], system: Any) -> str:
    from eavewell.terminal.printed import on_paper

    return on_paper(_report(answer, system))
