"""The reaches of the water as one page lists them: what is described there, what comes out."""

from dataclasses import dataclass

from eavewell.report.answer import answer_section
from eavewell.report.barriers import barriers_section
from eavewell.report.conveyance import conveyance_section
from eavewell.report.cost import cost_section
from eavewell.report.doubts import doubts_section
from eavewell.report.eaves import eaves_section
from eavewell.report.fitness import fitness_section
from eavewell.report.gravity import gravity_section
from eavewell.report.levels import levels_section
from eavewell.report.lift import lift_section
from eavewell.report.parts import parts_section
from eavewell.report.rules import rules_section
from eavewell.report.service import service_section
from eavewell.report.sizes import sizes_section
from eavewell.report.sky import rain_section, roofs_section
from eavewell.report.stores import stores_section
from eavewell.report.stormwater import stormwater_section
from eavewell.report.structure import structure_section
from eavewell.report.tanks import tanks_section
from eavewell.report.upkeep import upkeep_section
from eavewell.report.uses import uses_section
from eavewell.report.water_tests import water_tests_section
from eavewell.report.whole import Section
from eavewell.report.within_day import within_day_lines


@dataclass(frozen=True, slots=True)
class Reach:
    """One stretch of the page.

    tables   : the tables of the site file that are described here.
    sections : of the report, set below the description.
    found    : the reaches, as findings name them, that are told here.
    """

    name: str
    title: str
    tables: tuple[str, ...]
    sections: tuple[Section, ...]
    found: tuple[str, ...] = ()


REACHES = (
    Reach("answer", "The answer", ("goal",), (answer_section,)),
    Reach("rain", "Place and rain", ("place", "rain", "storm"), (rain_section,), ("sky",)),
    Reach("roofs", "Roofs", ("roof",), (roofs_section,), ("roof",)),
    Reach(
        "gutters", "Gutters and pipes", ("pipe",), (eaves_section, conveyance_section), ("pipe",)
    ),
    Reach("lift", "Sump and lift", ("sump", "lift"), (lift_section, within_day_lines), ("sump",)),
    Reach(
        "tanks",
        "Tanks",
        ("tank", "hauled"),
        (stores_section, sizes_section, tanks_section, doubts_section),
        ("tank", "base"),
    ),
    Reach("uses", "Uses", ("use",), (uses_section,), ("house and yard",)),
    Reach(
        "outlets",
        "Outlets and pump",
        ("line", "power"),
        (gravity_section, service_section),
        ("line",),
    ),
    Reach(
        "treatment",
        "Treatment",
        ("water",),
        (fitness_section, barriers_section, water_tests_section, upkeep_section),
        ("barriers",),
    ),
    Reach(
        "ground",
        "Storm-water and ground",
        ("ground",),
        (stormwater_section, structure_section, levels_section),
        ("ground",),
    ),
    Reach("rules", "Rules", ("rules",), (rules_section,), ("papers",)),
    Reach("money", "Money", ("money", "weigh"), (cost_section, parts_section), ("money",)),
    Reach("log", "Log and gauges", ("log",), ()),
)
