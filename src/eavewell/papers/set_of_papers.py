"""The whole set of a design: what is built from, handed over and pinned on the wall."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from eavewell.drawings.compose import Paper as Drawn
from eavewell.drawings.field_verify import field_verify
from eavewell.drawings.svg import svg
from eavewell.drawings.tags import tags
from eavewell.papers.build_steps import build_steps_paper
from eavewell.papers.charts.pictures import chart_pictures
from eavewell.papers.commissioning import commissioning_paper
from eavewell.papers.design_report import design_report
from eavewell.papers.emergency_card import emergency_card_paper
from eavewell.papers.fault_page import fault_page_paper
from eavewell.papers.field_sheet import field_sheet_paper
from eavewell.papers.gauge_tape import gauge_tape_paper
from eavewell.papers.handout import handout_paper
from eavewell.papers.log_sheets import log_sheets_paper
from eavewell.papers.owners_manual import owners_manual_paper
from eavewell.papers.paper import Paper, Picture
from eavewell.papers.parts_list import parts_list_paper
from eavewell.papers.ration_sheet import ration_sheet_paper
from eavewell.papers.review_pack import review_pack_paper
from eavewell.papers.sampling_card import sampling_card_paper
from eavewell.papers.tank_card import tank_card_paper
from eavewell.papers.upkeep_calendar import upkeep_calendar
from eavewell.papers.valve_chart import valve_chart_paper
from eavewell.site.place import Show
from eavewell.site.site import Site
from eavewell.tables.texts import words

WORDS = words("set_of_papers")
# papers that need the answer alone, in the order in which they are handed over
_PLAIN = (
    review_pack_paper,
    parts_list_paper,
    commissioning_paper,
    upkeep_calendar,
    fault_page_paper,
    tank_card_paper,
    emergency_card_paper,
    log_sheets_paper,
    sampling_card_paper,
    gauge_tape_paper,
)


def set_of_papers(
    site: Site,
    answer: dict[str, Any],
    *,
    drawn: Mapping[str, Drawn],
    charts: Mapping[str, str],
    day: date,
    raw: Mapping[str, Any] | None = None,
) -> Iterator[Paper]:
    """Every paper of a design; those with nothing to say are left out.

    drawn : its sheets. charts : as SVG by file name. day : of the run, which the papers bear.
    raw   : what stands in the site file, for the field sheet.
    """
    system: Show = site.place.show
    section = svg(drawn["section"])
    plates = chart_pictures(charts)
    yield design_report(answer, day=day, system=system, section=section, charts=plates)
    scheme = Picture(
        svg(drawn["schematic"]),
        drawn["schematic"].sheet.says,
        WORDS.say("page.schematic"),
        wide=True,
    )
    numbers = tags(site)
    papers = [
        *(paper(answer, day=day, system=system) for paper in _PLAIN),
        field_sheet_paper(site, answer, raw=raw or {}, day=day, system=system),
        build_steps_paper(answer, day=day, system=system, verify=field_verify(site)),
        owners_manual_paper(answer, day=day, system=system, schematic=scheme),
        valve_chart_paper(answer, day=day, system=system, tags=numbers),
        ration_sheet_paper(answer, day=day, system=system, tags=numbers),
        handout_paper(answer, day=day, system=system),
    ]
    yield from (paper for paper in papers if paper.blocks)
