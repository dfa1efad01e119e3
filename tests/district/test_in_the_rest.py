"""Many small wards: what became of them is said, on the paper and on the page."""

from datetime import date

import pytest
from tests.district.made_district import folder_of

from eavewell.district.programme import programme
from eavewell.district.roof_index import by_district, in_the_rest, ready, results_of
from eavewell.district.run import Hands, Sources, screen_district
from eavewell.district.run_page import districts_block
from eavewell.papers.programme import few_districts_told, few_districts_words
from eavewell.report.blocks import Words

DAY = date(2026, 3, 2)
FEW = "In the rest, and not named, as a name would tell that somebody is there: "
MOSTLY = "Most roofs stand in the rest"


@pytest.mark.parametrize(
    ("wards", "roofs", "says"),
    [(0, 0, ()), (1, 8, (f"{FEW}1 district of",)), (9, 20, (f"{FEW}9 districts of",))],
)
def test_nothing_is_said_where_none_are_few(wards, roofs, says):
    found = few_districts_words(wards, few=5, rest=roofs, roofs=40)
    assert [one for one in found if one and not one.startswith(says)] == []
    assert bool(found) == bool(wards)


@pytest.mark.parametrize(("rest", "mostly"), [(20, False), (21, True)])
def test_where_most_stand_in_the_rest_a_coarser_table_is_named(rest, mostly):
    found = " ".join(few_districts_words(9, few=5, rest=rest, roofs=40))
    assert (MOSTLY in found) == mostly


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    """Thirty roofs, ten of ward 0 and two of each of ten others."""
    home = tmp_path_factory.mktemp("wards") / "valley"
    folder_of(home, 30, years=2)
    lines = (home / "roofs.csv").read_text().splitlines()
    for at in range(1, 31):
        ward = max(0, (at - 9) // 2)
        lines[at] = f"{lines[at].rpartition(',')[0]},ward {ward}"
    (home / "roofs.csv").write_text("\n".join(lines))
    return home


def test_the_paper_and_the_page_say_it_alike(home):
    sources = Sources(home / "roofs.csv", home / "district.toml", home / "records")
    screen_district(sources, out=home / "out", hands=Hands(1))
    told = programme(sources, home / "out", day=DAY).told
    assert [one["name"] for one in told["districts"]] == ["ward 0", "the rest"]
    assert (told["few_districts"], told["rest"]) == (10, 20)
    found = results_of(home / "out")
    ready(found)
    assert in_the_rest(found) == few_districts_told(told)
    groups = by_district(found, size=0)
    assert [one["roofs"] for one in groups] == [10, 20]
    last = districts_block(groups, system="us", says=in_the_rest(found))[-1]
    assert isinstance(last, Words)
    assert "10 districts of fewer than 5 roofs" in last.words
    assert MOSTLY in last.words
