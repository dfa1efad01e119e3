"""Two hundred sites by chance: every sheet of them is whole, the same ones in every run."""

import math
from xml.etree import ElementTree

from hypothesis import HealthCheck, Phase, given, settings
from tests.drawings.any_site import sites
from tests.drawings.looking import met

from eavewell.drawings.boxes import Box
from eavewell.drawings.compose import MARGIN_MM, compose
from eavewell.drawings.plan import plan
from eavewell.drawings.schematic import schematic
from eavewell.drawings.section import section
from eavewell.drawings.svg import svg
from eavewell.hydraulics.first_flush_pipe import flush_pipes

BLOCK = {"project": "made up", "record": "invented"}


def drawn(site):
    """Section, plan and schematic, laid out."""
    on = {"size": {"us": "tabloid", "metric": "a3"}[site.place.show], "block": BLOCK}
    yield compose(section(site, flush_pipes(site), **on))
    yield compose(plan(site, **on))
    yield from map(compose, schematic(site, **on))


@settings(
    max_examples=200,
    deadline=None,
    derandomize=True,
    database=None,
    phases=[Phase.generate],
    suppress_health_check=[HealthCheck.too_slow],
)
@given(site=sites())
def test_any_site_has_its_sheets_whole(site):
    for paper in drawn(site):
        ElementTree.fromstring(svg(paper))
        assert met(paper) == []
        right, high = paper.width_mm - MARGIN_MM, paper.height_mm - MARGIN_MM
        frame = Box(MARGIN_MM, MARGIN_MM, right, high)
        assert [one.text.words for one in paper.words if not one.box.within(frame)] == []
        lines = (*paper.lines, *paper.leads)
        numbers = [number for line in lines for point in line.points for number in point]
        assert all(map(math.isfinite, numbers))
        assert paper.lost == ()
