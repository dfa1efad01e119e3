"""The field sheet's pages: the sheet, the file of it, and what was found brought back."""

import re
from typing import Annotated, Any

from fastapi import APIRouter, Form, UploadFile
from fastapi.responses import HTMLResponse, Response

from eavewell.faults import BadPicture, BadRecord
from eavewell.files.field.block import MOST_CHARACTERS, Block, read_block
from eavewell.files.field.booked import booked, level_in_words
from eavewell.files.field.photograph import PHOTOS, keep_photograph
from eavewell.files.site.edit import write_beside
from eavewell.web.changes import history_of, write
from eavewell.web.desk import OnDesk, system_of
from eavewell.web.field_sheet.compared import compared, with_values
from eavewell.web.field_sheet.made import as_data, items_of, sheet_page
from eavewell.web.pages import Pages
from eavewell.web.site_folders import SiteFolder
from eavewell.web.things import to_keep

SHEETS = "field-sheets"
PHOTO_NAME = re.compile(r"(.+?)(?:-[0-9]+)?\.(?:jpe?g|png)", re.IGNORECASE)


def router(pages: Pages) -> APIRouter:
    """The sheet to take along, the page to bring it back."""
    routes = APIRouter()

    @routes.get("/sites/{name}/field-sheet.json", summary="What a visit to the site asks")
    def data(name: str) -> dict[str, Any]:
        return as_data(pages.desk.known(pages.site(name)))

    @routes.get("/sites/{name}/field-sheet.html", include_in_schema=False)
    def alone(name: str) -> Response:
        page = sheet_page(pages, pages.desk.known(pages.site(name)), alone=True)
        return to_keep(page, f"{name} field sheet.html", kind="text/html")

    @routes.get("/sites/{name}/field-sheet", include_in_schema=False)
    def sheet(name: str) -> HTMLResponse:
        return HTMLResponse(sheet_page(pages, pages.desk.known(pages.site(name)), alone=False))

    @routes.get("/sites/{name}/field-sheet/bring", include_in_schema=False)
    def bring(name: str) -> HTMLResponse:
        shown = pages.desk.known(pages.site(name))
        page = pages.html("field_bring.html", name=name, title=shown.title, items=items_of(shown))
        return HTMLResponse(page)

    _add_changes(routes, pages)
    return routes


def _add_changes(routes: APIRouter, pages: Pages) -> None:
    @routes.post("/sites/{name}/field-sheet/text", include_in_schema=False)
    def pasted(name: str, text: Annotated[str, Form()] = "") -> HTMLResponse:
        return HTMLResponse(_beside(pages, pages.desk.known(pages.site(name)), text=text))

    @routes.post("/sites/{name}/field-sheet/file", include_in_schema=False)
    def by_file(name: str, file: UploadFile) -> HTMLResponse:
        text = file.file.read(4 * MOST_CHARACTERS).decode("utf-8", errors="replace")
        return HTMLResponse(_beside(pages, pages.desk.known(pages.site(name)), text=text))

    @routes.post("/sites/{name}/field-sheet/take", include_in_schema=False)
    def take(
        name: str,
        *,
        text: Annotated[str, Form()],
        taken: Annotated[list[str] | None, Form()] = None,
    ) -> HTMLResponse:
        folder = pages.site(name)
        with pages.desk.lock_of(folder):
            told = _taken(pages.desk.known(folder), text=text, only=set(taken or ()))
        told["history"] = history_of(folder)
        return HTMLResponse(pages.html("pieces/field_taken.html", name=name, **told))

    @routes.post("/sites/{name}/field-sheet/photographs", include_in_schema=False)
    def photographs(
        name: str, files: list[UploadFile], *, of: Annotated[str, Form()] = ""
    ) -> HTMLResponse:
        folder = pages.site(name)
        with pages.desk.lock_of(folder):  # two at once would take the same free name
            shown = pages.desk.known(folder)
            told = [_photograph(shown, one, of=of) for one in files]
        return HTMLResponse(pages.html("pieces/field_photographs.html", told=told))


def _beside(pages: Pages, shown: OnDesk, *, text: str) -> str:
    """Everything that came back beside the site file, to be looked at before it is taken."""
    block = read_block(text)
    book = booked(block, system=system_of(shown))
    return pages.html(
        "pieces/field_beside.html",
        name=shown.folder.name,
        block=block,
        text=text,
        other=block.site if block.site != shown.folder.name else "",
        found=compared(shown, block, items=items_of(shown), booked_m=book.levels_m),
        levels=[(point, level_in_words(at)) for point, at in book.levels_m.items()],
        says=book.says,
    )


def _taken(shown: OnDesk, *, text: str, only: set[str]) -> dict[str, Any]:
    """Take what was ticked as one change, and keep the sheet whole beside the site."""
    block = read_block(text)
    found = compared(shown, block, items=items_of(shown), booked_m={})
    wanted = {
        one.brought.id: (one.item, one.brought.value)
        for one in found
        if one.item and one.state in ("new", "questioned")
    }
    changed, refused = with_values(shown, wanted, only=only)
    write(shown, changed)
    done = [one for one in found if one.brought.id in only & set(wanted) - set(refused)]
    return {
        "done": done,
        "refused": [(one, refused[one.brought.id]) for one in found if one.brought.id in refused],
        "file": _kept(shown.folder, block, text=text),
    }


def _kept(folder: SiteFolder, block: Block, *, text: str) -> str:
    """The sheet as it came, with every note, once however often it comes."""
    day = block.day if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", block.day) else "undated"
    mark = block.check if block.whole else f"{block.check}-not-whole"
    file = folder.inside(SHEETS, f"{day}-{mark}.txt")
    file.parent.mkdir(exist_ok=True)
    if not file.exists():
        write_beside(file, text)
    return f"{SHEETS}/{file.name}"


def _photograph(shown: OnDesk, one: UploadFile, *, of: str) -> tuple[str, str]:
    """The name of a photograph that came, and what became of it."""
    items, name = items_of(shown), (one.filename or "")[:120]
    met = PHOTO_NAME.fullmatch(name)
    item = of or next(
        (each for each in (name.rpartition(".")[0], met[1] if met else "") if each in items), ""
    )
    try:
        if item not in items:
            raise BadRecord("Its name is that of no item: choose what it shows.")
        folder = shown.folder.inside(PHOTOS)
        kept = keep_photograph(one.file.read(), folder, item=item)
    except (BadPicture, BadRecord) as refused:
        return name, refused.faults[0].says
    return name, f"Kept as {PHOTOS}/{kept}, without the place it was taken at."
