"""What barriers earn and what a power cut lets past: each check fires, is silent, is mended."""

from dataclasses import replace

import pytest

from eavewell.hydraulics.service import serve
from eavewell.site.barrier import Cartridge, Lamp
from eavewell.site.line import PressureTank
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import UprightCylinder
from eavewell.treatment.barriers import barriers_in_order
from eavewell.units import read

DECIDES = "Screening, not design approval; the health department decides."


@pytest.fixture
def made(made_up_barriers):
    return made_up_barriers


@pytest.fixture
def barriers(made, making):
    return made.Barriers(making)


def logs(run):
    return {one.organism: one.logs for one in run.against}


# --- treated at all ---


def test_drinking_without_a_barrier_and_with_one(made, barriers):
    filtered = made.line(made.COARSE, made.FINE, made.CARBON)
    finding = barriers.the(filtered, "drinking-without-barrier")
    assert finding.level == "stop"
    assert "'not for drinking' at every tap" in finding.fix
    assert finding.says.endswith(DECIDES)
    for things in (made.LIT, made.CHLORINATED):
        assert finding.code not in barriers.codes(made.line(*things))
    assert finding.code not in barriers.codes(filtered, end_use="indoor")


def test_a_contact_tank_without_chlorine_treats_nothing(made, barriers):
    empty = made.line(made.FINE, made.CONTACT, made.TEST_POINT)
    assert "drinking-without-barrier" in barriers.codes(empty)


def test_a_bare_line_to_somebody_who_drinks_is_told(made, barriers):
    assert "drinking-without-barrier" in barriers.codes(made.line())
    assert barriers.codes(made.line(), end_use="indoor") == set()


# --- the lamp ---


def without_credit(made, barriers, lamp, **fields):
    line = made.line(made.COARSE, made.FINE, lamp)
    finding = barriers.the(line, "lamp-without-credit", **fields)
    (run,) = barriers.run(line, **fields)
    assert all(one.logs == 0.0 for one in run.credits)
    assert finding.level == "fix"
    assert finding.says.endswith(DECIDES)
    return finding


@pytest.mark.parametrize("listing", ["class A", "class B", "none", "unknown"])
def test_a_listing_is_no_dose(made, barriers, listing):
    plate = replace(made.LAMP, works=Lamp(listing=listing, shut_valve=True))
    finding = without_credit(made, barriers, plate)
    assert "A listing or a name plate proves no dose" in finding.says
    assert "document" in finding.fix
    assert barriers.codes(made.line(*made.LIT)) == {"no-log-target"}


def test_a_dose_without_its_document_is_none(made, barriers):
    undocumented = without_credit(made, barriers, made.with_works(made.LAMP, document=""))
    assert undocumented.fix.startswith("a lamp whose document proves its dose")
    without_credit(made, barriers, replace(made.LAMP, works=None))


def test_more_flow_than_the_document_holds_for_and_the_limiter(made, barriers):
    weak = made.with_works(made.LAMP, validated_l_s=5 * made.GPM)
    finding = without_credit(made, barriers, weak)
    assert "more flows through it" in finding.says
    assert finding.fix == "a flow limiter of 5 gal/min before the lamp"
    most_l_s = read(finding.fix.split(" of ")[1].split(" before")[0], "flow")
    limiter = made.thing("flow limiter", most_l_s=most_l_s)
    mended = made.line(made.COARSE, made.FINE, limiter, weak)
    assert barriers.codes(mended) == {"no-log-target"}
    # in one pipe it holds what passes before it as well
    assert barriers.codes(made.line(made.COARSE, made.FINE, weak, limiter)) == {"no-log-target"}


def test_exactly_the_flow_of_the_document_passes(made, barriers):
    just = made.with_works(made.LAMP, validated_l_s=made.LARGEST_L_S)
    assert barriers.codes(made.line(made.COARSE, made.FINE, just)) == {"no-log-target"}


def test_an_unknown_largest_flow_and_the_limiter(made, barriers):
    finding = without_credit(made, barriers, made.LAMP, largest_l_s=None)
    assert "largest flow through it is unknown" in finding.says
    most_l_s = read(finding.fix.split(" of ")[1].split(" before")[0], "flow")
    limiter = made.thing("flow limiter", most_l_s=most_l_s)
    mended = made.line(made.COARSE, made.FINE, limiter, made.LAMP)
    assert "lamp-without-credit" not in barriers.codes(mended, largest_l_s=None)


def test_the_largest_flow_counts_and_not_the_probable_one(made, barriers):
    """Three hose bibbs open at cut-out pass more than the likely peak of the line."""
    hoses = tuple(
        replace(made.LINE.outlets[0], name=f"hose {at}", fixture="hose bibb", level_m=1.0)
        for at in range(3)
    )
    shape = UprightCylinder(3.0, 2.5)
    tank = Tank("tank", shape=shape, base_m=0.0, outlet_m=0.2, overflow_m=2.3)
    line = replace(made.LINE, outlets=hoses)
    site = barriers.site(line, tanks=(tank,))
    (served,) = serve(site)
    assert served.largest_flow_l_s > served.peak.flow_l_s
    between = (served.largest_flow_l_s + served.peak.flow_l_s) / 2
    for holds_l_s, credited in ((between, False), (served.largest_flow_l_s, True)):
        lamp = made.with_works(made.LAMP, validated_l_s=holds_l_s)
        site = barriers.site(replace(line, in_line=(*made.LIT[:3], lamp)), tanks=(tank,))
        (run,) = barriers_in_order(site, serve(site))
        assert run.largest_l_s == pytest.approx(served.largest_flow_l_s)
        assert (logs(run)["giardia"] == 4.0) is credited


def test_unmeasured_transmittance_and_the_measurement(made, barriers):
    dark = replace(made.WATER, transmittance=None)
    finding = without_credit(made, barriers, made.LAMP, water=dark)
    assert "never measured" in finding.says
    measured = read(finding.fix.split("transmittance: ")[1].split(" or more")[0], "share")
    clear = replace(dark, transmittance=measured)
    assert "lamp-without-credit" not in barriers.codes(made.line(*made.LIT), water=clear)


def test_water_murkier_than_the_document_and_the_clearer_water(made, barriers):
    brown = replace(made.WATER, transmittance=0.70)
    finding = without_credit(made, barriers, made.LAMP, water=brown)
    assert "less light" in finding.says
    clearer = replace(brown, transmittance=read("75 %", "share"))
    assert "75 %" in finding.fix
    assert barriers.codes(made.line(*made.LIT), water=clearer) == {"no-log-target"}


def test_a_document_that_names_no_flow_or_transmittance(made, barriers):
    for name in ("validated_l_s", "validated_transmittance"):
        lamp = made.with_works(made.LAMP, **{name: None})
        assert "its document proves the dose" in without_credit(made, barriers, lamp).fix


def test_all_reasons_have_their_way_out_at_once(made, barriers):
    weak = made.with_works(made.LAMP, validated_l_s=5 * made.GPM)
    brown = replace(made.WATER, transmittance=0.70)
    fix = without_credit(made, barriers, weak, water=brown).fix
    assert "flow limiter" in fix
    assert "75 %" in fix


def test_a_lamp_that_only_rinses_is_watched(made, barriers):
    line = made.line(made.FINE, replace(made.LAMP, works=Lamp(shut_valve=True)))
    assert barriers.the(line, "lamp-without-credit", end_use="indoor").level == "watch"


@pytest.mark.parametrize("at_end", [False, None])
def test_a_dose_when_new_counts_with_the_light_left_at_the_end(made, barriers, at_end):
    new = made.with_works(made.LAMP, at_end=at_end)
    finding = barriers.the(made.line(made.FINE, new), "lamp-dose-when-new")
    assert finding.level == "watch"
    assert finding.measured == pytest.approx(40 * 0.7)
    (run,) = barriers.run(made.line(made.FINE, new))
    # 28 mJ/cm2: four logs of cysts, and under the 39 that half a log of virus needs
    assert logs(run) == {"cryptosporidium": 4.0, "giardia": 4.0, "virus": 0.0}
    mended = made.with_works(made.LAMP, at_end=True)
    assert finding.code not in barriers.codes(made.line(made.FINE, mended))


# --- a power cut ---


def test_no_shut_valve_stops_drinking_with_its_litres(made, barriers):
    open_ = made.with_works(made.LAMP, shut_valve=False)
    line = made.line(made.FINE, open_)
    finding = barriers.the(line, "lamp-without-shut-valve")
    assert finding.level == "stop"
    # Boyle: 50 gal of air at 28 psi and 14.01 psi outside at 400 m, pressed to 50 psi
    air = 101.3 * ((293 - 0.0065 * 400) / 293) ** 5.26 / 6.894757
    pushed = 50 * (1 - (28 + air) / (50 + air))
    assert finding.measured / made.GAL == pytest.approx(pushed, rel=1e-3)
    assert f"{pushed:.1f} gal still run to the taps unlit" in finding.says
    assert finding.limit == 0.0
    assert finding.says.endswith(DECIDES)
    assert barriers.the(line, finding.code, end_use="indoor").level == "fix"


def test_a_valve_on_the_lamp_or_in_the_line_shuts_it(made, barriers):
    open_ = made.with_works(made.LAMP, shut_valve=False)
    valve = made.thing("shut valve")
    for things in ((made.FINE, made.LAMP), (valve, made.FINE, open_)):
        assert "lamp-without-shut-valve" not in barriers.codes(made.line(*things))


def test_a_valve_before_the_pressure_tank_or_with_a_way_around_shuts_nothing(made, barriers):
    open_, valve = made.with_works(made.LAMP, shut_valve=False), made.thing("shut valve")
    tank = PressureTank(190.0, 19.7, after="coarse")
    before = made.line(valve, made.COARSE, made.FINE, open_, pressure_tank=tank)
    assert "lamp-without-shut-valve" in barriers.codes(before)
    behind = made.line(made.COARSE, valve, made.FINE, open_, pressure_tank=tank)
    assert "lamp-without-shut-valve" not in barriers.codes(behind)
    around = made.line(replace(valve, bypass=True), made.COARSE, made.FINE, open_)
    assert "lamp-without-shut-valve" in barriers.codes(around)


@pytest.mark.parametrize("works", [None, Lamp()])
def test_a_valve_of_which_nothing_is_known_is_asked_for(made, barriers, works):
    line = made.line(made.FINE, replace(made.LAMP, works=works))
    finding = barriers.the(line, "lamp-without-shut-valve")
    assert finding.level == "stop"
    assert "Is there one?" in finding.says


def test_two_lamps_and_only_one_valve_known(made, barriers):
    second = replace(made.with_works(made.LAMP, shut_valve=None), name="second")
    assert "lamp-without-shut-valve" in barriers.codes(made.line(made.FINE, made.LAMP, second))


def test_unknown_litres_are_not_made_up(made, barriers):
    open_ = made.with_works(made.LAMP, shut_valve=False)
    line = made.line(made.FINE, open_, pressure_tank=PressureTank(190.0))
    finding = barriers.the(line, "lamp-without-shut-valve")
    assert finding.measured is None
    assert "water still runs to the taps unlit" in finding.says


def test_chlorine_that_stops_while_the_water_falls(made, barriers):
    falling = made.line(*made.CHLORINATED, pump=None, pressure_tank=None)
    finding = barriers.the(falling, "chlorine-stops-without-power")
    assert finding.level == "fix"
    assert finding.says.endswith(DECIDES)
    assert barriers.the(falling, finding.code, end_use="indoor").level == "watch"
    shut = replace(falling, in_line=(made.thing("shut valve"), *falling.in_line))
    assert finding.code not in barriers.codes(shut)
    assert finding.code not in barriers.codes(made.line(*made.CHLORINATED))


# --- chlorine and its time ---


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"least_l": None}, "its least volume is unknown"),
        ({"residual_mg_l": None}, "the residual measured at its outlet is unknown"),
    ],
)
def test_contact_of_a_tank_not_known(made, barriers, fields, says):
    tank = made.with_works(made.CONTACT, **fields)
    line = made.line(made.CHLORINE, tank, made.TEST_POINT)
    finding = barriers.the(line, "contact-not-reckoned")
    assert says in finding.says
    assert finding.says.endswith(DECIDES)
    (run,) = barriers.run(line)
    assert all(one.logs == 0.0 for one in run.credits)
    known = made.line(made.CHLORINE, made.CONTACT, made.TEST_POINT)
    assert finding.code not in barriers.codes(known)


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (lambda made: (made.thing("chlorine"), made.CONTACT), "is stabilised is unknown"),
        (
            lambda made: (made.with_works(made.CHLORINE, stabilised=None), made.CONTACT),
            "is stabilised is unknown",
        ),
        (lambda made: (made.CHLORINE, made.CARBON, made.CONTACT), "carbon takes the chlorine out"),
        (lambda made: (made.CHLORINE, replace(made.CONTACT, bypass=True)), "pipe leads around"),
        (lambda made: (replace(made.CHLORINE, bypass=True), made.CONTACT), "pipe leads around"),
        (
            lambda made: (made.with_works(made.CHLORINE, dose_mg_l=0.9), made.CONTACT),
            "more chlorine is stated at its outlet than is fed",
        ),
    ],
)
def test_contact_that_something_spoils_earns_nothing(made, barriers, spoil, says):
    line = made.line(*spoil(made), made.TEST_POINT)
    assert says in barriers.the(line, "contact-not-reckoned").says
    (run,) = barriers.run(line)
    assert all(one.logs == 0.0 for one in run.credits)


def test_sour_water_behind_a_neutraliser_is_measured_there(made, barriers):
    line = made.line(made.thing("neutraliser"), made.FINE, *made.CHLORINATED[2:])
    sour = replace(made.WATER, ph=5.6)
    finding = barriers.the(line, "contact-not-reckoned", water=sour)
    assert "the pH behind the neutraliser is unknown" in finding.says
    assert finding.code not in barriers.codes(line, water=replace(sour, ph=7.4))
    plain = made.line(made.FINE, *made.CHLORINATED[2:])
    assert finding.code not in barriers.codes(plain, water=sour)


def test_a_lamp_with_a_way_around_it_earns_nothing(made, barriers):
    line = made.line(made.FINE, replace(made.LAMP, bypass=True))
    finding = barriers.the(line, "lamp-without-credit")
    assert "a pipe leads around it" in finding.says
    assert "bypass" in finding.fix
    (run,) = barriers.run(line)
    assert all(one.logs == 0.0 for one in run.credits)
    unproven = replace(made.LAMP, bypass=True, works=Lamp())
    both = barriers.the(made.line(made.FINE, unproven), finding.code).fix
    assert "bypass" in both
    assert "document proves its dose" in both
    mended = made.line(made.FINE, replace(made.LAMP, bypass=False))
    assert finding.code not in barriers.codes(mended)


def test_contact_in_water_not_known(made, barriers):
    line = made.line(made.CHLORINE, made.CONTACT, made.TEST_POINT)
    water = replace(made.WATER, ph=None, coldest_c=None)
    says = barriers.the(line, "contact-not-reckoned", water=water, largest_l_s=None).says
    for unknown in ("largest flow", "pH", "coldest water"):
        assert unknown in says


@pytest.mark.parametrize(
    ("fields", "says"),
    [({"ph": 9.2}, "pH 9"), ({"coldest_c": 0.2}, "0.5 to 25 C"), ({"coldest_c": 26.0}, "25 C")],
)
def test_water_outside_the_contact_table_is_told_and_never_fails(made, barriers, fields, says):
    line = made.line(made.CHLORINE, made.CONTACT, made.TEST_POINT)
    asks = made.asking(giardia=3.0, virus=4.0, cryptosporidium=3.0)
    water = replace(made.WATER, **fields)
    finding = barriers.the(line, "contact-not-reckoned", water=water, asks=asks)
    assert says in finding.says
    (run,) = barriers.run(line, water=water)
    assert logs(run)["giardia"] == 0.0
    assert "below-log-target" in barriers.codes(line, water=water, asks=asks)


@pytest.mark.parametrize("first", [0, 1])
def test_of_two_contact_tanks_that_with_most_contact_counts(made, barriers, first):
    half = replace(made.with_works(made.CONTACT, least_l=made.CONTACT.works.least_l / 2), name="b")
    tanks = (made.CONTACT, half) if first == 0 else (half, made.CONTACT)
    (run,) = barriers.run(made.line(made.CHLORINE, *tanks, made.TEST_POINT))
    assert run.contact.tank.name == "contact tank"
    assert logs(run)["giardia"] == pytest.approx(3.0)


def test_no_chlorine_left_earns_nothing(made, barriers):
    spent = made.with_works(made.CONTACT, residual_mg_l=0.0)
    line = made.line(made.CHLORINE, spent, made.TEST_POINT)
    (run,) = barriers.run(line)
    assert logs(run) == {"cryptosporidium": 0.0, "giardia": 0.0, "virus": 0.0}
    assert "below-log-target" in barriers.codes(line, asks=made.asking(giardia=3.0))


def test_sour_water_is_taken_as_ph_6_and_said(made, barriers):
    line = made.line(made.CHLORINE, made.CONTACT, made.TEST_POINT)
    sour = replace(made.WATER, ph=5.6)
    finding = barriers.the(line, "ph-below-table", water=sour)
    assert (finding.level, finding.measured, finding.limit) == ("note", 5.6, 6.0)
    (low,), (six,) = (barriers.run(line, water=replace(made.WATER, ph=ph)) for ph in (5.6, 6.0))
    assert logs(low) == logs(six)
    assert finding.code not in barriers.codes(line)


def test_an_unknown_baffle_factor_is_that_of_an_open_tank(made, barriers):
    open_ = made.with_works(made.CONTACT, baffle=None)
    line = made.line(made.CHLORINE, open_, made.TEST_POINT)
    finding = barriers.the(line, "baffle-unknown")
    assert finding.level == "note"
    assert "0.1" in finding.says
    (run,) = barriers.run(line)
    # 0.1 in place of 0.5: a fifth of the three logs
    assert logs(run)["giardia"] == pytest.approx(0.6)
    known = made.line(made.CHLORINE, made.CONTACT, made.TEST_POINT)
    assert finding.code not in barriers.codes(known)


# --- cartridges ---


def test_cartridges_without_a_life_are_one_note(made, barriers):
    unknown = [replace(one, works=Cartridge()) for one in (made.COARSE, made.FINE)]
    finding = barriers.the(made.line(*unknown, made.LAMP), "cartridge-life-unknown")
    assert finding.level == "note"
    assert "'coarse', 'fine'" in finding.says
    assert finding.code not in barriers.codes(made.line(*made.LIT))
