"""The report in the terminal: it says what it must, in the width it has."""

import json
import re
from dataclasses import replace
from datetime import date
from io import BytesIO, TextIOWrapper
from pathlib import Path

import pytest
from rich.console import Console

from eavewell.answers import answer
from eavewell.answers.shown import Sizes, days_in_words, listed, short_run
from eavewell.design import design
from eavewell.files.record import record_of
from eavewell.files.site.reader import read_site
from eavewell.report.strip import Strip
from eavewell.report.whole import report
from eavewell.terminal.page import laid_out

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(path.parent.name for path in EXAMPLES.glob("*/site.toml"))
SYSTEMS = ("us", "metric")
TODAY = date(2026, 1, 1)


def answered(name, system):
    site = read_site(EXAMPLES / name / "site.toml")
    site = replace(site, place=replace(site.place, show=system))
    return answer(design(site, record_of(site), today=TODAY))


@pytest.fixture(scope="module")
def answers():
    return {(name, system): answered(name, system) for name in NAMES for system in SYSTEMS}


def printed(found, *, system="us", width=88, encoding="utf-8"):
    paper = TextIOWrapper(BytesIO(), encoding=encoding)
    page = Console(file=paper, width=width, color_system=None, highlight=False)
    page.print(laid_out(report(found, system=system)))
    paper.seek(0)
    return paper.read()


def words(text):
    return " ".join(text.split())


@pytest.mark.parametrize("name", NAMES)
def test_every_caution_is_printed(answers, name):
    found = answers[name, "us"]
    text = words(printed(found))
    for one in found["cautions"]:
        assert words(one["says"]) in text, one["code"]
        for role in one["decides"]:
            assert role in text


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("system", SYSTEMS)
def test_the_report_says_what_it_must(answers, name, system):
    text = words(printed(answers[name, system], system=system))
    for must in (
        "INVENTED CLIMATE: for trying things out, never for building",
        "Through every dry spell of this record",
        "days wanted full rationed short",
        "Never enter a tank",
        "Not part of this report",
        "Screening, not design approval",
        "may not hold in a worse drought",
        "First year from empty",
        "sequent peak",
        "Rules of thumb, which have seen no drought",
        "9 in 10 traces",
        "in blocks of",
        "as drawn",
    ):
        assert must in text, must
    # Water is never called safe.
    assert not re.search(r"\bsafe\b", text.lower())


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("width", [72, 80, 100])
@pytest.mark.parametrize("encoding", ["utf-8", "ascii"])
def test_the_report_keeps_its_width(answers, name, width, encoding):
    for system in SYSTEMS:
        text = printed(answers[name, system], system=system, width=width, encoding=encoding)
        assert max(len(line.rstrip()) for line in text.splitlines()) <= width


@pytest.mark.parametrize("name", NAMES)
def test_a_terminal_without_block_characters_gets_plain_ones(answers, name):
    assert printed(answers[name, "us"], encoding="ascii").isascii()
    assert not printed(answers[name, "us"]).isascii()


@pytest.mark.parametrize("name", NAMES)
def test_each_system_keeps_to_its_own_units(answers, name):
    us = set(printed(answers[name, "us"]).split())
    metric = set(printed(answers[name, "metric"], system="metric").split())
    assert not {"gal", "gal/day", "ft2", "ft"} & metric
    assert not {"L/day", "m2", "m3", "mm"} & us
    assert {"gal", "ft2"} <= us
    assert {"mm", "m2"} <= metric


@pytest.mark.parametrize("name", NAMES)
def test_the_drinking_caution_stands_by_drinking_use(answers, name):
    found = answers[name, "us"]
    drinks = any(use["class"] == "drinking" for use in found["demand"])
    caution = "Not drinking water unless designed, treated, tested, labelled and permitted"
    assert (caution in words(printed(found))) is drinks


def test_a_share_never_stands_without_its_longest_run(answers):
    for (name, system), found in answers.items():
        lines = printed(found, system=system).splitlines()
        for use in found["storage"]["uses"]:
            at = next(
                at
                for at, line in enumerate(lines)
                if line.startswith(f"  {use['name']} ") and f"{use['wanted_days']:,} " in line
            )
            if use["short_days"] == 0:
                assert lines[at + 1].strip().startswith("never short on this record")
            else:
                run = f"longest run: {use['longest_short_days']:,} short day"
                assert run in lines[at + 1], name


def test_full_rationed_and_short_days_are_the_days_wanted(answers):
    for found in answers.values():
        for use in found["storage"]["uses"]:
            parts = (use["full_wanted_days"], use["rationed_days"], use["short_days"])
            assert sum(parts) == use["wanted_days"]


def test_every_goal_stands_with_what_it_measures(answers):
    for (_, system), found in answers.items():
        text = printed(found, system=system, width=100)
        for goal in found["sizing"]["goals"]:
            verdict = "reached" if goal["reached"] else "missed"
            assert re.search(rf"{verdict} +{re.escape(goal['says'])}", text)
        assert found["sizing"]["meets_goal"] == all(g["reached"] for g in found["sizing"]["goals"])


def test_findings_stand_from_sky_to_tap_with_fix_and_source(answers):
    for (_, system), found in answers.items():
        text = words(printed(found, system=system))
        text = text[text.index("Findings, from sky to tap") :]
        reaches = list(dict.fromkeys(one["reach"].capitalize() for one in found["findings"]))
        at = [text.index(f" {reach} ") for reach in reaches]
        assert at == sorted(at)
        for one in found["findings"]:
            assert words(one["fix"]) in text
            assert words(one["source"]) in text


def test_what_is_worse_than_the_record_is_never_called_whole(answers):
    for (_, system), found in answers.items():
        text = printed(found, system=system)
        beyond = text[text.index("How sure this is") : text.index("Findings")]
        traces = beyond[: beyond.index("With the finishes")]
        assert "100 %" not in traces


def test_a_system_that_no_tank_saves_names_roof_and_use(answers):
    found = json.loads(json.dumps(answers["barrels", "us"]))
    # 92.903 m2 are just under 1,000 ft2; 37.8542 L are just over 10 US gal.
    found["sizing"] |= {
        "smallest_l": None,
        "meets_goal": False,
        "smallest_roof_m2": 92.903,
        "most_use_l_per_day": 37.8542,
    }
    text = words(printed(found))
    assert "No size of 'barrels' alone reaches them" in text
    assert "1,000 ft2 of roof or 10 gal/day of use in all" in text


def test_square_brackets_of_a_site_are_printed(answers):
    found = json.loads(json.dumps(answers["barrels", "us"]))
    found["roofs"][0]["name"] = "[bold]shed[/bold]"
    found["site"] = "[red]yard"
    assert "[bold]shed[/bold]" in printed(found)
    assert "[red]yard" in printed(found)


def test_the_strip_shows_the_middle_of_each_stretch_and_what_ran_empty():
    # Four stretches of three months, eight steps of 10 L: full, half, empty, a tenth (rounded up);
    # the second and third hold a month without water.
    months = [80, 80, 80, 60, 40, 0, 0, 0, 80, 80, 8, 8]
    strip = Strip(months, 80.0, first=1990 * 12, empty=0.08)
    ink, dry, below, years = strip.lines(4)
    assert ink == "█▄ ▁"
    assert dry == " .."
    assert below == ""
    assert years == "1990"
    assert strip.lines(4, plain=True)[0].isascii()


def test_the_strip_marks_the_worst_spell():
    # July to December 1990 are columns 6 to 11.
    strip = Strip([10.0] * 24, 80.0, first=1990 * 12, worst=(1990 * 12 + 6, 1990 * 12 + 11))
    assert strip.lines(24)[2] == " " * 6 + "^" * 6


def test_the_strip_of_years_marks_the_decades():
    # One column a year from 1985: 1990 stands in column 5, 2000 in column 15.
    strip = Strip([1.0] * 25, 1.0, first=1985 * 12, step=12)
    years = strip.lines(60)[3]
    assert (years.index("1985"), years.index("1990"), years.index("2000")) == (0, 5, 15)


def test_dates_and_lists_read_as_sentences():
    assert days_in_words("from 1956-10-03 on") == "from 3 Oct 1956 on"
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b and c"


def test_a_run_counts_the_days_wanted_and_the_days_it_spans():
    # 26 Apr 2024 to 21 Mar 2025: 365 days to 26 Apr 2025, less 36, and both ends count: 330.
    run = short_run(56, "2024-04-26", last="2025-03-21")
    assert run == "56 short days in a row of those wanted, over 330 days"
    assert short_run(3, "2024-02-28", last="2024-03-01") == "3 short days in a row"
    assert short_run(1, "2024-05-01", last="2024-05-01") == "1 short day"


def test_numbers_of_a_finding_read_in_full():
    sizes = Sizes("us")
    assert sizes.in_unit(4000.0, "days") == "4,000 days"
    assert sizes.in_unit(1.0, "days") == "1 day"
    assert sizes.in_unit(0.1234, "mg/L") == "0.123 mg/L"


@pytest.mark.parametrize("name", NAMES)
def test_no_broken_words(answers, name):
    text = words(printed(answers[name, "us"]))
    assert not re.search(r"lies from all|supplies all of it|\de\+\d", text)


@pytest.mark.parametrize(
    ("steady_l", "says"),
    [
        (140_000.0, "loads and rations; from 37,000 gal on all meet it."),
        (None, "the largest tried among them."),
    ],
)
def test_the_smallest_size_never_hides_that_larger_ones_miss(answers, steady_l, says):
    found = json.loads(json.dumps(answers["barrels", "us"]))
    # 36,718 L are just under 9,700 US gal, 140,000 L just under 37,000.
    found["sizing"] |= {"smallest_l": 36_718.0, "steady_l": steady_l}
    text = words(printed(found))
    first = "does holds 9,700 gal usable, but some larger ones miss a goal by the timing of"
    assert first in text
    assert says in text
    found["sizing"] |= {"steady_l": 36_718.0}
    assert "does holds 9,700 gal usable." in words(printed(found))


def test_less_rain_stands_beside_the_answer_where_no_size_does(answers):
    found = json.loads(json.dumps(answers["barrels", "us"]))
    found["sizing"] |= {
        "less_rain_factor": 0.8,
        "smallest_at_less_rain_l": None,
        "less_rain_supplied_share": 0.5,
        "less_rain_longest_short_days": 12,
    }
    says = "as drawn would supply 50 %, longest run 12 short days, and no size would"
    assert says in words(printed(found))


@pytest.mark.parametrize(
    ("left_l", "closes"),
    [(2e-8, "less than 0.001 L"), (-2e-8, "less than 0.001 L"), (-0.25, "0.250 L")],
)
def test_what_the_arithmetic_leaves_is_no_water(answers, left_l, closes):
    found = answers["barrels", "us"]
    storage = found["storage"] | {"balance_error_l": left_l}
    text = printed(found | {"storage": storage}, width=200)
    assert f"the account closes to {closes}." in " ".join(text.split())
