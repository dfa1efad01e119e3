"""The order of barriers: each check fires, keeps silent, and its way out passes."""

from dataclasses import replace

import pytest

from eavewell.site.barrier import ContactTank, Dosing, Lamp
from eavewell.site.line import PressureTank
from eavewell.units import read

DECIDES = "Screening, not design approval; the health department decides."


@pytest.fixture
def made(made_up_barriers):
    return made_up_barriers


@pytest.fixture
def barriers(made, making):
    return made.Barriers(making)


@pytest.mark.parametrize("things", ["LIT", "CHLORINATED"])
def test_the_usual_orders_are_silent(made, barriers, things):
    codes = barriers.codes(made.line(*getattr(made, things)))
    assert codes == {"no-log-target"}


def test_light_and_chlorine_together_are_silent(made, barriers):
    both = (*made.CHLORINATED, made.LAMP)
    assert barriers.codes(made.line(*both)) == {"no-log-target"}


def test_lamp_without_a_cartridge(made, barriers):
    bare = made.line(made.LAMP)
    finding = barriers.the(bare, "lamp-without-fine-filter")
    assert finding.level == "stop"
    assert finding.measured is None
    assert finding.limit == read("5 micron", "mesh") == 0.005
    assert finding.says.endswith(DECIDES)
    assert barriers.the(bare, "lamp-without-fine-filter", end_use="indoor").level == "fix"


def test_lamp_behind_too_coarse_a_cartridge_and_the_finer_one(made, barriers):
    coarse = made.line(made.COARSE, made.LAMP)
    finding = barriers.the(coarse, "lamp-without-fine-filter")
    assert finding.measured == 0.02
    asked = read(" ".join(finding.fix.split()[1:3]), "mesh")
    finer = replace(made.FINE, passage_mm=asked)
    mended = made.line(made.COARSE, finer, made.LAMP)
    assert "lamp-without-fine-filter" not in barriers.codes(mended)


def test_a_cartridge_with_a_way_around_it_is_none(made, barriers):
    around = replace(made.FINE, bypass=True)
    assert "lamp-without-fine-filter" in barriers.codes(made.line(made.COARSE, around, made.LAMP))


def test_a_fine_cartridge_alone_and_a_coarse_one_before_it(made, barriers):
    finding = barriers.the(made.line(made.FINE, made.LAMP), "fine-cartridge-alone")
    assert (finding.level, finding.where, finding.limit) == ("watch", "filter 'fine'", 0.02)
    for first in (made.COARSE, made.thing("filter", "unknown")):
        assert finding.code not in barriers.codes(made.line(first, made.FINE, made.LAMP))
    assert finding.code not in barriers.codes(made.line(made.FINE))


def test_chlorine_fed_at_one_rate(made, barriers):
    steady = made.with_works(made.CHLORINE, by_flow=False)
    rest = (made.CONTACT, made.TEST_POINT)
    finding = barriers.the(made.line(made.FINE, steady, *rest), "chlorine-not-by-flow")
    assert finding.level == "watch"
    assert finding.says.endswith(DECIDES)
    followed = made.with_works(steady, by_flow=True)
    assert finding.code not in barriers.codes(made.line(made.FINE, followed, *rest))
    assert finding.code not in barriers.codes(made.line(made.FINE, made.CHLORINE, *rest))


def test_a_cartridge_after_the_lamp_does_not_count_before_it(made, barriers):
    late = made.line(made.COARSE, made.LAMP, made.FINE)
    assert {"lamp-without-fine-filter", "treatment-after-lamp"} <= barriers.codes(late)


def test_every_lamp_needs_its_cartridge(made, barriers):
    second = replace(made.LAMP, name="second")
    line = made.line(made.COARSE, second, made.FINE, made.LAMP)
    finding = barriers.the(line, "lamp-without-fine-filter")
    assert finding.where == "lamp 'second'"


@pytest.mark.parametrize("kind", ["filter", "carbon", "softener", "neutraliser", "storage"])
def test_what_may_not_stand_after_the_lamp(made, barriers, kind):
    late = made.thing(kind, "late")
    line = made.line(*made.LIT, late)
    finding = barriers.the(line, "treatment-after-lamp")
    assert finding.level == "fix"
    assert finding.where == f"{kind} 'late'"
    assert "no residual" in finding.says
    assert finding.says.endswith(DECIDES)
    # the lamp last
    mended = made.line(made.COARSE, late, made.FINE, made.CARBON, made.LAMP)
    assert "treatment-after-lamp" not in barriers.codes(mended)


@pytest.mark.parametrize("kind", ["meter", "test point", "shut valve", "flow limiter", "other"])
def test_what_may_stand_after_the_lamp(made, barriers, kind):
    line = made.line(*made.LIT, made.thing(kind))
    assert "treatment-after-lamp" not in barriers.codes(line)


def test_a_residual_lets_a_cartridge_follow_the_lamp(made, barriers):
    with_chlorine = (made.COARSE, made.FINE, made.CHLORINE, made.CONTACT, made.TEST_POINT)
    line = made.line(*with_chlorine, made.LAMP, made.CARBON)
    assert "treatment-after-lamp" not in barriers.codes(line)
    # chlorine fed after the lamp keeps a store behind it
    after = made.line(*made.LIT, made.CHLORINE, made.CONTACT, made.TEST_POINT)
    store = replace(after, in_line=(*after.in_line, made.thing("storage")))
    assert "treatment-after-lamp" not in barriers.codes(store)


def test_a_contact_tank_without_chlorine_is_no_residual(made, barriers):
    line = made.line(*made.LIT[:3], made.CONTACT, made.LAMP, made.thing("storage"))
    assert "treatment-after-lamp" in barriers.codes(line)
    none_left = made.with_works(made.CONTACT, residual_mg_l=0.0)
    line = made.line(*made.LIT[:3], made.CHLORINE, none_left, made.LAMP, made.thing("storage"))
    assert "treatment-after-lamp" in barriers.codes(line)


def test_no_residual_passes_carbon(made, barriers):
    chlorinated = (made.COARSE, made.FINE, made.CHLORINE, made.CONTACT, made.TEST_POINT)
    line = made.line(*chlorinated, made.CARBON, made.LAMP, made.thing("storage"))
    assert barriers.the(line, "treatment-after-lamp").where == "storage 'storage'"
    mended = made.line(*chlorinated, made.CARBON, made.thing("storage"), made.LAMP)
    assert "treatment-after-lamp" not in barriers.codes(mended)


def test_lamp_before_the_pressure_tank_and_the_tank_moved(made, barriers):
    line = made.line(*made.LIT, pressure_tank=PressureTank(190.0, 19.7, after="lamp"))
    finding = barriers.the(line, "lamp-before-pressure-tank")
    assert finding.level == "fix"
    assert finding.says.endswith(DECIDES)
    for after in ("", "coarse", "carbon"):
        tank = replace(line.pressure_tank, after=after)
        assert "lamp-before-pressure-tank" not in barriers.codes(replace(line, pressure_tank=tank))
    without = replace(line, pressure_tank=None)
    assert "lamp-before-pressure-tank" not in barriers.codes(without)


def test_carbon_before_the_contact_tank_and_after_it(made, barriers):
    early = (made.FINE, made.CHLORINE, made.CARBON, made.CONTACT, made.TEST_POINT)
    finding = barriers.the(made.line(*early), "carbon-before-contact")
    assert finding.level == "stop"
    assert finding.where == "carbon 'carbon'"
    assert finding.says.endswith(DECIDES)
    assert barriers.the(made.line(*early), finding.code, end_use="indoor").level == "fix"
    at_the_tap = (made.FINE, made.CHLORINE, made.CONTACT, made.TEST_POINT, made.CARBON)
    assert finding.code not in barriers.codes(made.line(*at_the_tap))


def test_carbon_before_the_chlorine_takes_none_of_it(made, barriers):
    line = made.line(made.FINE, made.CARBON, made.CHLORINE, made.CONTACT, made.TEST_POINT)
    assert "carbon-before-contact" not in barriers.codes(line)


def test_chlorine_without_its_time_and_the_tank_that_gives_it(made, barriers):
    line = made.line(made.FINE, made.CHLORINE)
    finding = barriers.the(line, "chlorine-without-contact")
    assert "the main tank counts for nothing" in finding.says
    assert finding.says.endswith(DECIDES)
    lit = made.line(made.FINE, made.CHLORINE, made.LAMP)
    assert "chlorine-without-contact" in barriers.codes(lit)
    before = made.line(made.FINE, made.CONTACT, made.CHLORINE)
    assert "chlorine-without-contact" in barriers.codes(before)
    mended = made.line(made.FINE, made.CHLORINE, made.CONTACT, made.TEST_POINT)
    assert barriers.codes(mended) == {"no-log-target"}


def test_chlorine_of_which_nothing_is_known_still_needs_its_time(made, barriers):
    line = made.line(made.FINE, replace(made.CHLORINE, works=None))
    assert "chlorine-without-contact" in barriers.codes(line)


def test_no_test_point_and_one_at_the_outlet(made, barriers):
    without = made.line(made.FINE, made.CHLORINE, made.CONTACT, made.CARBON)
    assert barriers.the(without, "no-test-point").level == "fix"
    behind = replace(without, in_line=(*without.in_line, made.TEST_POINT))
    assert "no-test-point" in barriers.codes(behind)
    mended = made.line(made.FINE, made.CHLORINE, made.CONTACT, made.TEST_POINT, made.CARBON)
    assert "no-test-point" not in barriers.codes(mended)


def test_stabilised_chlorine_is_refused_and_earns_nothing(made, barriers):
    swimming = made.with_works(made.CHLORINE, stabilised=True)
    line = made.line(made.FINE, swimming, made.CONTACT, made.TEST_POINT)
    finding = barriers.the(line, "stabilised-chlorine", end_use="indoor")
    assert finding.level == "stop"
    assert finding.source
    (run,) = barriers.run(line)
    assert all(one.logs == 0.0 for one in run.credits)
    plain = made.line(made.FINE, made.CHLORINE, made.CONTACT, made.TEST_POINT)
    assert "stabilised-chlorine" not in barriers.codes(plain)


def test_the_finer_before_the_coarser_and_the_other_way_round(made, barriers):
    line = made.line(made.FINE, made.COARSE, made.CARBON, made.LAMP)
    finding = barriers.the(line, "finer-before-coarser")
    assert (finding.measured, finding.limit) == (0.005, 0.02)
    assert finding.where == "filter 'coarse'"
    assert "finer-before-coarser" not in barriers.codes(made.line(*made.LIT))
    unknown = replace(made.FINE, passage_mm=None)
    assert "finer-before-coarser" not in barriers.codes(
        made.line(unknown, made.COARSE, made.CARBON, made.LAMP)
    )
    unknown = replace(made.COARSE, passage_mm=None)
    assert "finer-before-coarser" not in barriers.codes(
        made.line(made.FINE, unknown, made.CARBON, made.LAMP)
    )


def test_a_coarse_carbon_after_the_fine_cartridge_is_no_fault(made, barriers):
    block = replace(made.CARBON, passage_mm=0.01)
    line = made.line(made.COARSE, made.FINE, block, made.LAMP)
    assert "finer-before-coarser" not in barriers.codes(line)


def test_a_neutraliser_after_the_cartridges_and_before_the_last(made, barriers):
    stone = made.thing("neutraliser")
    late = made.line(made.COARSE, made.FINE, stone, made.LAMP)
    assert barriers.the(late, "neutraliser-after-filters").level == "watch"
    mended = made.line(made.COARSE, stone, made.FINE, made.LAMP)
    assert "neutraliser-after-filters" not in barriers.codes(mended)


@pytest.mark.parametrize(
    ("things", "which", "level"),
    [
        ("LIT", 0, "fix"),
        ("LIT", 2, "fix"),
        ("LIT", 3, "stop"),
        ("CHLORINATED", 2, "stop"),
        ("CHLORINATED", 3, "stop"),
    ],
)
def test_a_bypass_around_each_barrier(made, barriers, things, which, level):
    order = list(getattr(made, things))
    order[which] = replace(order[which], bypass=True)
    finding = barriers.the(made.line(*order), "bypass-around-barrier")
    assert finding.level == level
    assert finding.says.endswith(DECIDES)
    assert barriers.the(made.line(*order), finding.code, end_use="indoor").level == "fix"
    for closed in (False, None):
        order[which] = replace(order[which], bypass=closed)
        assert "bypass-around-barrier" not in barriers.codes(made.line(*order))


def test_a_bypass_around_a_meter_is_none_of_this(made, barriers):
    meter = made.thing("meter", bypass=True)
    assert "bypass-around-barrier" not in barriers.codes(made.line(meter, *made.LIT))


def test_a_line_that_treats_nothing_and_serves_no_mouth_is_silent(made, barriers):
    assert barriers.found(made.line(made.thing("meter")), end_use="outdoor") == []


def test_nothing_known_of_what_things_do_never_fails(made, barriers):
    for kind in ("lamp", "chlorine", "contact tank", "carbon", "filter"):
        barriers.found(made.line(made.thing(kind)))
    strange = made.line(made.thing("lamp", works=Dosing(1.0)), made.thing("chlorine", works=Lamp()))
    barriers.found(strange)
    barriers.found(made.line(made.thing("lamp", works=ContactTank(100.0))))
