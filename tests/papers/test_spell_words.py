"""The worst spell of a programme is told by its dates; what rests on few roofs is not."""

from eavewell.papers.spell_words import run_in_words, spell_words


def told(*, roofs=9, sizes=(1,)):
    spell = {"record": "Q0", "first": "2011-05-02", "last": "2011-07-05"}
    return {
        "few": 5,
        "peak": {"spells": [{**spell, "roofs": roofs, "short_days": 65}]},
        "records": [{"name": "Q0", "roofs": roofs, "sizes": sizes}],
    }


def test_half_of_the_roofs_and_a_mean_roof():
    half, spell = spell_words(told(), 40)
    assert "no more than 40 days in a row" in half
    # 2 May to 5 July: 30 days of May, 30 of June, 5 of July
    assert spell.endswith("from 2 May 2011 to 5 Jul 2011: 65 short days in a row.")


def test_few_roofs_are_not_told():
    assert list(spell_words(told(roofs=4), None)) == []
    assert list(spell_words(told(sizes=()), None)) == []
    assert list(spell_words({**told(), "peak": None}, None)) == []


def test_longer_than_a_year_is_said_so():
    assert [run_in_words(one) for one in (None, 1, 365, 366)] == [
        "-",
        "1 day",
        "365 days",
        "more than a year",
    ]
