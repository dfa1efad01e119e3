"""Figures on paper are those of the answers, turned into shown units by arithmetic alone."""

import math
import os
import random
import re
import shutil
import subprocess
from copy import deepcopy
from dataclasses import replace
from decimal import ROUND_HALF_EVEN, Decimal

import pytest

from eavewell.drawings.letters import outline
from eavewell.drawings.tags import tags
from eavewell.drawings.tape import SMALL_MM
from eavewell.files.site.reader import read_site
from eavewell.papers.design_report import design_report
from eavewell.papers.emergency_card import emergency_card_paper
from eavewell.papers.fault_page import fault_page_paper
from eavewell.papers.gauge_tape import gauge_tape_paper
from eavewell.papers.log_sheets import log_sheets_paper
from eavewell.papers.ration_sheet import ration_sheet_paper
from eavewell.papers.sampling_card import sampling_card_paper
from eavewell.papers.tank_card import tank_card_paper
from eavewell.papers.typeset import pdf
from eavewell.papers.upkeep_calendar import upkeep_calendar
from eavewell.papers.valve_chart import valve_chart_paper
from eavewell.papers.wall_blocks import TrueSize

US, METRIC = "us", "metric"
CASES = [("barrels", US), ("low-eaves", US), ("part-year", US)]
CASES += [("whole-house", US), ("whole-house", METRIC)]
MONTHS = re.findall("...", "JanFebMarAprMayJunJulAugSepOctNovDec")
WORDS = {
    US: {"rain": "inch_of_rain_l", "per_stick": "even_l_per_inch", "every": "6 in"},
    METRIC: {"rain": "ten_mm_of_rain_l", "per_stick": "even_l_per_cm", "every": "10 cm"},
}
GALLON_L, FOOT_M, INCH_MM, POUND_KG = 3.785411784, 0.3048, 25.4, 0.45359237
GRAVITY = 9.80665
PSI_KPA = POUND_KG * GRAVITY / (0.0254**2) / 1000.0
# quantity -> shown unit, how many of it is one of the answer's, finest step
UNITS = {
    US: {
        "volume": ("gal", 1.0 / GALLON_L, "0.1"),
        "daily": ("gal/day", 1.0 / GALLON_L, "0.1"),
        "flow": ("gal/min", 60.0 / GALLON_L, "0.1"),
        "area": ("ft2", 1.0 / FOOT_M**2, "1"),
        "depth": ("in", 1.0 / INCH_MM, "0.01"),
        "intensity": ("in/h", 1.0 / INCH_MM, "0.01"),
        "pressure": ("psi", GRAVITY / PSI_KPA, "0.1"),
        "ground pressure": ("lb/ft2", 144.0 / PSI_KPA, "1"),
        "weight": ("lb", 1.0 / POUND_KG, "1"),
        "wind": ("mph", 3600.0 / 1609.344, "1"),
        "share": ("%", 100.0, "0.1"),
    },
    METRIC: {
        "volume": ("L", 1.0, "0.1"),
        "daily": ("L/day", 1.0, "0.1"),
        "flow": ("L/s", 1.0, "0.01"),
        "area": ("m2", 1.0, "0.1"),
        "depth": ("mm", 1.0, "0.1"),
        "intensity": ("mm/h", 1.0, "0.1"),
        "pressure": ("kPa", GRAVITY, "0.1"),
        "ground pressure": ("kPa", 1.0, "0.1"),
        "weight": ("kg", 1.0, "0.1"),
        "wind": ("km/h", 3.6, "1"),
        "share": ("%", 100.0, "0.1"),
        "length": ("m", 1.0, "0.01"),
    },
}


# times and plain numbers, as every reader writes them
TIMES = {
    "days": lambda days: {f"{days:,.0f} days"},
    "test days": lambda days: {"year"} if days == 365.0 else {f"{days:.0f} days"},
    "test hours": lambda hours: {f"within {hours:.0f} h", f"within {hours / 24.0:.0f}"},
    "plain share": lambda share: {f"{share:.2f}"},
    # of minutes and seconds the seconds, as a line may be broken between them
    "seconds": lambda seconds: {f"{seconds:.0f} s", f"{round(seconds) % 60:02d} s"},
}


def three(value, step):
    """Three figures, none finer than the step, without noughts at the end."""
    if value == 0:
        return "0"
    fine = max(Decimal(step), Decimal(10) ** (math.floor(math.log10(abs(value))) - 2))
    rounded = (Decimal(value) / fine).quantize(Decimal(1), ROUND_HALF_EVEN) * fine
    text = f"{rounded:,f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def feet_and_inches(value_m):
    inches = round(value_m / FOOT_M * 12.0)
    feet, rest = divmod(inches, 12)
    if feet >= 100:
        return f"{three(value_m / FOOT_M, '1')} ft"
    return " ".join([f"{feet} ft"] * bool(feet) + [f"{rest} in"] * bool(rest or not feet))


def shown(value, quantity, system):
    """Every way in which the figure may stand on paper."""
    if quantity in TIMES:
        return TIMES[quantity](value)
    if quantity == "stick at most":
        step = FOOT_M / 12.0 if system == US else 0.01
        return shown(math.floor(value / step + 1e-6) * step, "stick", system)
    if quantity == "stick" and system == METRIC:
        return {f"{value * 100.0:.0f} cm"}
    if quantity in ("stick", "length") and system == US:
        inches = round(value / FOOT_M * 12.0)
        return {feet_and_inches(value)} | ({f"{inches} in"} if inches == 12 else set())
    unit, times, step = UNITS[system][quantity]
    if (quantity, system) == ("volume", METRIC) and value >= 10_000.0:
        unit, times = "m3", 0.001
    return {f"{three(value * times, step)} {unit}"}


def found(plain, key):
    """Every holder of a key of the answers, its last part, and the words of all it stands in."""
    at = [(plain, {})]
    *way, last = re.split(r"\.(?![^\[]*\])", key)
    for part in way:
        name, _, which = part.rstrip("]").partition("[")
        at = [(one[name], words) for one, words in at if one.get(name) is not None]
        if which:
            most = 1 if which == "first" else None
            at = [(one, words | texts(one)) for things, words in at for one in things[:most]]
            at = [(thing, words) for thing, words in at if is_meant(thing, which)]
    name, _, which = last.rstrip("]").partition("[")
    return [(one[name], int(which), words) if which else (one, name, words) for one, words in at]


def texts(thing):
    told = {key: f"{value}" for key, value in thing.items() if isinstance(value, str | int)}
    # a row of a table may be broken after its first word
    called = told.get("of") or told.get("task", "").capitalize()
    told |= {"first": called.split()[0]} if called else {}
    return told | ({"month_name": MONTHS[thing["month"] - 1]} if "month" in thing else {})


def is_meant(thing, which):
    if which.startswith(("not ", "with ")):
        word, key = which.split(" ", 1)
        return bool(thing[key]) == (word == "with")
    key, _, wanted = which.partition("=")
    return which in ("*", "first") or f"{thing[key]}" == wanted


def asked(plain, rows, system):
    """Words, holder, key and quantity of every figure that a paper must show."""
    for near, key, quantity in rows:
        whole = key
        for word, stands in WORDS[system].items():
            whole = whole.replace(f"{{{word}}}", stands)
        for holder, last, words in found(plain, whole):
            if (holder[last] or 0.0) != 0.0:
                yield near.format_map({"line": ""} | words), holder, last, quantity


def lines_of(paper):
    """Text of a paper as it is laid out, line by line, two spaces between columns."""
    done = subprocess.run(
        ["pdftotext", "-layout", "-", "-"], input=pdf(paper), capture_output=True, check=True
    )
    text = [re.sub(r"\s{2,}", "  ", line.strip()) for line in done.stdout.decode().splitlines()]
    return [line for line in text if line]


def stands(lines, near, ways, *, below=2):
    """Whether one of the ways stands on a line with these words, or so many lines from there."""
    head, _, words = near.rpartition(" > ")
    begins, words = words.startswith("^"), words.removeprefix("^")
    starts = [at + 1 for at, line in enumerate(lines) if head in line] if head else [0]
    reach = len(lines) if not head else 150
    places = {at for start in starts for at in range(start, min(start + reach, len(lines)))}
    # 19 ft is neither 119 ft nor 19 ft 7 in; the next column may begin with 7 in
    parts = [r"\s+".join(map(re.escape, way.split())) for way in ways]
    exact = [rf"(?<![\w.,-]){part}(?![\w/]|[.,]\d| \d+ in\b)" for part in parts]
    plain = [" ".join(line.split()) for line in lines]
    for at in places:
        if begins and not plain[at].startswith(words):
            continue
        # on this line, or begun on it
        whole = " ".join(plain[at : at + 2])
        if words in plain[at] or (words in whole and words not in whole[len(plain[at]) :]):
            window = lines[at : at + below]
            told = (*window, " ".join(window))
            if any(re.search(one, line) for one in exact for line in told):
                return True
    return False


def papers_of(set_papers, name, system, plain):
    """Every paper by its name, drawn pictures left out."""
    told = {"day": set_papers.TODAY, "system": system}
    site = read_site(set_papers.EXAMPLES / name / "site.toml")
    numbers = tags(replace(site, place=replace(site.place, show=system)))
    plainly = (emergency_card_paper, fault_page_paper, gauge_tape_paper, log_sheets_paper)
    plainly += (sampling_card_paper, tank_card_paper, upkeep_calendar, design_report)
    made = [one(plain, **told) for one in (*plainly, *set_papers.PAPERS.values())]
    made += [one(plain, tags=numbers, **told) for one in (valve_chart_paper, ration_sheet_paper)]
    return {paper.name: paper for paper in made if paper.blocks}


@pytest.fixture(scope="module")
def laid_out(set_papers):
    """Lines of every paper of every case."""
    if shutil.which("pdftotext") is None:
        if os.environ.get("CI"):
            pytest.fail("pdftotext is missing: the papers cannot be read")
        pytest.skip("pdftotext is not installed")
    return {
        (name, system): {
            paper: lines_of(made)
            for paper, made in papers_of(set_papers, name, system, set_papers.example(name)).items()
        }
        for name, system in CASES
    }


def is_shown(lines, asked_for, was, system):
    """Whether a paper shows what a key was."""
    near, _, _, quantity = asked_for
    ways = shown(was, quantity.removeprefix("~"), system)
    if quantity.startswith("~"):
        # the unit may stand on the next line of its cell
        return stands(lines, near, {way.rpartition(" ")[0] for way in ways}, below=6)
    return stands(lines, near, ways)


def missing(plain, lines, rows, system):
    every = [(one, one[1][one[2]]) for one in asked(plain, rows, system)]
    return [(one[0], one[2], was) for one, was in every if not is_shown(lines, one, was, system)]


@pytest.mark.parametrize(("name", "system"), CASES)
def test_every_paper_shows_the_figures_of_the_answers(
    set_papers, figures_told, laid_out, name, system
):
    plain = set_papers.example(name)
    gone = {
        paper: left
        for paper, lines in laid_out[name, system].items()
        if (left := missing(plain, lines, figures_told.FIGURES.get(paper, ()), system))
    }
    assert gone == {}


def test_every_paper_has_its_figures(set_papers, figures_told, laid_out):
    """From five on, but where a paper holds words; the tape's figures are drawn, tested below."""
    few = {"log-sheets": 0, "gauge-tape": 0, "emergency-card": 3, "valve-chart": 1}
    plain = set_papers.example("whole-house")
    papers = laid_out["whole-house", US]
    assert set(papers) == {*figures_told.FIGURES, "gauge-tape"}
    for paper in papers:
        told = list(asked(plain, figures_told.FIGURES.get(paper, ()), US))
        assert len(told) >= few.get(paper, 5), paper


def test_a_figure_altered_on_paper_is_found_out(set_papers, figures_told, laid_out):
    """Every key of the whole house by three in a hundred, up or down by chance, in the answer
    that the papers are given; the figures asked for stay what they were."""
    plain = set_papers.example("whole-house")
    chance, altered = random.Random(20260101), deepcopy(plain)
    was, rows = {}, figures_told.FIGURES
    for paper in rows:
        pairs = zip(asked(plain, rows[paper], US), asked(altered, rows[paper], US), strict=True)
        was[paper] = [(one, one[1][one[2]], holder, key) for one, (_, holder, key, _) in pairs]
    for _, before, holder, key in (one for paper in was.values() for one in paper):
        by = chance.choice((0.97, 1.03))
        whole = isinstance(before, int)
        holder[key] = before + max(1, round(0.03 * before)) if whole else before * by
    made = papers_of(set_papers, "whole-house", US, altered)
    seen = [
        not is_shown(lines, one, before, US)
        for paper, lines in ((name, lines_of(paper)) for name, paper in made.items())
        for one, before, _, _ in was.get(paper, ())
    ]
    assert len(seen) > 150
    assert sum(seen) / len(seen) >= 0.9


def shape(path):
    """An outline moved so that it begins at nothing."""
    moved, first, at = [], None, 0
    for command, numbers in re.findall(r"([MLHVQCZ])([^A-Z]*)", path):
        for number in map(float, re.findall(r"-?\d*\.?\d+", numbers)):
            axis = {"H": 0, "V": 1}.get(command, at % 2)
            at += 1
            first = [number, None] if first is None else first
            if first[1] is None and axis == 1:
                first[1] = number
            moved.append(number - first[axis])
        at = 0
    return moved


@pytest.mark.parametrize(("name", "system"), CASES)
def test_the_tape_bears_the_water_of_every_band(set_papers, name, system):
    """Its letters are outlines, so that it is cut out as it is drawn: outlines are compared."""
    plain = set_papers.example(name)
    paper = gauge_tape_paper(plain, day=set_papers.TODAY, system=system)
    sheets = [block.svg for block in paper.blocks if isinstance(block, TrueSize)]
    drawn = [shape(path) for sheet in sheets for path in re.findall(r'<path d="([^"]+)"', sheet)]

    def is_drawn(volume_l):
        (way,) = shown(volume_l, "volume", system)
        wanted = shape(outline(way, SMALL_MM, at=(0.0, 0.0)))
        return any(
            len(one) == len(wanted)
            and all(abs(a - b) < 0.01 for a, b in zip(one, wanted, strict=True))
            for one in drawn
        )

    tanks = [one for one in plain["cards"]["tanks"] if one["shape_known"]]
    full = [one["full_l"] for one in tanks]
    assert all(is_drawn(volume_l) for volume_l in full)
    assert not any(is_drawn(1.03 * volume_l) for volume_l in full)
