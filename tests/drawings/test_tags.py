"""One number a thing, in the order of flow; what is held back names its valve."""

from dataclasses import replace
from pathlib import Path

import pytest
from tests.making import roof, site, tank, use

from eavewell.drawings.held import held, lines_of
from eavewell.drawings.tags import lines_in_order, stores_in_order, tags
from eavewell.files.site.reader import read_site
from eavewell.site.lift import Lift
from eavewell.site.reserve import Reserve
from eavewell.tables import rows

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(path.parent.name for path in EXAMPLES.glob("*/site.toml"))


def example(name):
    return read_site(EXAMPLES / name / "site.toml")


def places(found, *kinds):
    return [one.number for one in found if one.kind in kinds]


@pytest.mark.parametrize("name", NAMES)
def test_numbers_run_from_one_and_tell_things_apart(name):
    found = tags(example(name))
    assert [one.number for one in found] == list(range(1, len(found) + 1))
    keys = [(one.kind, one.name, one.of) for one in found]
    assert len(set(keys)) == len(keys)


@pytest.mark.parametrize("name", NAMES)
def test_every_kind_has_its_row_and_its_sign(name):
    signs = {row["symbol"] for row in rows("symbols")}
    for one in tags(example(name)):
        assert one.symbol in signs
        assert one.normally in ("", "open", "shut")


@pytest.mark.parametrize("name", NAMES)
def test_everything_that_water_passes_is_counted(name):
    # counted by hand from the nouns, not by the walk
    made, found = example(name), tags(example(name))
    outlets = sum(len(line.outlets) for line in made.lines)
    assert len(places(found, "tap", "hose", "appliance")) == outlets
    assert len(places(found, "outlet valve")) == len(made.lines)
    assert len(places(found, "tank", "sump")) == len(made.tanks)
    pumps = sum(line.pump is not None for line in made.lines) + len(made.lifts)
    assert len(places(found, "pump")) == pumps


def test_the_whole_house_in_the_order_of_flow():
    found = tags(example("whole-house"))
    (main, header) = places(found, "tank")
    assert max(places(found, "screen", "first flush")) < main < header
    lamp = next(one for one in found if one.kind == "lamp")
    (shut,) = places(found, "shut valve")
    assert shut < lamp.number < min(places(found, "tap"))
    assert max(places(found, "filter")) < lamp.number


def test_a_sump_comes_before_the_tank_it_fills():
    made = site(
        tanks=(tank(name="high"), tank(name="low", is_sump=True)),
        roofs=(roof(to="low"),),
        lifts=(Lift("lift", "low", "high"),),
        uses=(use(draws_from=("high",)),),
    )
    assert [one.name for one in stores_in_order(made)] == ["low", "high"]


def test_lifts_in_a_ring_still_end():
    made = site(
        tanks=(tank(name="a"), tank(name="b")),
        roofs=(roof(to="a"),),
        lifts=(Lift("there", "a", "b"), Lift("back", "b", "a")),
        uses=(use(draws_from=("a",)),),
    )
    assert {one.name for one in stores_in_order(made)} == {"a", "b"}


def test_a_reserve_names_the_valve_of_its_line():
    found = tags(example("low-eaves"))
    wash = next(one for one in found if (one.kind, one.name) == ("outlet valve", "wash-down line"))
    assert wash.closes
    assert wash.holds == (
        "reserve against wash-down 15 % of the usable volume, by a person at the valve",
    )
    stock = next(one for one in found if (one.kind, one.name) == ("outlet valve", "stock line"))
    assert stock.holds == ()


def test_an_outlet_height_stands_at_its_level():
    made = example("barrels")
    bed = next(one for one in tags(made) if (one.kind, one.name) == ("outlet valve", "bed line"))
    # the line leaves at 2 ft 5 in
    assert bed.level_m == pytest.approx(29 * 0.0254)
    assert bed.holds == ("reserve against bed 19.7 gal, by the height of the outlet",)


def test_what_only_people_agree_on_says_so():
    (one,) = [one for one in held(example("part-year")) if one.by_nothing]
    assert one.words.endswith("by agreement only")
    assert one.lines == ("cabin water",)


def test_a_float_holds_by_its_own_tag():
    made = example("low-eaves")
    (stock, *others) = made.uses
    uses = (replace(stock, reserve=Reserve(share=0.1, held_by="float")), *others)
    found = tags(replace(made, uses=uses))
    valve = next(one for one in found if one.kind == "float valve")
    assert len(valve.holds) == 1


def test_a_use_that_no_line_names_has_the_lines_that_name_nobody():
    made = example("barrels")
    assert [one.name for one in lines_of(made, made.use("bucket and hose"))] == ["tap"]
    assert [one.name for one in lines_of(made, made.use("bed"))] == ["bed line"]


def test_a_site_of_one_tank_has_its_tap():
    found = tags(site(uses=(use(),)))
    assert [one.kind for one in found] == ["tank", "tank tap"]
    assert lines_in_order(site()) == ()
