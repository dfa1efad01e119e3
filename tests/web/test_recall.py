"""What is remembered is what a full run gives, whatever was changed and in whatever order."""

import json
import random
from dataclasses import replace
from pathlib import Path

import pytest

from eavewell.answers import answer
from eavewell.design import call, design
from eavewell.faults import EavewellFault
from eavewell.files.record import beside_of
from eavewell.files.site.reader import read_site
from eavewell.site.site import Site
from eavewell.storage.doubts import doubts
from eavewell.weather.climates import climate_record
from eavewell.web.recall import Recall

EXAMPLES = Path(__file__).parents[2] / "examples"
EDITS_EACH = 30


def _edited(site: Site, rng: random.Random) -> Site:
    """The site with one thing changed, of any reach of the water."""
    tank, roof, use = (rng.choice(some) for some in (site.tanks, site.roofs, site.uses))
    factor = rng.choice((0.8, 0.9, 1.1, 1.25))
    changes = (
        lambda: {"tanks": _with(site.tanks, tank, base_m=(tank.base_m or 0.0) + rng.random() / 9)},
        lambda: {"tanks": site.tanks[::-1]},
        lambda: {
            "roofs": _with(site.roofs, roof, finish=rng.choice(("painted steel", "clay tile")))
        },
        lambda: {"roofs": _with(site.roofs, roof, eave_m=rng.choice((None, 2.4, 3.1)))},
        lambda: {"uses": _with(site.uses, use, leak_share=0.2 * rng.random())},
        lambda: {"uses": site.uses[:-1] or site.uses},
        lambda: {"goals": site.goals[:-1]},
        lambda: {"lifts": site.lifts[:-1]},
        lambda: {"hauling": ()},
        lambda: {"rule": "ybs" if site.rule == "yas" else "yas"},
        lambda: {"runs": site.runs[1:]},
        lambda: {"lines": site.lines[:-1]},
        lambda: {"datum": f"stone {rng.random()}"},
        lambda: {"name": f"hill {rng.random()}"},
        lambda: {"place": replace(site.place, elevation_m=300.0 * factor)},
        lambda: {"place": replace(site.place, show="metric")},
        lambda: {"start_day": None},
        lambda: {"water": type(site.water)()},
        lambda: {"permission": type(site.permission)()},
        lambda: {"money": type(site.money)()},
        lambda: {"power": type(site.power)()},
        lambda: {"ground": type(site.ground)()},
        lambda: {"weighing": type(site.weighing)()},
    )
    return replace(site, **rng.choice(changes)())


def _with(all_: tuple, one: object, **changes: object) -> tuple:
    return tuple(replace(other, **changes) if other is one else other for other in all_)


def _put_off(function, *inputs, **named):
    """A full run but for the range, which takes longest."""
    return None if function is doubts else function(*inputs, **named)


def _remembering(recall: Recall):
    """The same of what is remembered."""
    return lambda function, *inputs, **named: (
        None if function is doubts else recall(function, *inputs, **named)
    )


def _plain(site: Site, record, beside, **how) -> str:
    try:
        return json.dumps(answer(design(site, record, beside=beside, **how)), default=str)
    except (EavewellFault, KeyError, ValueError, IndexError, AssertionError) as refused:
        return repr(refused)


@pytest.mark.parametrize("name", ["barrels", "low-eaves", "part-year", "whole-house"])
def test_what_is_remembered_is_what_a_full_run_gives(name):
    first = read_site(EXAMPLES / name / "site.toml")
    record = climate_record("dry-uplands", 4)
    beside, recall, rng = beside_of(first), Recall(2_000_000), random.Random(7)
    site = first
    for row in range(EDITS_EACH):
        site = _edited(first if row % 6 == 0 else site, rng)
        whole = row == EDITS_EACH - 1
        stage, full = (recall, call) if whole else (_remembering(recall), _put_off)
        assert _plain(site, record, beside, stage=stage) == _plain(
            site, record, beside, stage=full
        ), row
    assert recall.held_bytes <= 2_000_000


def test_the_page_asks_for_the_range_later(client):
    page = client.get("/sites/barrels").text
    assert "The range is being worked out." in page
    assert 'hx-get="/sites/barrels/doubts"' in page
    piece = client.get("/sites/barrels/doubts")
    assert piece.status_code == 200
    assert "traces of" in piece.text
    assert "being worked out" not in piece.text
    assert "being worked out" not in client.get("/sites/barrels").text
