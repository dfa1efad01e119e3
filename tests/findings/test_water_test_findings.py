"""What is said of water tests: 'drinking' stays barred until roof, treatment and tests are in."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from eavewell.findings.water_tests import tests_read as read
from eavewell.hydraulics.service import serve
from eavewell.site.barrier import Dosing, Lamp
from eavewell.site.line import InLine, Line
from eavewell.site.outlet import Outlet
from eavewell.site.pipe import Pipe
from eavewell.site.surface import Surface
from eavewell.site.water import Water, WaterTest
from eavewell.treatment.barriers import barriers_in_order
from eavewell.treatment.classes import fit_for_use
from eavewell.treatment.water_tests import test_water as judge

DAY = date(2027, 6, 1)
GOOD = {
    "E. coli": 0.0,
    "total coliform": 0.0,
    "turbidity": 0.4,
    "lead": 0.002,
    "copper": 0.1,
    "nitrate": 1.0,
    "pH": 7.0,
}
KNOWN = Surface(
    flashing="none",
    paint="none",
    treated_timber=False,
    trees="none",
    birds="none",
    flue=False,
    panels=False,
)
PROVEN = Lamp(
    validated_mj_cm2=40.0,
    document="report",
    validated_l_s=9.0,
    validated_transmittance=0.7,
    at_end=True,
    shut_valve=True,
)
FINE = InLine("fine", "filter", 0.5, 1.0, 1.0, passage_mm=0.005)
POOL = Dosing(2.0, 0.65, stabilised=True)
LAMP = InLine("uv", "lamp", 0.5, 1.0, 1.0, works=PROVEN, most_l_s=0.5)
LIMITER = InLine("limiter", "flow limiter", 0.5, 0.5, 0.5, most_l_s=0.5)
TAP = Outlet("tap", "faucet")
LINE = Line("house", "tank", Pipe(20.0, 10.0), in_line=(LIMITER, FINE, LAMP), outlets=(TAP,))


def clear(**changed):
    found = GOOD | changed
    return tuple(
        WaterTest(of, value, DAY - timedelta(days=3), tap="kitchen") for of, value in found.items()
    )


@pytest.fixture
def site(making):
    def build(tests=(), end_use="drinking", **fields):
        roof = replace(making.roof(), finish="painted steel", surface=KNOWN)
        whole = making.site(
            roofs=(roof,),
            uses=(making.use(end_use=end_use),),
            water=Water(tests=tests, transmittance=0.9),
            lines=(LINE,),
        )
        return replace(whole, **fields)

    return build


def found(whole, today=DAY):
    fitness = fit_for_use(whole)
    tested = judge(whole, fitness, today=today)
    treated = barriers_in_order(whole, serve(whole))
    return {one.code: one for one in read(whole, fitness, tested=tested, treated=treated)}


def test_drinking_is_barred_and_what_is_open_is_named(site):
    one = found(site())["drinking-not-judged"]
    assert one.level == "stop"
    assert "tests of E. coli" in one.says
    assert "health department decides" in one.says
    assert "the roof" not in one.says
    assert "the treatment" not in one.says


def test_with_roof_treatment_and_tests_it_is_a_note_and_no_approval(site):
    codes = found(site(clear()))
    assert list(codes) == ["no-failure-found"]
    assert codes["no-failure-found"].level == "note"
    assert "no approval" in codes["no-failure-found"].says
    # the germs' 90 days run from 29 May
    assert "2027-08-27" in codes["no-failure-found"].says


def test_each_of_the_three_bars_it_alone(site, making):
    bare = replace(making.roof(), finish="painted steel", surface=Surface())
    assert "the roof" in found(site(clear(), roofs=(bare,)))["drinking-not-judged"].says
    membrane = replace(making.roof(), finish="membrane", surface=KNOWN)
    assert "the roof" in found(site(clear(), roofs=(membrane,)))["drinking-not-judged"].says
    listed = replace(membrane, surface=replace(KNOWN, cleared="listing, 2026"))
    assert list(found(site(clear(), roofs=(listed,)))) == ["no-failure-found"]
    assert "the treatment" in found(site(clear(), lines=()))["drinking-not-judged"].says
    for things in (
        (LIMITER, FINE, replace(LAMP, works=Lamp())),
        (LIMITER, FINE, replace(LAMP, works=replace(PROVEN, shut_valve=None))),
        (LIMITER, FINE, replace(LAMP, bypass=True)),
        (LIMITER, LAMP),
        (LIMITER, InLine("pool", "chlorine", 1.0, 0.0, 0.0, works=POOL), FINE, LAMP),
    ):
        line = replace(LINE, in_line=things)
        assert "the treatment" in found(site(clear(), lines=(line,)))["drinking-not-judged"].says
    late = found(site(clear()), today=DAY + timedelta(days=100))
    assert "tests again of E. coli" in late["drinking-not-judged"].says


@pytest.mark.parametrize(
    ("of", "value", "today", "limit"),
    [
        ("E. coli", 3.0, "boil it", 0.0),
        ("lead", 0.02, "boiling does not help", 0.010),
        ("turbidity", 5.0, "a lamp does not count", 1.0),
    ],
)
def test_a_failure_says_what_to_do_today_and_whom_to_tell(site, of, value, today, limit):
    one = found(site(clear(**{of: value})))["water-test-failed"]
    assert one.level == "stop"
    assert today in one.says
    assert one.says.startswith(of if of == "pH" else of[0].upper() + of[1:])
    assert "health department must be told" in one.says
    assert "test again" in one.fix
    assert (one.measured, one.limit) == (value, pytest.approx(limit))
    assert one.fix


def test_sour_water_is_mended_not_forbidden_by_the_glass(site):
    codes = found(site(clear(pH=5.6)))
    assert codes["water-test-failed"].level == "fix"
    assert "run off the first draw" in codes["water-test-failed"].says
    assert "must be told" not in codes["water-test-failed"].says
    assert "clear tests of pH" in codes["drinking-not-judged"].says


def test_two_clear_tests_mend_a_failure(site):
    bad = WaterTest("E. coli", 3.0, DAY - timedelta(days=30))
    once = found(site((bad, *clear())))
    assert "a second clear test of E. coli" in once["drinking-not-judged"].says
    again = WaterTest("E. coli", 0.0, DAY - timedelta(days=1))
    assert list(found(site((bad, *clear(), again)))) == ["no-failure-found"]


def test_a_laboratory_that_cannot_see_the_limit(site):
    tests = tuple(one for one in clear() if one.of != "lead")
    blind = WaterTest("lead", 0.05, DAY, below=True)
    codes = found(site((*tests, blind)))
    assert codes["test-proves-nothing"].level == "watch"
    assert "drinking-not-judged" in codes


def test_other_classes_are_reminded_not_barred(site):
    bad = WaterTest("E. coli", 900.0, DAY)
    codes = found(site((bad,), end_use="indoor"))
    assert codes["water-test-failed"].level == "fix"
    assert codes["water-not-tested"].level == "note"
    assert not found(site(end_use="indoor"))
    late = found(
        site((WaterTest("turbidity", 1.0, DAY),), end_use="indoor"), today=date(2029, 1, 1)
    )
    assert late["water-test-due"].level == "watch"
