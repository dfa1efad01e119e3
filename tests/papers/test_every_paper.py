"""Every paper of every example: complete, without a gap left open, and the same twice."""

import re

import pytest

from eavewell.answers.shown import Sizes
from eavewell.faults import EavewellFault
from eavewell.papers.typeset import pdf

DAY_AND_FOOT = "1 Jan 2026"
OPEN = re.compile(r"\{[\w.: ]*\}|\bNone\b(?! (?:was|of))|\bnan\b|\bTrue\b|\bFalse\b")


def squeezed(text):
    """Without spaces and hyphens, as a line may be broken anywhere."""
    return re.sub(r"[\s\u00ad\u2010-]", "", text)


@pytest.fixture(params=["barrels", "low-eaves", "part-year", "whole-house"])
def plain(request, set_papers):
    assert request.param in set_papers.NAMES
    return set_papers.example(request.param)


def test_no_gap_stays_open_and_every_page_bears_its_foot(plain, set_papers):
    system = "metric" if plain["site"].endswith(("cabin", "shed")) else "us"
    for file, made in set_papers.PAPERS.items():
        paper = made(plain, day=set_papers.TODAY, system=system)
        assert paper.name == file
        for text in set_papers.pages(paper):
            assert not OPEN.search(text), file
            foot = squeezed(text)
            assert squeezed(plain["rain"]["name"]) in foot
            told = f"Eavewell {plain['eavewell']}, {DAY_AND_FOOT}, issue {paper.issue}"
            assert squeezed(told) in foot
            assert "Inventedclimate" in foot


def test_two_runs_give_the_same_bytes(plain, set_papers):
    for made in set_papers.PAPERS.values():
        one, two = (made(plain, day=set_papers.TODAY, system="us") for _ in range(2))
        assert one == two
    assert pdf(one) == pdf(two)


def test_the_manual_holds_the_figures_of_the_answer(plain, set_papers):
    sizes = Sizes("us")
    text = " ".join(
        set_papers.pages(
            set_papers.PAPERS["owners-manual"](plain, day=set_papers.TODAY, system="us")
        )
    )
    for tank in plain["hydraulics"]["tanks"]:
        assert sizes.volume(tank["usable_l"]) in text
        assert sizes.volume(tank["nominal_l"]) in text
    for use in plain["demand"]:
        assert sizes.daily(use["mean_l_per_day"]) in text
    for roof in plain["roofs"]:
        assert roof["finish"] in text
    for line in plain["hydraulics"]["service"]:
        assert line["pump"] in text


def test_the_manual_keeps_the_order_of_the_rule(plain, set_papers):
    order = (
        "Identity, location and end use",
        "Capacity, components, where to look",
        "Sampling points",
        "Whom to ask for parts",
        "How it controls itself",
        "Schedules",
        "Design limits",
        "Catchment",
        "Conveyance",
        "Tanks",
    )
    paper = set_papers.PAPERS["owners-manual"](plain, day=set_papers.TODAY, system="us")
    heads = [getattr(block, "words", "") for block in paper.blocks]
    places = [heads.index(words) for words in order]
    assert places == sorted(places)


def test_a_name_with_markup_quotes_and_length_is_set_as_it_stands(set_papers, making):
    name = 'a "quoted" #let x = 1 $y$ *bold* {name} [b] @ref ' + "long " * 30
    tank = making.tank(500.0, name)
    plain = set_papers.of_site(
        making,
        making.site(tanks=(tank,), uses=(making.use(20.0, draws_from=(name,)),)),
        name=name,
    )
    for made in set_papers.PAPERS.values():
        text = " ".join(set_papers.pages(made(plain, day=set_papers.TODAY, system="us")))
        assert "#let x = 1 $y$ *bold* {name} [b] @ref" in text


def test_a_site_of_which_little_is_known_says_so(set_papers, making):
    plain = set_papers.of_site(making)
    texts = {
        file: " ".join(set_papers.pages(made(plain, day=set_papers.TODAY, system="metric")))
        for file, made in set_papers.PAPERS.items()
    }
    assert "unknown" in texts["owners-manual"]
    assert "not reckoned: overflow level or where it goes unknown" in texts["commissioning"]
    assert "level of the overflow unknown" in texts["build-steps"]


def test_a_right_to_left_name_is_refused_in_a_sentence(set_papers, making):
    plain = set_papers.of_site(making, name="בית")
    with pytest.raises(EavewellFault, match="letters"):
        pdf(set_papers.PAPERS["handout"](plain, day=set_papers.TODAY, system="us"))
