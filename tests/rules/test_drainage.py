"""The authority's drainage storm reaches the gutters and what follows them."""

from dataclasses import replace
from datetime import date

from eavewell.design import design
from eavewell.files.authority import model_authority
from eavewell.rules.drainage import drainage_storm
from eavewell.site.beside import Beside
from eavewell.site.storm import Storm


def test_an_authority_without_a_storm_leaves_that_of_the_purpose():
    assert drainage_storm(model_authority()) is None


def test_the_storm_of_an_authority(by_hand):
    rules = by_hand.rules(
        drainage_years=25.0, drainage_minutes=15.0, drainage_written=by_hand.WRITTEN
    )
    storm = drainage_storm(rules)
    assert (storm.years, storm.minutes) == (25.0, 15.0)
    assert (storm.source, storm.place) == ("Invented County rules", "section 1")


def test_gutters_and_pipes_take_it(making, by_hand):
    rules = by_hand.rules(
        drainage_years=25.0, drainage_minutes=15.0, drainage_written=by_hand.WRITTEN
    )
    record = making.record(making.wet_and_dry(12))
    site = replace(making.site(), storm=Storm(city="Birmingham, AL"))

    def eaves(authority):
        beside = Beside(authority=authority)
        return design(site, record, beside=beside, today=date(2026, 1, 1)).eaves

    assert eaves(None).storm == (5.0, 10.0)
    asked = eaves(rules)
    assert asked.storm == (15.0, 25.0)
    assert asked.says.endswith("asked for by Invented County rules, section 1")
