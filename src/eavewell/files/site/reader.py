"""The site file: a TOML text a person writes by hand becomes a Site, or a list of faults."""

from pathlib import Path

from eavewell.faults import BadSite
from eavewell.files.site.checks import check_site
from eavewell.files.site.ground import ground_of, storm_of
from eavewell.files.site.lines import line_of
from eavewell.files.site.log import log_of
from eavewell.files.site.money import money_of, power_of
from eavewell.files.site.parts import Part, Sheet, Spot, read_part
from eavewell.files.site.permission import permission_of
from eavewell.files.site.pipes import run_of
from eavewell.files.site.places import place_of, rain_of
from eavewell.files.site.roofs import roof_of
from eavewell.files.site.tanks import hauling_of, lift_of, tank_of
from eavewell.files.site.toml_lines import lines_of
from eavewell.files.site.traced import traced_of
from eavewell.files.site.uses import goals_of, use_of
from eavewell.files.site.water import water_of
from eavewell.files.site.weighing import weighing_of
from eavewell.files.toml_text import Kind, text_in, text_of_bytes, toml_of
from eavewell.site.site import Site

_SITE_FILE = Kind("site file", "'eavewell new' writes one to start from.", BadSite)


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
    raw = toml_of(text, _SITE_FILE, file=file)
    sheet = Sheet(file, lines_of(text))
    site = _site(read_part(raw, "site", spot=Spot(sheet)), folder)
    if sheet.faults:
        raise BadSite(sorted(dict.fromkeys(sheet.faults), key=lambda fault: fault.line or 0))
    return site


def text_of(file: Path) -> str:
    """The text of a site file; BadSite where it is not one."""
    return text_in(file, _SITE_FILE)


def text_brought(data: bytes, *, file: str) -> str:
    """The text of a site file that came from elsewhere; BadSite where it is not one."""
    return text_of_bytes(data, _SITE_FILE, file=file)


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
        permission=permission_of(top["rules"]),
        money=money_of(top["money"]),
        power=power_of(top["power"]),
        weighing=weighing_of(top["weigh"]),
        traced=traced_of(top["plan"]),
        log=log_of(top["log"], tanks=tuple(tank.name for tank in tanks if not tank.is_sump)),
    )
