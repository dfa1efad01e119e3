"""The report in the terminal: it says what it must, in the width it has."""

import json
from dataclasses import replace
from io import StringIO
from pathlib import Path

import pytest
from rich.console import Console

from eavewell.answers import answer
from eavewell.design import design
from eavewell.files.record import record_of
from eavewell.files.site_file import read_site
from eavewell.terminal.report import report
from eavewell.terminal.strip import level_strip

EXAMPLES = Path(__file__).parents[1] / "examples"
NAMES = sorted(path.parent.name for path in EXAMPLES.glob("*/site.toml"))


@pytest.fixture(scope="module")
def answers():
    sites = {name: read_site(EXAMPLES / name / "site.toml") for name in NAMES}
    return {name: answer(design(site, record_of(site))) for name, site in sites.items()}


def printed(found, *, system="us", width=88, plain=True):
    page = Console(file=StringIO(), width=width, color_system=None, highlight=False)
    page.print(report(found, system=system, width=width, plain=plain))
    return page.file.getvalue()


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("width", [72, 100])
def test_the_report_keeps_its_width_and_says_what_it_must(answers, name, width):
    text = printed(answers[name], width=width)
    assert max(len(line) for line in text.splitlines()) <= width
    words = " ".join(text.split())
    for must in (
        "INVENTED CLIMATE: for trying things out, never for building",
        "Over this record",
        "full rationed short",
        "Never enter a tank",
        "Not part of this report",
        "Screening, not design approval",
        "may not hold in a worse drought",
        "First year from empty",
        "sequent peak",
        "Rules of thumb, which have seen no drought",
    ):
        assert must in words, must
    assert "safe" not in words.lower().replace("unsafe", "")
    assert text.isascii()


@pytest.mark.parametrize("name", NAMES)
def test_metric_pages_hold_no_us_units(name):
    site = read_site(EXAMPLES / name / "site.toml")
    site = replace(site, place=replace(site.place, show="metric"))
    words = printed(answer(design(site, record_of(site))), system="metric").split()
    assert not {"gal", "gal/day", "ft2", "mi"} & set(words)
    assert {"mm", "L"} & set(words)


def test_a_share_never_stands_without_its_longest_run(answers):
    for found in answers.values():
        for use in found["storage"]["uses"]:
            line = next(
                line
                for line in printed(found, width=100).splitlines()
                if line.startswith(f"  {use['name']} ")
                and ("none on" in line or "to" in line.split())
            )
            assert "none on this record" in line or f"{use['longest_short_days']:,}:" in line


def test_square_brackets_of_a_site_are_printed(answers):
    found = json.loads(json.dumps(answers["barrels"]))
    found["roofs"][0]["name"] = "[bold]shed[/bold]"
    assert "[bold]shed[/bold]" in printed(found)


def levels(lowest, worst=(None, None)):
    return {
        "storage": {
            "levels": {"from": "1990-01", "lowest_l": lowest, "usable_l": 80.0},
            "worst_short": {"from": worst[0], "to": worst[1]},
        }
    }


def test_the_strip_shows_the_lowest_of_each_stretch():
    # Four stretches of three months, eight steps of 10 L: full, half, empty, a tenth (rounded up).
    months = [80, 80, 80, 60, 40, 50, 0, 70, 80, 80, 8, 80]
    ink, below, years = level_strip(levels(months), width=4)
    assert ink == "█▄ ▁"
    assert below == ""
    assert years == "1990"


def test_the_strip_marks_the_worst_spell():
    _, below, _ = level_strip(
        levels([10.0] * 24, worst=("1990-07-03", "1990-12-30")), width=24, plain=True
    )
    # July to December are columns 6 to 11.
    assert below == " " * 6 + "^" * 6
