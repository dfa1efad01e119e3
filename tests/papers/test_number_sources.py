"""The appendix: every figure with a number that leads to its source and its mark."""

import pytest

from eavewell.papers.number_sources import KNOWN, SOURCES, VALUES, sources_part
from eavewell.papers.paper import Ledger
from eavewell.report.whole import PARTS
from eavewell.tables import rows, sources


def ledgers(plain, head):
    return [one for one in sources_part(plain) if isinstance(one, Ledger) and one.head == head]


@pytest.mark.parametrize("name", ["barrels", "low-eaves", "part-year", "whole-house"])
def test_every_number_leads_to_a_source(set_papers, name):
    plain = set_papers.example(name)
    (listed,) = ledgers(plain, SOURCES)
    numbers = [row[0] for row in listed.rows]
    assert numbers == [f"{at}" for at in range(1, len(numbers) + 1)]
    cited = {
        number.strip()
        for one in ledgers(plain, VALUES)
        for *_, says in one.rows
        for number in says.split(":")[0].split(",")
    }
    assert cited == set(numbers)


def test_titles_and_marks_are_those_of_the_table(set_papers):
    (listed,) = ledgers(set_papers.example("whole-house"), SOURCES)
    told = {one["title"]: KNOWN[one["mark"]] for one in sources().values()}
    assert {row[1]: row[3] for row in listed.rows}.items() <= told.items()


def test_a_finish_that_no_roof_has_is_left_out(set_papers):
    plain = set_papers.example("whole-house")
    lines = {row[0]: row for one in ledgers(plain, VALUES) for row in one.rows}
    assert lines["shed by the finish: painted steel"][1:3] == ("0.9 share of rain", "0.8 to 0.95")
    assert "shed by the finish: thatch" not in lines


def test_a_part_that_the_site_lacks_has_no_figures(set_papers):
    def told(name):
        plain = set_papers.example(name)
        return {row[0].split(":")[0] for one in ledgers(plain, VALUES) for row in one.rows}

    assert "pump and pressure tank" in told("whole-house")
    assert "pump and pressure tank" not in told("barrels")
    assert "sump and lift" in told("low-eaves")
    assert "sump and lift" not in told("whole-house")


def test_the_parts_are_those_of_the_report_in_its_order():
    parts = [words for words, _ in PARTS]
    named = list(dict.fromkeys(row["part"] for row in rows("report_tables")))
    assert named == [words for words in parts if words in named]
