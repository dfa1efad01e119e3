"""Laws of credit: any order of barriers, any knowledge of them, any water."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from eavewell.site.barrier import Cartridge, ContactTank, Dosing, Lamp
from eavewell.site.line import PressureTank
from eavewell.site.water import Water
from eavewell.treatment.nothing_open import treatment_stands
from eavewell.treatment.ultraviolet import log_credit, organisms

PLENTY = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
MOST = {"cryptosporidium": 4.0, "giardia": 4.0, "virus": 4.0}
BY_CHLORINE = {"cryptosporidium": 0.0, "giardia": 3.0, "virus": 4.0}
TREATS = ("filter", "carbon", "softener", "neutraliser", "storage", "meter", "test point", "other")


def maybe(known):
    return st.none() | known


def flags():
    return st.sampled_from([None, True, False])


LAMPS = st.builds(
    Lamp,
    validated_mj_cm2=maybe(st.floats(0, 400)),
    document=st.sampled_from(["", "made-up report 7"]),
    validated_l_s=maybe(st.floats(0.01, 2)),
    validated_transmittance=maybe(st.floats(0.5, 1)),
    at_end=flags(),
    listing=st.sampled_from(["class A", "class B", "none", "unknown"]),
    shut_valve=flags(),
)
DOSES = st.builds(Dosing, st.floats(0, 10), maybe(st.floats(0.01, 0.2)), flags(), flags())
TANKS = st.builds(
    ContactTank,
    maybe(st.floats(0, 50_000)),
    maybe(st.floats(0.01, 1)),
    maybe(st.floats(0, 6)),
)
CARTRIDGES = st.builds(Cartridge, life_days=maybe(st.floats(1, 999)))
WATERS = st.builds(
    Water,
    ph=maybe(st.floats(0, 14)),
    coldest_c=maybe(st.floats(-2, 40)),
    transmittance=maybe(st.floats(0, 1)),
)
WATERS = st.just(Water(7.0, 12.0, 20.0, 0.9)) | WATERS
GOOD = {
    "lamp": Lamp(60.0, "made-up report 7", 1.0, 0.75, at_end=True),
    "chlorine": Dosing(2.0, 0.125, stabilised=False),
    "contact tank": ContactTank(800.0, 0.3, 1.0),
}
FLOWS = maybe(st.floats(0, 3))
KINDS = st.sampled_from(["lamp", "chlorine", "contact tank", "shut valve", "flow limiter", *TREATS])
WORKS = {"lamp": LAMPS, "chlorine": DOSES, "contact tank": TANKS, "filter": CARTRIDGES}


@st.composite
def orders(draw):
    """Up to eight things in a line, in any order, with anything known of them."""
    found = []
    for at, kind in enumerate(draw(st.lists(KINDS, max_size=8))):
        known = WORKS.get(kind, st.none())
        works = draw(st.one_of(st.none(), known, st.just(GOOD[kind])) if kind in GOOD else known)
        passage = draw(maybe(st.floats(0.0005, 1))) if kind in ("filter", "carbon") else None
        most = draw(maybe(st.floats(0.01, 2))) if kind == "flow limiter" else None
        found.append((kind, f"{kind} {at}", works, passage, most, draw(flags())))
    return found


@pytest.fixture(scope="module")
def barriers(made_up_barriers, making):
    return made_up_barriers.Barriers(making)


def line_of(made, order, **fields):
    things = (
        made.thing(kind, name, works=works, passage_mm=passage, most_l_s=most, bypass=bypass)
        for kind, name, works, passage, most, bypass in order
    )
    return made.line(*things, **fields)


def logs(barriers, line, **fields):
    """Logs against each organism; none where the line is none to judge."""
    runs = barriers.run(line, **fields)
    return {one.organism: one.logs for run in runs for one in run.against}


@PLENTY
@given(orders(), WATERS, FLOWS, st.floats(0, 6), st.integers(-1, 7))
def test_nothing_in_any_order_fails(made_up_barriers, barriers, order, water, flow, asked, after):
    """Whatever stands in the line, every check speaks in sentences."""
    asks = made_up_barriers.asking(virus=asked, giardia=asked, cryptosporidium=asked)
    name = order[after][1] if 0 <= after < len(order) else ""
    tank = PressureTank(190.0, 19.7, after=name)
    line = line_of(made_up_barriers, order, pressure_tank=tank)
    for finding in barriers.found(line, water=water, largest_l_s=flow, asks=asks):
        assert finding.says
        assert finding.source or finding.level == "note"
        assert finding.fix or finding.level == "note"
        assert not (finding.measured is None and finding.level == "note" and finding.limit)


@PLENTY
@given(st.permutations(range(7)), st.sets(st.integers(0, 6)), st.none() | st.integers(0, 6))
def test_what_is_stopped_is_never_judged_as_treated(
    made_up_barriers, barriers, order, gone, around
):
    """Good things in any order, some of them left out, one of them with a way around it."""
    made = made_up_barriers
    good = [made.COARSE, made.FINE, made.CARBON, made.LAMP, *made.CHLORINATED[2:5]]
    things = [
        replace(good[at], bypass=True) if at == around else good[at]
        for at in order
        if at not in gone
    ]
    fields = {"asks": made.asking(virus=0.5)}
    line = made.line(*things)
    stopped = any(finding.level == "stop" for finding in barriers.found(line, **fields))
    stands = [treatment_stands(run) for run in barriers.run(line, **fields)]
    assert not (stopped and any(stands))


def test_a_house_of_good_barriers_stands(made_up_barriers, barriers):
    made = made_up_barriers
    for things in (made.LIT, made.CHLORINATED):
        (run,) = barriers.run(made.line(*things))
        assert treatment_stands(run)


@PLENTY
@given(orders(), WATERS, FLOWS)
def test_no_credit_exceeds_its_table(made_up_barriers, barriers, order, water, flow):
    line = line_of(made_up_barriers, order)
    kinds = {thing.name: thing.kind for thing in line.in_line}
    for run in barriers.run(line, water=water, largest_l_s=flow):
        for one in run.credits:
            assert kinds[one.barrier] in ("lamp", "contact tank")
            most = MOST if kinds[one.barrier] == "lamp" else BY_CHLORINE
            assert 0.0 <= one.logs <= most[one.organism]


@PLENTY
@given(orders(), WATERS, FLOWS, st.data())
def test_a_barrier_taken_out_never_adds_credit(
    made_up_barriers, barriers, order, water, flow, data
):
    """But for carbon, a neutraliser and a chlorine that may be stabilised, which spoil others.

    Of several contact tanks that with most contact counts: then virus alone is compared, for
    which contact is all.
    """
    if not order:
        return
    gone = data.draw(st.integers(0, len(order) - 1))
    kind, _, works, *_, bypass = order[gone]
    plain = isinstance(works, Dosing) and works.stabilised is False
    if kind in ("carbon", "neutraliser") or (kind == "chlorine" and not plain) or bypass:
        return
    several = kind == "contact tank" and [one[0] for one in order].count(kind) > 1
    whole = logs(barriers, line_of(made_up_barriers, order), water=water, largest_l_s=flow)
    rest = order[:gone] + order[gone + 1 :]
    less = logs(barriers, line_of(made_up_barriers, rest), water=water, largest_l_s=flow)
    for organism in ("virus",) if several else less:
        assert less.get(organism, 0.0) <= whole[organism] + 1e-9


@PLENTY
@given(TANKS, WATERS, st.floats(0.01, 2), st.floats(1, 20))
def test_a_larger_contact_tank_never_earns_less(
    made_up_barriers, barriers, tank, water, flow, times
):
    made = made_up_barriers
    small = replace(made.CONTACT, works=tank)
    large = replace(
        small, works=replace(tank, least_l=None if tank.least_l is None else tank.least_l * times)
    )
    earned = [
        logs(barriers, made.line(made.CHLORINE, one), water=water, largest_l_s=flow)
        for one in (small, large)
    ]
    for organism in organisms():
        assert earned[0][organism] <= earned[1][organism] + 1e-9


@PLENTY
@given(LAMPS, WATERS, FLOWS, st.floats(0.1, 1))
def test_less_flow_and_clearer_water_never_earn_a_lamp_less(
    made_up_barriers, barriers, lamp, water, flow, share
):
    made = made_up_barriers
    line = made.line(made.FINE, replace(made.LAMP, works=lamp))
    less = None if flow is None else flow * share
    clearer = (
        water
        if water.transmittance is None
        else replace(water, transmittance=1 - (1 - water.transmittance) * share)
    )
    usual = logs(barriers, line, water=water, largest_l_s=flow)
    better = logs(barriers, line, water=clearer, largest_l_s=less)
    assert all(usual[organism] <= better[organism] for organism in organisms())


@PLENTY
@given(LAMPS, WATERS, FLOWS)
def test_a_listing_never_changes_a_log(made_up_barriers, barriers, lamp, water, flow):
    made = made_up_barriers
    earned = [
        logs(
            barriers,
            made.line(replace(made.LAMP, works=replace(lamp, listing=listing))),
            water=water,
            largest_l_s=flow,
        )
        for listing in ("class A", "class B", "none", "unknown")
    ]
    assert all(one == earned[0] for one in earned)


@given(st.floats(0, 1000), st.floats(0, 1000))
def test_more_dose_never_earns_less(one, other):
    low, high = sorted((one, other))
    for organism in organisms():
        assert log_credit(organism, low) <= log_credit(organism, high) <= 4.0
