"""Logs against the authority's targets: each check fires, is silent, and its way out passes."""

from dataclasses import replace

import pytest

from eavewell.hydraulics.standard_sizes import next_tank_l
from eavewell.units import read

DECIDES = "Screening, not design approval; the health department decides."


@pytest.fixture
def made(made_up_barriers):
    return made_up_barriers


@pytest.fixture
def barriers(made, making):
    return made.Barriers(making)


def _volume_l(sold):
    """Of one tank or several, as the fix names them."""
    count, _, one = sold.rpartition(" x ")
    return (int(count) if count else 1) * read(one, "volume")


def test_no_target_is_built_in(made, barriers):
    finding = barriers.the(made.line(*made.LIT), "no-log-target")
    assert finding.level == "note"
    assert "virus on roof water: ask the health department" in finding.says
    assert barriers.codes(made.line(*made.LIT), end_use="indoor") == set()


def test_an_organism_without_a_target_is_a_line_of_its_own(made, barriers):
    asks = made.asking(giardia=3.0, cryptosporidium=3.0)
    finding = barriers.the(made.line(*made.LIT), "no-log-target", asks=asks)
    assert "virus" in finding.says
    assert "roof water: ask the health department" in finding.says
    whole = made.asking(giardia=3.0, cryptosporidium=3.0, virus=0.5)
    assert barriers.codes(made.line(*made.LIT), asks=whole) == set()


@pytest.mark.parametrize(("asked", "dose"), [(1.0, 58), (2.0, 100), (3.7, 186), (4.0, 186)])
def test_virus_by_a_lamp_and_the_dose_that_does(made, barriers, asked, dose):
    asks = made.asking(virus=asked, giardia=3.0, cryptosporidium=3.0)
    finding = barriers.the(made.line(*made.LIT), "below-log-target", asks=asks)
    assert finding.level == "stop"
    assert (finding.measured, finding.limit, finding.unit) == (0.5, asked, "logs")
    assert finding.source == "Invented rules, paragraph 3"
    assert "most of them by 'lamp'" in finding.says
    assert finding.says.endswith(DECIDES)
    proven = read(finding.fix.split("dose of ")[1].split(" at")[0], "dose")
    assert proven == dose
    assert "at the end of its life" in finding.fix
    stronger = made.with_works(made.LAMP, validated_mj_cm2=proven)
    assert barriers.codes(made.line(made.COARSE, made.FINE, stronger), asks=asks) == set()


def test_more_than_a_table_holds_has_no_lamp(made, barriers):
    asks = made.asking(virus=5.0)
    fix = barriers.the(made.line(*made.LIT), "below-log-target", asks=asks).fix
    assert fix == "more than one lamp can prove by its table"


@pytest.mark.parametrize(("baffle", "factor"), [(0.5, 0.5), (None, 0.1)])
@pytest.mark.parametrize(
    ("organism", "asked", "contact"),
    [("giardia", 3.0, 56.0), ("giardia", 2.0, 56 * 2 / 3), ("virus", 4.0, 3.0)],
)
def test_contact_too_short_and_the_tank_that_gives_the_time(
    made, barriers, organism, asked, contact, baffle, factor
):
    small = made.with_works(made.CONTACT, least_l=20.0, baffle=baffle)
    line = made.line(made.CHLORINE, small, made.TEST_POINT)
    asks = made.asking(**{organism: asked})
    finding = barriers.the(line, "below-log-target", asks=asks)
    # contact at 1 mg/L x 8 gal/min over the baffle factor, in the next tank sold
    sold = finding.fix.split("tank of ")[1]
    assert sold == next_tank_l(contact * 8 / factor * made.GAL * (1 - 1e-9), "us")
    larger = made.with_works(small, least_l=_volume_l(sold))
    mended = made.line(made.CHLORINE, larger, made.TEST_POINT)
    assert "below-log-target" not in barriers.codes(mended, asks=asks)


def test_the_lamp_helps_the_contact_tank(made, barriers):
    """Four logs of virus: half a log by the lamp, so 3.5 of 4 by contact of 3 mg min/L."""
    small = made.with_works(made.CONTACT, least_l=20.0)
    line = made.line(made.COARSE, made.FINE, made.CHLORINE, small, made.TEST_POINT, made.LAMP)
    asks = made.asking(virus=4.0, giardia=3.0, cryptosporidium=3.0)
    finding = barriers.the(line, "below-log-target", asks=asks)
    # 1 mg/L x 0.5 x 20 L over 8 gal/min
    by_contact = 4 * (0.5 * 20 / (8 * made.GAL)) / 3
    assert finding.measured == pytest.approx(0.5 + by_contact)
    assert "or a contact tank of" in finding.fix
    holds_l = read(finding.fix.split("contact tank of ")[1], "volume")
    assert holds_l >= 3.5 / 4 * 3 * 8 * made.GAL / 0.5
    larger = made.with_works(small, least_l=holds_l)
    mended = made.line(made.COARSE, made.FINE, made.CHLORINE, larger, made.TEST_POINT, made.LAMP)
    assert barriers.codes(mended, asks=asks) == set()


def test_chlorine_never_reaches_cryptosporidium(made, barriers):
    line = made.line(made.CHLORINE, made.CONTACT, made.TEST_POINT)
    asks = made.asking(cryptosporidium=3.0)
    finding = barriers.the(line, "below-log-target", asks=asks)
    assert finding.measured == 0.0
    assert "no barrier earns any" in finding.says
    assert "tank" not in finding.fix
    (run,) = barriers.run(line, asks=asks)
    assert run.weakest.organism == "cryptosporidium"
    # a lamp beside it does
    assert finding.code not in barriers.codes(
        made.line(made.COARSE, made.FINE, made.CHLORINE, made.CONTACT, made.TEST_POINT, made.LAMP),
        asks=asks,
    )


def test_a_target_for_another_use_holds_where_it_is_used(made, barriers):
    asks = made.asking(virus=2.0)
    indoor = replace(asks, targets=tuple(replace(one, end_use="indoor") for one in asks.targets))
    assert "below-log-target" in barriers.codes(made.line(*made.LIT), asks=indoor, end_use="indoor")
    assert "below-log-target" not in barriers.codes(made.line(*made.LIT), asks=indoor)
