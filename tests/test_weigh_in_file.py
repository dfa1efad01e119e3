"""A choice written into its site file is designed to the choice's own figures. All invented."""

import math
import tomllib
from dataclasses import replace

import pytest

from eavewell.design import design
from eavewell.files.site.edit import changed_text
from eavewell.files.site.reader import site_of_text
from eavewell.files.site.toml_splices import standing_at
from eavewell.site.weighing import Weighing
from eavewell.storage.choices import run_choices
from eavewell.storage.rebuilt import as_it_stands
from eavewell.units import read
from eavewell.weigh.choices import choices_of
from eavewell.weigh.in_file import changes_of, left_out
from eavewell.weigh.sized import sized

SITE = """
name = "made up"
place = { latitude = 30.0, longitude = -98.0, elevation = "400 m", show = "us" }
hauled = [{ to = "main", load = "2,000 L", lead = "2 days" }]
rain = { climate = "dry-uplands" }
[goal]
house = { dry_days_in_worst_spell = 0, loads_in_worst_year = 6 }
[[roof]]  # caught
name = "house"
plan = "40 ft x 30 ft"
finish = "metal"
eave = "3 m"
drains_to = "main"
first_flush = { volume = "10 gal", drain = "2 gal/h" }
gutter = [{ name = "eave", shape = "half-round", width = "150 mm", length = "40 ft", \
spout_bore = "102 mm" }]
[[roof]]
name = "porch"
area = "200 ft2"
finish = "metal"
[[tank]]
name = "main"
each = "1,500 gal"
diameter = "6 ft"
height = "7 ft"
outlet = "4 in"
count = 2
empty_weight = "300 lb"
floors = ["0 ft", "1 in"]
link = { bore = "52.5 mm", length = "0.5 m", valves = true }
fire_reserve = { height = "1 ft", held_by = "outlet height" }
[[use]]
name = "house"
class = "drinking"
draws_from = ["main"]
fallback = "hauled"
people = 2
fixtures = [{ name = "toilet" }, { name = "shower", minutes = "6 min", flow = "2 gal/min" }]
guests = [{ count = 1, each = "10 gal/day", when = { weekdays = ["Sat"] } }]
cooler = { each = "7 gal/day" }
ration = [{ below = "800 L", share = "70 %", held_by = "agreement" }]
[[use]]
name = "garden"
class = "outdoor"
priority = 2
draws_from = ["main"]
reserve = { height = "2 ft", held_by = "timer" }
plants = [{ name = "beds", area = "90 ft2", kind = "vegetables", soil = "loam", method = "drip" }]
animals = [{ species = "dog", head = 2 }]
"""
ASKED = Weighing(
    each_l=(3785.411784, 9999.0),
    counts=(1, 2, 3),
    roofs_m2=(60.0, 222.967296),
    fixtures=(0.8,),
    gardens=(0.5,),
    rations=True,
)
HAVE = '[money]\nhave = ["tank \'main\'", "pressure tank"]\n'


def text_with(changes, text=SITE):
    for way, value in changes:
        if value is not None or standing_at(tomllib.loads(text), way) is not None:
            text = changed_text(text, way, value=value)
    return text


@pytest.fixture(scope="module")
def record(making):
    return making.record(making.wet_and_dry(9))


@pytest.fixture(scope="module")
def drawn(record):
    return design(replace(site_of_text(SITE), weighing=ASKED), record)


@pytest.fixture(scope="module")
def lanes(drawn):
    """Every choice with its lane of the one batch that weighing runs."""
    choices = choices_of(drawn.site, "main")
    balance = run_choices(drawn.moved.site, drawn.moved.water, choices=choices, tank="main")
    return choices, balance


def figures(made):
    found = made.drawn.reliability
    spell = max((use.longest.short_days if use.longest else 0) for use in found.uses)
    return found.supplied_share, found.days_met_share, found.loads_year, spell


def test_a_version_has_the_figures_of_its_choice(drawn, lanes, record):
    choices, balance = lanes
    raw, years = tomllib.loads(SITE), balance.days / 365.25
    told = set()
    for at in range(0, len(choices), 7):
        changes = changes_of(drawn.site, raw, choice=choices[at], tank="main")
        supplied, met, loads, spell = figures(design(site_of_text(text_with(changes)), record))
        assert supplied == pytest.approx(float(balance.supplied_share[at]), rel=1e-9)
        assert met == pytest.approx(float(balance.met_share[at]), rel=1e-9)
        assert loads * years == pytest.approx(float(balance.sums.loads[:, at].sum()), abs=1e-9)
        assert spell == int(balance.sums.longest_short_days[:, at].max())
        told |= {address[-1] for address, _ in changes}
    # tanks, roof, fixtures, garden and rations were all among them
    assert {"count", "each", "diameter", "keep", "plan", "minutes", "area", "ration"} <= told
    assert "200 ft2" in text_with(changes)  # the porch is not caught and does not grow


def test_the_choice_that_changes_nothing_changes_no_text(drawn):
    present = as_it_stands(drawn.site, "main")
    assert changes_of(drawn.site, tomllib.loads(SITE), choice=present, tank="main") == ()
    assert left_out(drawn.site, present, tank="main") == ()


def test_sizes_on_paper(drawn):
    larger = replace(as_it_stands(drawn.site, "main"), count=3, fixtures=0.8)
    told = dict(changes_of(drawn.site, tomllib.loads(SITE), choice=larger, tank="main"))
    assert told["tank", 0, "count"] == 3
    assert told["tank", 0, "floors"] == ["0 ft", "1 in", "1 in"]
    assert told["use", 0, "fixtures", 1, "minutes"] == "4.8 min"
    assert told["use", 0, "guests", 0, "each"] == "8 gal/day"
    # pi/4 x 6 ft x 6 ft x 1 ft in each of two tanks, less the 4 in below the outlet
    held_ft3 = 2 * math.pi / 4 * 36 * (1 - 4 / 12)
    assert read(told["tank", 0, "fire_reserve", "keep"], "volume") == pytest.approx(
        held_ft3 * 28.316846592, rel=1e-12
    )
    assert told["tank", 0, "fire_reserve", "height"] is None


def test_a_reserve_told_by_a_height_is_spoken_of(drawn):
    larger = replace(as_it_stands(drawn.site, "main"), count=3)
    assert "outlet" in " ".join(left_out(drawn.site, larger, tank="main"))


def test_a_tank_bought_anew_is_not_there_already(drawn):
    text = SITE.replace("[goal]", HAVE + "[goal]")
    site = site_of_text(text)
    present = as_it_stands(site, "main")
    wide = replace(present, each_l=2.0 * present.each_l)
    told = dict(changes_of(site, tomllib.loads(text), choice=wide, tank="main"))
    assert told["money", "have"] == ["pressure tank"]
    more = replace(present, count=3)
    assert ("money", "have") not in dict(
        changes_of(site, tomllib.loads(text), choice=more, tank="main")
    )
    assert "There already" in " ".join(left_out(site, more, tank="main"))


@pytest.mark.parametrize("system", ["us", "metric"])
def test_a_size_reads_back_as_itself(system):
    for value in (1 / 3, 9_999.0, 10_598.3, 0.0127, 3785.411784, 12.7):
        for quantity in ("volume", "length", "area", "daily", "bleed", "weight", "minutes"):
            text = sized(value, quantity, system=system)
            assert read(text, quantity) == pytest.approx(value, rel=1e-11)
    assert sized(3785.411784, "volume", system="us") == "1,000 gal"
