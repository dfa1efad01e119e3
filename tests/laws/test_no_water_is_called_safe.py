"""No sentence anywhere gives a verdict on water: nothing in code, tables or texts calls it safe."""

import re
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import pytest

from eavewell.answers.barriers import barriers_answer
from eavewell.answers.cautions import cautions_answer
from eavewell.answers.fitness import fitness_answer
from eavewell.answers.shown import Sizes
from eavewell.report.barriers import barriers_section
from eavewell.report.fitness import fitness_section
from eavewell.site.surface import Surface
from eavewell.terminal.printed import on_paper
from eavewell.treatment.classes import fit_for_use

HOME = Path(str(files("eavewell")))
VERDICT = re.compile(
    r"\bsafe(?:ly|r|st)?\b|\bunsafe\b|\bpotable\b|\bdrinkable\b|\bpurified\b|\bpure\b|\bharmless\b"
    r"|\bwholesome\b|\bgerm-free\b|\bsterile water\b"
    r"|\b(?:fit|good|suitable|clean enough) to drink\b"
    r"|\bapproved (?:for|as) (?:drinking|animals|food)\b|\bwater is (?:clean|fine|good)\b",
    re.IGNORECASE,
)
# What these words may also mean; none of it speaks of the water.
OTHERWISE = re.compile(
    r"\b(?:on|to) the safe side\b|\bgoes somewhere safe\b|\bnon-?\s?potable\b"
    r"|\bsafe daily use\b|,potable: (?:coliform 0|below 1 NTU)",
    re.IGNORECASE,
)
WRITTEN = sorted(
    file for ending in ("*.py", "*.csv", "*.toml", "*.md", "*.txt") for file in HOME.rglob(ending)
)


def verdicts(text):
    """Every verdict on water that stands in a text."""
    return [found.group() for found in VERDICT.finditer(OTHERWISE.sub(" ", text))]


def test_the_words_are_seen():
    for says in (
        "This water is safe.",
        "Safe to drink",
        "safely drunk",
        "potable",
        "It is fit to drink",
        "approved for drinking",
        "the water is clean",
    ):
        assert verdicts(says)
    for says in ("rounds to the safe side", "non-potable", "a safety factor", "no approval"):
        assert verdicts(says) == []


def test_nothing_written_calls_water_safe():
    found = {
        f"{file.relative_to(HOME)}:{number}": words
        for file in WRITTEN
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1)
        if (words := verdicts(line))
    }
    assert found == {}


@pytest.mark.parametrize("known", [True, False])
def test_the_best_that_a_line_and_a_roof_can_be_is_no_verdict(made_up_barriers, making, known):
    """Everything proven and every target met: still 'screening', and who decides."""
    made, barriers = made_up_barriers, made_up_barriers.Barriers(making)
    strong = made.with_works(made.LAMP, validated_mj_cm2=186.0)
    line = made.line(*made.LIT[:3], strong)
    asks = made.asking(virus=4.0, giardia=4.0, cryptosporidium=4.0)
    surface = (
        Surface("plastic", "none", False, "none", "none", flue=False, panels=False)
        if known
        else Surface()
    )
    (roof,) = barriers.site(line).roofs
    site = barriers.site(line, roofs=(replace(roof, surface=surface),))
    answer = {
        "treatment": {
            **fitness_answer(fit_for_use(site)),
            "lines": barriers_answer(barriers.run(line, asks=asks)),
        },
        "cautions": cautions_answer(site),
    }
    assert barriers.found(line, asks=asks) == []
    for section in (barriers_section, fitness_section):
        text = " ".join(on_paper(section(answer, Sizes("us"))).split())
        assert verdicts(text) == []
        assert "Screening, not design approval" in text
        assert "health department" in text
