"""The expected figure of each test, by arithmetic on the answer; gaps are keys that there are."""

from math import pi

import pytest

from eavewell.answers.shown import Sizes
from eavewell.papers.commissioning import tests as trials
from eavewell.papers.filled import GAP, holds
from eavewell.papers.joined import joined
from eavewell.tables import rows

US = Sizes("us")
TABLES = ("commissioning", "build_steps", "manual_data", "manual_controls", "review_items")


def told(plain, sizes=US):
    return {row[0]: row[1] for _, row in trials(joined(plain), sizes)}


def test_a_bucket_fills_in_its_volume_over_the_flow(set_papers):
    plain = set_papers.example("whole-house")
    flows = {
        one["name"]: (one["most_l_s"], one["least_l_s"])
        for line in plain["hydraulics"]["service"]
        for one in line["outlets"]
    } | {
        one["name"]: (one["flow_full_l_s"], one["flow_low_l_s"])
        for line in plain["hydraulics"]["gravity"]
        for one in line["outlets"]
    }
    assert plain["trial"]["bucket_l"] == pytest.approx(5 * 3.785411784, abs=1e-3)
    for one in plain["trial"]["outlets"]:
        quick, slow = flows[one["name"]]
        assert one["quick_s"] == pytest.approx(5 * 3.785411784 / quick, rel=1e-4)
        assert one["slow_s"] == pytest.approx(5 * 3.785411784 / slow, rel=1e-4)


def test_the_leak_is_the_drop_over_the_surface(set_papers):
    """An eight-foot tank that falls by 3 mm has lost 14.01 L."""
    plain = set_papers.example("whole-house")
    main = next(one for one in plain["trial"]["tanks"] if one["name"] == "main")
    assert main["leak_mm"] == 3.0
    assert main["leak_l"] == pytest.approx(pi / 4 * (8 * 0.3048) ** 2 * 3.0, rel=1e-6)


def test_a_line_is_tested_at_50_psi_or_what_it_works_at(set_papers):
    (house,) = set_papers.example("whole-house")["trial"]["lines"]
    (barn,) = set_papers.example("low-eaves")["trial"]["lines"]
    assert house["test_m"] == pytest.approx(60 * 0.70307, rel=1e-3)
    assert barn["test_m"] == pytest.approx(50 * 0.70307, rel=1e-3)


def test_the_figures_of_the_sheet_are_those_of_the_answer(set_papers):
    plain = set_papers.example("whole-house")
    found = told(plain)
    (line,) = plain["hydraulics"]["service"]
    gives = US.volume(line["pressure_tank"]["gives_l"])
    assert found["house water: cut-in"] == "starts at 40 psi"
    assert found["house water: water drawn between cut-out and cut-in, pump off"] == gives
    flush = plain["hydraulics"]["first_flush"][0]
    assert f"{flush['empties_h']:g} h" in next(v for k, v in found.items() if "First flush" in k)
    assert "lamp: pull its plug" in " ".join(found)


def test_a_sump_s_floats_and_its_alarm(set_papers):
    found = told(set_papers.example("low-eaves"))
    levels = {
        one["point"]: one["level_m"]
        for one in set_papers.example("low-eaves")["hydraulics"]["levels"]
        if one["thing"].startswith("lift")
    }
    assert levels
    assert found["sump lift: start float"] == "starts at -4 ft"
    assert "High-water alarm of sump lift: lift its float" in found


def test_what_is_unknown_is_not_reckoned(set_papers, making):
    found = told(set_papers.of_site(making))
    assert found["The same of tank 'tank' as water"] == "not reckoned: its shape unknown"
    assert not any("pull its plug" in test for test in found)


def test_make_up_asks_for_a_backflow_tester(set_papers, making):
    site = making.site(uses=(making.use(20.0, fallback="mains"),))
    tests = [row for _, row in trials(joined(set_papers.of_site(making, site)), US)]
    assert any("licensed backflow tester" in row[3] for row in tests)
    dry = [row for _, row in trials(joined(set_papers.example("whole-house")), US)]
    assert not any("backflow tester" in row[3] for row in dry)


def is_key(key, thing):
    for part in key.split("."):
        if isinstance(thing, list):
            return part.isdigit()
        if not isinstance(thing, dict) or part not in thing:
            return thing is None or thing == {}
        thing = thing[part]
    return True


@pytest.mark.parametrize("name", TABLES)
def test_every_gap_is_a_key_of_the_answer(set_papers, name):
    wholes = [joined(set_papers.example(one)) for one in set_papers.NAMES]
    for row in rows(name):
        things = [one for whole in wholes for one in whole[row["of"]] if holds(row["needs"], one)]
        gaps = {gap["key"] for words in row.values() for gap in GAP.finditer(words)}
        for key in gaps if things else ():
            assert any(is_key(key, one) for one in things), (row, key)
