"""Built systems: the register of the folder's sites, what is due, and what a board is told."""

from dataclasses import dataclass
from threading import Lock
from typing import Annotated, Any

from fastapi import APIRouter, Depends, HTTPException
from fastapi.responses import FileResponse, HTMLResponse, Response

from eavewell.district.looked_through import choices_of, frame_of
from eavewell.district.register import read_register, site_folders
from eavewell.district.register_answer import register_answer
from eavewell.district.register_papers import FOLDER, register_files, write_files
from eavewell.district.register_seen import ROUND, SITES, register_in, round_seen, sites_seen
from eavewell.faults import BadSite
from eavewell.papers.board import board_blocks
from eavewell.papers.field_round import SOON_DAYS
from eavewell.report.blocks import Heading
from eavewell.web.logged import now
from eavewell.web.looked import Address, Text, Turned, YesNo, looked, seen_plain, sort_of
from eavewell.web.pages import Pages

Plain = dict[str, Any]
# more sites than these take minutes, and are read by the command
MOST_HERE = 60
PAPERS = {
    "board.pdf": "the paper for the board",
    "round.pdf": "the round to print",
    "round.xlsx": "as a workbook",
    "round.csv": "as csv",
    "round.ics": "as a calendar",
}
_READING = Lock()


@dataclass(frozen=True, slots=True)
class LookedSites(Turned):
    """What one looks for among built systems; "" for anything."""

    site: Text = ""
    town: Text = ""
    status: Text = ""
    age: Text = ""
    cost_by: Text = ""
    second_supply: YesNo = ""
    sort: Annotated[str, sort_of(SITES)] = ""


@dataclass(frozen=True, slots=True)
class LookedRound(Turned):
    """What one looks for among what is due; "" for anything."""

    town: Text = ""
    site: Text = ""
    kind: Text = ""
    task: Text = ""
    sort: Annotated[str, sort_of(ROUND)] = ""


def router(pages: Pages) -> APIRouter:
    """The register, its round, their files, and reading the sites again."""
    routes = APIRouter()
    home = pages.folders.path

    @routes.get("/built.json", summary="Built systems, a page of them, with their groups")
    def data(asked: Annotated[LookedSites, Depends()]) -> Plain:
        register = register_in(home)
        seen = seen_plain(sites_seen(register, asked.wanted))
        return _head(register) | {"groups": register["groups"]} | seen

    @routes.get("/built/round.json", summary="What is due at built systems, a page of it")
    def due(asked: Annotated[LookedRound, Depends()]) -> Plain:
        register = register_in(home)
        return _head(register) | seen_plain(round_seen(register, asked.wanted))

    @routes.get("/built", include_in_schema=False)
    def built(asked: Annotated[LookedSites, Depends()]) -> HTMLResponse:
        return HTMLResponse(_built(pages, register_in(home), asked=asked))

    @routes.get("/built/round", include_in_schema=False)
    def round_(asked: Annotated[LookedRound, Depends()]) -> HTMLResponse:
        return HTMLResponse(_round(pages, register_in(home), asked=asked))

    @routes.get("/built/papers/{file}", include_in_schema=False)
    def paper(file: str) -> Response:
        path = home / FOLDER / file
        if file not in PAPERS or not path.is_file() or path.is_symlink():
            raise HTTPException(404, "There is no such paper here.")
        return FileResponse(path, filename=file)

    @routes.post("/built", include_in_schema=False)
    def read_again() -> Response:
        _read_again(pages)
        return Response(status_code=204, headers={"hx-redirect": "/built"})

    return routes


def _built(pages: Pages, register: Plain, *, asked: LookedSites) -> str:
    if register["day"] is None:
        return pages.html("built_none.html")
    seen = sites_seen(register, asked.wanted)
    table = looked(
        seen,
        SITES,
        wanted=asked.wanted,
        address=Address("/built", {}),
        show=register["show"],
        choices=choices_of(frame_of(register["sites"], SITES), SITES),
    )
    shown = {"table": table, "papers": _papers(pages), **_told(register)}
    return pages.html("built.html", **_head(register), **shown)


def _round(pages: Pages, register: Plain, *, asked: LookedRound) -> str:
    if register["day"] is None:
        return pages.html("built_none.html")
    seen = round_seen(register, asked.wanted)
    table = looked(
        seen,
        ROUND,
        wanted=asked.wanted,
        address=Address("/built/round", {}),
        show=register["show"],
        choices=choices_of(frame_of(register["due"], ROUND), ROUND),
    )
    shown = {"table": table, "papers": _papers(pages)}
    return pages.html("built_round.html", **_head(register), **shown)


def _read_again(pages: Pages) -> None:
    """Read every site and write the register anew."""
    folder = pages.folders.path
    if sum(1 for _ in site_folders(folder)) > MOST_HERE:
        raise BadSite(
            f"There are more than {MOST_HERE} sites: have them read by `eavewell register` in "
            "this folder, which takes some minutes."
        )
    if not _READING.acquire(blocking=False):
        raise BadSite("The sites are being read already: wait a little.")
    try:
        answer = register_answer(read_register(folder, now=now()))
        write_files(register_files(answer, days=SOON_DAYS), folder / FOLDER)
    finally:
        _READING.release()


def _head(register: Plain) -> Plain:
    return {key: register[key] for key in ("name", "day", "heard_within_days", "smallest_group")}


def _told(register: Plain) -> Plain:
    """What the board is told: its first sentences, and the parts below the register."""
    blocks = board_blocks(register)
    at = next(at for at, one in enumerate(blocks) if isinstance(one, Heading))
    return {"first": blocks[:at], "parts": blocks[at:]}


def _papers(pages: Pages) -> Plain:
    folder = pages.folders.path / FOLDER
    return {file: words for file, words in PAPERS.items() if (folder / file).is_file()}
