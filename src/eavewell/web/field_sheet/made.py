"""The field sheet of a site as one page: within the pages, or as a file that needs nothing else."""

from importlib.resources import files
from typing import Any

from eavewell.drawings.field_verify import field_verify
from eavewell.faults import EavewellFault
from eavewell.files.field.first_parts import with_first_parts
from eavewell.files.field.items import Item, Stop, stops
from eavewell.files.site.reader import site_of_text
from eavewell.tables import table
from eavewell.web.desk import OnDesk, system_of
from eavewell.web.pages import Pages

SCRIPTS = ("field_levels.js", "way_back.js", "field_sheet.js")
STYLE = "field_sheet.css"


def stops_of(shown: OnDesk) -> tuple[Stop, ...]:
    """Every stop of the visit; what the sheets mark is asked for too.

    A file without a roof, tank or use has a first one asked for.
    """
    return stops(with_first_parts(shown.raw or {}), boxed=_boxed(shown))


def _boxed(shown: OnDesk) -> tuple[str, ...]:
    """Nothing where the file is not whole: its own gaps are asked for."""
    try:
        folder = shown.folder
        return field_verify(
            site_of_text(shown.text, file=str(folder.file), folder=str(folder.path))
        )
    except EavewellFault:
        return ()


def items_of(shown: OnDesk) -> dict[str, Item]:
    """Every item by its name on the sheet."""
    return {one.id: one for stop in stops_of(shown) for one in stop.items}


def sheet_page(pages: Pages, shown: OnDesk, *, alone: bool) -> str:
    """The sheet; alone : with style and scripts inside and no way back to the pages."""
    found = stops_of(shown)
    return pages.html(
        "field_sheet.html",
        name=shown.folder.name,
        title=shown.title,
        version=shown.version,
        system=system_of(shown),
        stops=found,
        bring=_bring(found),
        points=[one for stop in found for one in stop.items if one.is_level],
        asked=sum(one.ask for stop in found for one in stop.items),
        allowed_mm=table("field_levels")["misclosure a set-up"].value,
        style=_static(STYLE) if alone else "",
        scripts=[_static(one) for one in SCRIPTS] if alone else [],
        script_files=SCRIPTS,
        alone=alone,
    )


def as_data(shown: OnDesk) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "stops": [
            {
                "stop": stop.title,
                "items": [
                    {
                        "item": one.id,
                        "of": one.part,
                        "question": one.question,
                        "value": one.value,
                        "asked": one.ask,
                    }
                    for one in stop.items
                ],
            }
            for stop in stops_of(shown)
        ]
    }


def _bring(found: tuple[Stop, ...]) -> str:
    """What to take along, each thing once."""
    things = (
        thing.strip()
        for stop in found
        for one in stop.items
        for thing in one.bring.split(",")
        if thing.strip()
    )
    return ", ".join(dict.fromkeys(things))


def _static(name: str) -> str:
    text = files("eavewell.web").joinpath("static", name).read_text(encoding="utf-8")
    return text.replace("</", "<\\/") if name.endswith(".js") else text
