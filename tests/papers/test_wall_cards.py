"""What hangs on the wall: the answer's figures, one page where promised, no gap left."""

import io
import re
from dataclasses import replace
from datetime import date
from pathlib import Path
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader
from tests import designed_examples

from eavewell.answers import answer
from eavewell.answers.shown import Sizes
from eavewell.design import design
from eavewell.drawings.tags import tags
from eavewell.drawings.tape import FOOT_MM, HEAD_MM, STRIP_MM, Tick, tape_sheets
from eavewell.faults import EavewellFault
from eavewell.files.record import record_of
from eavewell.papers.emergency_card import TITLES, emergency_card_paper
from eavewell.papers.fault_page import fault_page_paper
from eavewell.papers.filled import GAP, at
from eavewell.papers.gauge_tape import gauge_tape_paper
from eavewell.papers.log_sheets import log_sheets_paper
from eavewell.papers.ration_sheet import ration_sheet_paper
from eavewell.papers.sampling_card import FAILS, sampling_card_paper
from eavewell.papers.tank_card import on_stick, tank_card_paper
from eavewell.papers.typeset import pdf
from eavewell.papers.valve_chart import valve_chart_paper
from eavewell.papers.wall_blocks import TrueSize, WallRows
from eavewell.papers.wall_things import wall_things
from eavewell.tables import rows

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(path.parent.name for path in EXAMPLES.glob("*/site.toml"))
TODAY = date(2026, 1, 1)
MAKERS = {
    "tank-card": tank_card_paper,
    "gauge-tape": gauge_tape_paper,
    "ration-stages": ration_sheet_paper,
    "valve-chart": valve_chart_paper,
    "emergency-card": emergency_card_paper,
    "log-sheets": log_sheets_paper,
    "fault-page": fault_page_paper,
    "sampling-card": sampling_card_paper,
}
TAGGED = ("ration-stages", "valve-chart")


def made(name):
    whole = designed_examples.designed(name)
    return whole.site, answer(whole)


@pytest.fixture(scope="module")
def designed():
    return {name: made(name) for name in NAMES}


@pytest.fixture(params=NAMES)
def one(designed, request):
    return designed[request.param]


def card(name, site, found, system=None):
    more = {"tags": tags(site)} if name in TAGGED else {}
    return MAKERS[name](found, day=TODAY, system=system or site.place.show, **more)


def pages_of(paper):
    pages = PdfReader(io.BytesIO(pdf(paper))).pages
    return [" ".join(page.extract_text().split()) for page in pages]


def tables(paper):
    return [block for block in paper.blocks if isinstance(block, WallRows)]


@pytest.mark.parametrize("name", MAKERS)
def test_every_card_is_set_and_every_page_says_what_it_rests_on(one, name):
    site, found = one
    system = "metric" if name in ("tank-card", "log-sheets") else "us"
    pages = pages_of(card(name, site, found, system))
    stores = len(found["cards"]["tanks"])
    single = ("ration-stages", "emergency-card", "sampling-card")
    if name in single or name == "tank-card":
        assert len(pages) == (1 if name in single else stores)
    if name == "log-sheets":
        assert len(pages) == len(rows("log_sheets")) == 6
    for page in pages:
        assert found["rain"]["name"] in page
        assert "Invented climate" in page
        assert site.name in page


@pytest.mark.parametrize("system", ["us", "metric"])
def test_the_tank_card_holds_the_answer_s_figures(one, system):
    site, found = one
    paper, sizes = card("tank-card", site, found, system), Sizes(system)
    for tank, table in zip(found["cards"]["tanks"], tables(paper), strict=True):
        told = {row[0]: row for row in table.rows}
        full = told[on_stick(tank["full_m"], system)]
        assert full[1] == sizes.volume(tank["full_l"])
        assert full[2] == f"{int(tank['bands'][0]['days'] + 1e-6):,}"
        assert full[-1] == "FULL"
        assert any(row[-1] == "DEAD STORAGE" for row in table.rows)
        orders = [row for row in table.rows if row[-1].startswith("ORDER")]
        wanted = [truck[key] for truck in tank["trucks"] for key in ("drought_order_l", "order_l")]
        assert [row[1] for row in orders] == [sizes.volume(one) for one in wanted]
        levels = [one["total_l"] for one in tank["bands"]] + wanted
        assert len(table.bold) == len(levels)


def test_marks_are_read_from_the_top_down_as_the_stick_stands(one):
    site, found = one
    for table in tables(card("tank-card", site, found, "metric")):
        levels = [float(row[0].removesuffix(" cm")) for row in table.rows]
        assert levels == sorted(levels, reverse=True)
        assert levels[-1] == 0.0


def test_levels_round_to_the_side_that_holds():
    assert on_stick(1.001, "metric", up=True) == "101 cm"
    assert on_stick(1.009, "metric", down=True) == "100 cm"
    assert on_stick(24.2 * 0.0254, "us", up=True) == "2 ft 1 in"
    assert on_stick(24.8 * 0.0254, "us", down=True) == "2 ft"
    assert on_stick(None, "us") == "-"


def test_the_valve_chart_bears_the_numbers_of_the_tags(one):
    site, found = one
    chart, every = tables(card("valve-chart", site, found))
    numbered = tags(site)
    assert [row[0] for row in every.rows] == [f"{tag.number}" for tag in numbered]
    known = {f"{tag.number}": tag for tag in numbered}
    kinds = {row["kind"]: row for row in rows("valve_modes")}
    modes = chart.head[2:]
    for number, words, *cells in chart.rows:
        tag = known[number]
        assert words == tag.words
        for mode, cell in zip(modes, cells, strict=True):
            wanted = kinds[tag.kind][mode] or kinds[tag.kind]["normal"]
            assert cell.lower() == wanted
            assert (cell == cell.upper() and cell != "") == (wanted != kinds[tag.kind]["normal"])
    holding = [tag for tag in numbered if tag.closes and tag.kind not in kinds]
    assert not holding, "a valve that a person works stands in no row of the chart"


def test_an_ordinary_day_is_what_the_tag_says():
    normally = {row["kind"]: row["normally"] for row in rows("tag_kinds")}
    for row in rows("valve_modes"):
        if normally[row["kind"]]:
            assert row["normal"] == normally[row["kind"]]


def test_only_cases_that_can_come_stand_in_the_chart(designed):
    heads = {name: tables(card("valve-chart", *designed[name]))[0].head for name in designed}
    assert "hauled fill" in heads["whole-house"] and "fire" in heads["whole-house"]
    assert "hauled fill" not in heads["part-year"] and "winter" in heads["part-year"]
    assert "fire" not in heads["barrels"]
    assert all("make-up" not in head for head in heads.values())


@pytest.mark.parametrize("table", ["faults", "emergency"])
def test_every_gap_of_the_tables_is_a_key_of_the_answer(designed, table):
    found = [wall_things(one, Sizes("us")) for _, one in designed.values()]
    known = {kind for things in found for kind in things}
    for row in rows(table):
        assert row["of"] in known, row["of"]
        things = [thing for kinds in found for thing in kinds[row["of"]]]
        for text in (row.get("expect", ""), row.get("says", ""), row.get("measure", "")):
            for gap in GAP.finditer(text):
                parts = gap["key"].split(".")
                holder = [at(".".join(parts[:-1]), one) if parts[1:] else one for one in things]
                assert not things or any(
                    isinstance(one, dict) and parts[-1] in one for one in holder
                ), gap[0]


def test_causes_are_ranked_without_a_gap():
    ranks = {}
    for row in rows("faults"):
        ranks.setdefault(row["symptom"], []).append(int(row["rank"]))
        assert row["expect"] and row["measure"] and row["check"]
    assert all(found == list(range(1, len(found) + 1)) for found in ranks.values())


def test_the_fault_page_expects_this_design_s_numbers(designed):
    site, found = designed["whole-house"]
    (table,) = tables(card("fault-page", site, found))
    told = " ".join(cell for row in table.rows for cell in row)
    sizes, line = Sizes("us"), found["hydraulics"]["service"][0]
    assert f"from {sizes.in_unit(line['cut_in_m'], 'm of water')} when it starts" in told
    assert f"{sizes.in_unit(line['pressure_tank']['precharge_m'], 'm of water')} without" in told
    tank = found["cards"]["tanks"][0]
    assert f"main: {sizes.daily(tank['mean_l_per_day'])} on a mean day" in told
    assert sizes.volume(tank["inch_of_rain_l"]) in told


def test_what_is_unknown_says_what_to_measure(designed):
    site, found = designed["whole-house"]
    line = found["hydraulics"]["service"][0]
    blind = found | {"hydraulics": found["hydraulics"] | {"service": [line | {"cut_in_m": None}]}}
    blind |= {"things": found["things"] | {"lines": [_without(one) for one in _lines(found)]}}
    (table,) = tables(card("fault-page", site, blind))
    told = " ".join(cell for row in table.rows for cell in row)
    assert "Unknown; measure the pressure at which it starts: ____" in told


def _lines(found):
    return found["things"]["lines"]


def _without(line):
    return line | {"cut_in_m": None}


def test_the_emergency_card_tells_water_left_reserve_and_boiling(designed):
    site, found = designed["whole-house"]
    text = " ".join(pages_of(card("emergency-card", site, found)))
    sizes = Sizes("us")
    left = found["hydraulics"]["service"][0]["pressure_tank"]["gives_l"]
    assert f"{sizes.volume(left)} at most run from house water" in text
    reserve = found["cards"]["tanks"][0]["fire_reserve_l"]
    assert f"{sizes.volume(reserve)} are kept for fire" in text
    assert "rolling boil for 1 min" in text
    assert "Never enter a tank" in text and "Poison information" in text
    assert all(title in text for title in TITLES.values())


def test_the_ration_sheet_holds_every_stage(one):
    site, found = one
    paper, sizes = card("ration-stages", site, found), Sizes(site.place.show)
    told = [row for table in tables(paper) for row in table.rows]
    wanted = found["cards"]["stages"]
    assert [row[3] for row in told] == [sizes.daily(stage["l_per_day"]) for stage in wanted]
    assert [row[4] for row in told] == [sizes.share(stage["share"]) for stage in wanted]


def test_the_sampling_card_tells_bottle_hours_and_what_to_do_today(designed):
    site, found = designed["whole-house"]
    text = " ".join(pages_of(card("sampling-card", site, found)))
    assert "From: kitchen sink" in text
    assert "within 24 h, on ice" in text and "within 14 days" in text and "read at once" in text
    assert "two clear tests" in text and "health department" in text
    kinds = {test["kind"] for test in found["treatment"]["tests"]}
    assert all((title in text) == (kind in kinds) for kind, title in FAILS.items())
    passed = [
        test | {"state": "no failure found", "found_on": "2026-01-01", "due": "2026-04-01"}
        for test in found["treatment"]["tests"]
    ]
    later = found | {"treatment": found["treatment"] | {"tests": passed}}
    text = " ".join(pages_of(card("sampling-card", site, later)))
    assert "E. coli on 1 Jan 2026" in text and "1 Apr 2026" in text


def numbers(svg, tag, name):
    root = ElementTree.fromstring(svg)
    return [float(one.get(name)) for one in root.iter(f"{{http://www.w3.org/2000/svg}}{tag}")]


def test_the_tape_is_true_to_length():
    ticks = [Tick(25.4 * n, f"{n} gal") for n in range(19)]
    first, second = tape_sheets(ticks, piece_mm=76.2, high_mm=460.0)
    long = numbers(first, "rect", "height") + numbers(second, "rect", "height")
    assert sum(long) == pytest.approx(460.0)
    marks = [
        (float(x), float(y)) for x, y in re.findall(r'd="M([\d.]+) ([\d.]+)h7"', first + second)
    ]
    assert len(marks) == 19
    foot = HEAD_MM + 76.2
    for n, (x, y) in enumerate(marks):
        strip, within = divmod(n, 3)
        assert x == pytest.approx(strip % 5 * STRIP_MM + 1.0)
        assert foot - y == pytest.approx(25.4 * within, abs=1e-3)
    height = ElementTree.fromstring(first).get("height")
    assert height == f"{76.2 + HEAD_MM + FOOT_MM:g}mm"


@pytest.mark.parametrize(("system", "piece"), [("us", 177.8), ("metric", 180.0)])
def test_the_tape_is_as_long_as_its_tank(designed, system, piece):
    site, found = designed["low-eaves"]
    sheets = [
        block
        for block in card("gauge-tape", site, found, system).blocks
        if isinstance(block, TrueSize)
    ]
    long = [one for sheet in sheets for one in numbers(sheet.svg, "rect", "height")]
    assert sum(long) == pytest.approx(found["cards"]["tanks"][0]["rim_m"] * 1000.0, abs=0.01)
    assert max(long) == pytest.approx(piece)
    root = ElementTree.fromstring(sheets[0].svg)
    assert root.get("width") == f"{sheets[0].width_mm:g}mm"


NAME = 'a "q" <b> & #let $x$ *y* _z_ ' + "long " * 30


def test_bad_names_are_set_as_they_stand_or_told(designed):
    site, _ = designed["barrels"]
    tanks = tuple(replace(one, overflow_to=NAME, material="steel") for one in site.tanks)
    odd = replace(site, name=NAME, tanks=tanks)
    found = answer(design(odd, record_of(site), today=TODAY))
    for name in MAKERS:
        assert pdf(card(name, odd, found))
    right = found | {"site": "ש\u202eל"}
    with pytest.raises(EavewellFault, match="letters"):
        pdf(card("tank-card", odd, right))


def test_an_unknown_shape_is_told_and_not_drawn(making):
    site = making.site()
    found = answer(design(site, making.record(making.wet_and_dry(3)), today=TODAY))
    assert "shape of this tank is not known" in " ".join(pages_of(card("tank-card", site, found)))
    assert "no tape for it yet" in " ".join(pages_of(card("gauge-tape", site, found)))
    for name in MAKERS:
        assert pdf(card(name, site, found))
