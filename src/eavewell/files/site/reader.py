"""The site file: a TOML text a person writes by hand becomes a Site, or a list of faults."""

import re
import tomllib
from pathlib import Path
from typing import Any

from eavewell.faults import BadSite, Fault
from eavewell.files.site.checks import check_site
from eavewell.files.site.ground import ground_of, storm_of
from eavewell.files.site.lines import line_of
from eavewell.files.site.money import money_of, power_of
from eavewell.files.site.parts import Part, Sheet, Spot, read_part
from eavewell.files.site.pipes import run_of
from eavewell.files.site.places import place_of, rain_of
from eavewell.files.site.roofs import roof_of
from eavewell.files.site.tanks import hauling_of, lift_of, tank_of
from eavewell.files.site.toml_lines import lines_of
from eavewell.files.site.uses import goals_of, use_of
from eavewell.files.site.water import water_of
from eavewell.files.site.weighing import weighing_of
from eavewell.site.site import Site

_LARGEST_BYTES = 1_000_000
# what the TOML reader says -> what a person can mend
_IN_PLAIN_WORDS = {
    "illegal character '\\n'": "a quotation mark is opened and not closed",
    "unterminated string": "a quotation mark is opened and not closed",
    "invalid value": "the value is neither a number nor text in quotation marks",
    "cannot overwrite a value": "the same field is given twice",
    "cannot declare": "the same table is opened twice",
    "expected '=' after a key": "a field and its value are joined by '='",
    "expected newline": "more than one field or value stands on the line",
}


def read_site(path: Path | str) -> Site:
    """Read a site file.

    Raises BadSite with every fault found, each with its line.
    """
    file = Path(path)
    return site_of_text(text_of(file), file=str(path), folder=str(file.parent))


def site_of_text(text: str, *, file: str = "", folder: str = "") -> Site:
    """Read the text of a site file.

    file   : the name given in faults.
    folder : where record paths are read from.
    Raises BadSite with every fault found, each with its line.
    """
    raw = _toml(text, file)
    sheet = Sheet(file, lines_of(text))
    site = _site(read_part(raw, "site", spot=Spot(sheet)), folder)
    if sheet.faults:
        raise BadSite(sorted(dict.fromkeys(sheet.faults), key=lambda fault: fault.line or 0))
    return site


def text_of(file: Path) -> str:
    """The text of a site file; BadSite where it is not one."""
    try:
        data = file.read_bytes() if file.stat().st_size <= _LARGEST_BYTES else None
    except (OSError, ValueError):
        raise BadSite(Fault("There is no site file here to read.", file=str(file))) from None
    if data is None:
        raise BadSite(Fault("The file is far too large for a site file.", file=str(file)))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = "\0"
    if "\0" in text:
        raise BadSite(Fault("This is not a text file: a site file is TOML text.", file=str(file)))
    return text


def _toml(text: str, file: str) -> dict[str, Any]:
    if not text.strip():
        says = "The site file is empty: 'eavewell new' writes one to start from."
        raise BadSite(Fault(says, file=file))
    try:
        return tomllib.loads(text)
    except ValueError as refused:
        raise BadSite(_not_toml(str(refused), text, file=file)) from None
    except RecursionError:
        raise BadSite(Fault("Too many brackets stand inside one another.", file=file)) from None


def _not_toml(message: str, text: str, *, file: str) -> Fault:
    found = re.search(r" \(at (?:line ([0-9]+), column [0-9]+|end of document)\)", message)
    what = message[: found.start()] if found else message
    line = int(found[1]) if found and found[1] else text.count("\n") + 1
    what = what[:1].lower() + what[1:]
    plain = next(
        (says for begins, says in _IN_PLAIN_WORDS.items() if what.startswith(begins)), what
    )
    says = f"The line cannot be read: {plain}."
    return Fault(says, file=file, line=line if found else None)


def _site(top: Part, folder: str) -> Site:
    tanks = (
        *(tank_of(part) for part in top["tank"]),
        *(tank_of(part, is_sump=True) for part in top["sump"]),
    )
    by_name = {tank.name: tank for tank in tanks}
    uses = tuple(use_of(part, by_name) for part in top["use"])
    check_site(top)
    return Site(
        name=top["name"] or "",
        place=place_of(top["place"]),
        rain=rain_of(top["rain"]),
        roofs=tuple(roof_of(part) for part in top["roof"]),
        tanks=tanks,
        uses=uses,
        lifts=tuple(lift_of(part) for part in top["lift"]),
        hauling=tuple(hauling_of(part) for part in top["hauled"]),
        goals=goals_of(top["goal"] or {}, uses),
        rule=top["rule"] or "yas",
        start_day=top["start_day"],
        folder=folder,
        storm=storm_of(top["storm"]),
        runs=tuple(run_of(part) for part in top["pipe"]),
        lines=tuple(line_of(part) for part in top["line"]),
        ground=ground_of(top["ground"]),
        datum=top["datum"] or "",
        water=water_of(top["water"]),
        money=money_of(top["money"]),
        power=power_of(top["power"]),
        weighing=weighing_of(top["weigh"]),
    )
