"""The papers of a site: each sheet and paper as a picture, to take away one by one or all."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from io import BytesIO
from threading import Lock
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from fastapi import APIRouter, HTTPException
from fastapi.responses import HTMLResponse, Response

from eavewell.files.pdf_pages import opened
from eavewell.files.record import authority_of, beside_of
from eavewell.papers.all_papers import drawn_papers, labels_for, papers
from eavewell.web.desk import OnDesk, needed
from eavewell.web.pages import Pages
from eavewell.web.site_locks import SiteLocks
from eavewell.web.things import to_keep
from eavewell.weigh.answer import weighed_of

KINDS = {
    "pdf": "application/pdf",
    "svg": "image/svg+xml",
    "dxf": "image/vnd.dxf",
    "csv": "text/csv; charset=utf-8",
    "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    "ics": "text/calendar; charset=utf-8",
}
PICTURE_WIDE = 900
KEPT_SETS = 6
FIRST_DAY = (1980, 1, 1, 0, 0, 0)
Files = Mapping[str, bytes]


@dataclass(slots=True)
class PaperSets:
    """The papers of the last few designs, drawn once each, of one site one at a time."""

    made: dict[tuple[str, str], Files] = field(default_factory=dict)
    pictures: dict[tuple[str, str, str, int], bytes] = field(default_factory=dict)
    locks: SiteLocks = field(default_factory=SiteLocks)
    door: Lock = field(default_factory=Lock)

    def of(self, shown: OnDesk) -> Files:
        """Every paper by its file name."""
        key = (str(shown.folder.path), shown.worked_out)
        with self.locks.of(shown.folder):
            found = self.made.get(key)
            return self._kept(key, _drawn(shown)) if found is None else found

    def picture(self, shown: OnDesk, name: str, *, page: int) -> bytes:
        """One page of a PDF as a picture; KeyError where there is none."""
        data = self.of(shown)[name]
        key = (str(shown.folder.path), shown.worked_out, name, page)
        made = self.pictures.get(key)
        if made is None:
            made = _picture(data, page)
            with self.door:
                self.pictures[key] = made
        return made

    def _kept(self, key: tuple[str, str], drawn: Files) -> Files:
        with self.door:
            while len(self.made) >= KEPT_SETS:
                self.made.pop(next(iter(self.made)))
            self.pictures = {k: v for k, v in self.pictures.items() if k[:2] in self.made}
            self.made[key] = drawn
        return drawn


def router(pages: Pages) -> APIRouter:
    """The papers' page, every file on it, and all of them as one."""
    routes, sets = APIRouter(), PaperSets()

    def on_desk(name: str) -> OnDesk:
        return needed(pages.desk(pages.site(name)))

    @routes.get("/sites/{name}/papers.json", summary="The papers of one site, with their sizes")
    def data(name: str) -> dict[str, Any]:
        found = sets.of(on_desk(name))
        return {"papers": [{"file": one, "bytes": len(found[one])} for one in sorted(found)]}

    @routes.get("/sites/{name}/papers.zip", include_in_schema=False)
    def bundle(name: str) -> Response:
        return to_keep(
            _zipped(sets.of(on_desk(name))), f"{name} papers.zip", kind="application/zip"
        )

    @routes.get("/sites/{name}/papers", include_in_schema=False)
    def page(name: str) -> HTMLResponse:
        shown = pages.desk(pages.site(name))
        return HTMLResponse(pages.html("papers.html", shown=shown, name=name, title=shown.title))

    @routes.get("/sites/{name}/papers/set", include_in_schema=False)
    def drawn(name: str) -> HTMLResponse:
        shown = on_desk(name)
        found = sets.of(shown)
        listed = _listed(found, site=shown.answer["site"] if shown.answer else "")
        told = {"version": shown.version, "arrived": "The papers are drawn."}
        return HTMLResponse(pages.html("pieces/paper_set.html", name=name, **told, **listed))

    @routes.get("/sites/{name}/papers/page/{page}/{file:path}", include_in_schema=False)
    def picture(name: str, page: int, *, file: str) -> Response:
        try:
            return Response(sets.picture(on_desk(name), file, page=page), media_type="image/png")
        except (KeyError, IndexError):
            raise HTTPException(404) from None

    @routes.get("/sites/{name}/papers/file/{file:path}", include_in_schema=False)
    def one(name: str, file: str) -> Response:
        found = sets.of(on_desk(name))
        if file not in found:
            raise HTTPException(404)
        kind = KINDS.get(file.rpartition(".")[2], "application/octet-stream")
        if kind == KINDS["svg"]:
            return Response(found[file], media_type=kind)
        return to_keep(found[file], file.rpartition("/")[2], kind=kind)

    return routes


def _drawn(shown: OnDesk) -> Files:
    made, plain = shown.design, dict(shown.answer or {})
    if made is None:
        return {}
    labels = labels_for(made, authority_of(made.site))
    found: dict[str, str | bytes] = {
        **papers(made.site, labels, answer=plain),
        **drawn_papers(
            made,
            plain,
            day=date.today(),
            weighed=weighed_of(made, beside_of(made.site)),
            raw=shown.raw,
        ),
    }
    return {name: one.encode() if isinstance(one, str) else one for name, one in found.items()}


def _listed(found: Files, *, site: str) -> dict[str, Any]:
    """The files by what they are; site : the name that stands in the titles of papers."""
    pdfs = sorted(name for name in found if name.endswith(".pdf"))
    sheets = sorted(
        name[:-4] for name in found if name.startswith("sheets/") and name[-4:] == ".svg"
    )
    labels = sorted(name for name in found if name.startswith("label-sheets/"))
    tables = sorted(name for name in found if name.rpartition(".")[2] in ("csv", "xlsx", "ics"))
    return {
        "papers": [{"file": one, **_told_of(found[one], one, site=site)} for one in pdfs],
        "sheets": [
            {"file": one, "title": _words(one), "dxf": f"{one}.dxf" in found} for one in sheets
        ],
        "label_sheets": labels,
        "tables": tables,
    }


def _words(file: str) -> str:
    stem = file.rpartition("/")[2].removesuffix(".pdf")
    return stem.replace("-", " ").capitalize()


def _told_of(data: bytes, file: str, *, site: str) -> dict[str, Any]:
    """What a paper is called, and how many pages it has."""
    with opened(data) as document:
        title = document.get_metadata_value("Title").removesuffix(f": {site}")
        return {"title": title or _words(file), "pages": len(document)}


def _picture(data: bytes, page: int) -> bytes:
    with opened(data) as document:
        if not 1 <= page <= len(document):
            raise IndexError(page)
        one = document[page - 1]
        picture = one.render(scale=PICTURE_WIDE / one.get_width()).to_pil()
    out = BytesIO()
    picture.convert("P", palette=1, colors=64).save(out, "PNG", optimize=True)
    return out.getvalue()


def _zipped(found: Files) -> bytes:
    """All in one, the same bytes for the same papers."""
    out = BytesIO()
    with ZipFile(out, "w", ZIP_DEFLATED) as bundle:
        for name in sorted(found):
            bundle.writestr(ZipInfo(name, FIRST_DAY), found[name], ZIP_DEFLATED)
    return out.getvalue()
