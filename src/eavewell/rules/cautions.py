"""The cautions that belong to a site's results, each beside the part it belongs to."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from eavewell.site.line import InLineKind
from eavewell.site.site import Site
from eavewell.tables import rows
from eavewell.treatment.barriers import DISINFECTS
from eavewell.treatment.order import CARTRIDGES


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution.

    of : the part of the answer it is printed beside. decides : roles that are deferred to.
    """

    code: str
    of: str
    says: str
    decides: tuple[str, ...]


def cautions(site: Site) -> tuple[Caution, ...]:
    """Every caution whose thing a site has, in the order of tables/cautions.csv."""
    return tuple(
        Caution(row["code"], row["of"], row["says"], tuple(filter(None, row["decides"].split("|"))))
        for row in rows("cautions")
        if NEEDS[row["needs"]](site)
    )


def _uses(*classes: str) -> Callable[[Site], bool]:
    return lambda site: any(use.end_use in classes for use in site.uses)


def _in_line(*kinds: InLineKind) -> Callable[[Site], bool]:
    return lambda site: any(one.kind in kinds for line in site.lines for one in line.in_line)


# what a row of tables/cautions.csv needs to be there
NEEDS: Mapping[str, Callable[[Site], bool]] = MappingProxyType(
    {
        "tank": lambda site: bool(site.tanks),
        "fire reserve": lambda site: any(tank.fire_reserve for tank in site.tanks),
        "drinking": _uses("drinking"),
        "indoor": _uses("indoor"),
        "animals": _uses("animals"),
        "outdoor": _uses("outdoor"),
        "spray": lambda site: any(use.spray for use in site.uses),
        "gutter": lambda site: any(roof.gutters for roof in site.roofs),
        "buried": lambda site: (
            any(run.cover_m != 0.0 for run in site.runs) or any(tank.burial for tank in site.tanks)
        ),
        "sump": lambda site: any(tank.is_sump for tank in site.tanks),
        "trough": lambda site: any(line.troughs for line in site.lines),
        "pump": lambda site: any(line.pump for line in site.lines),
        "heater": lambda site: any(line.heater for line in site.lines),
        "roof": lambda site: any(roof.drains_to for roof in site.roofs),
        "lamp": _in_line("lamp"),
        "chlorine": _in_line("chlorine", "contact tank"),
        "barrier": _in_line(*CARTRIDGES, *DISINFECTS),
        "tests": _uses("drinking", "indoor", "animals"),
        "shock": _uses("drinking", "indoor", "animals"),
        "rebate": lambda site: bool(site.money.rebates),
    }
)
