"""Labels of made-up sites: counted by hand, worded by class, never for drinking by default."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from eavewell.hydraulics.service import serve
from eavewell.site.authority import Authority, SignWording, Sourced
from eavewell.site.barrier import Lamp
from eavewell.site.hauling import Hauling
from eavewell.site.lift import Lift
from eavewell.site.line import InLine, Line
from eavewell.site.outlet import Emitter, Lateral, Outlet, Trough
from eavewell.site.pipe import Pipe, PipeRun
from eavewell.site.reserve import Reserve
from eavewell.site.surface import Surface
from eavewell.site.tank_fittings import TankFittings
from eavewell.site.water import Water, WaterTest
from eavewell.tables import rows
from eavewell.treatment.barriers import barriers_in_order
from eavewell.treatment.classes import fit_for_use
from eavewell.treatment.label_letters import outside_mm, pipe_lettering
from eavewell.treatment.label_places import fixture_wears
from eavewell.treatment.labels import labels_of
from eavewell.treatment.nothing_open import nothing_open
from eavewell.treatment.water_tests import test_water as judge

FT, INCH = 0.3048, 25.4
DAY = date(2027, 6, 1)
THREE_QUARTER = 20.93  # schedule 40, bore; 1.05 in outside
PROVEN = Lamp(40.0, "made-up report 7", 1.0, 0.7, at_end=True, shut_valve=True)
LAMP = InLine("uv", "lamp", 0.5, 1.0, 1.0, works=PROVEN)
FINE = InLine("fine", "filter", 0.5, 1.0, 1.0, passage_mm=0.005)
KNOWN = Surface("none", "none", False, "none", "none", False, False)
OUTLETS = (
    Outlet("kitchen", "kitchen sink"),
    Outlet("basins", "lavatory", count=2),
    Outlet("toilet", "toilet"),
    Outlet("yard hose", "hose bibb"),
)


def house(*in_line, **fields):
    main = Pipe(THREE_QUARTER, 10.0 * FT)
    return Line("house", "tank", main, in_line=in_line, outlets=OUTLETS, **fields)


@pytest.fixture
def site(making):
    def build(end_use="indoor", *, lines=None, tank=None, **fields):
        return making.site(
            uses=(making.use(end_use=end_use),),
            tanks=(tank or making.tank(1000.0),),
            lines=(house(),) if lines is None else lines,
            **fields,
        )

    return build


def worn(labels, what):
    found = [label for label in labels if label.what == what]
    assert len(found) <= 1, found
    return found[0] if found else None


def words(label):
    return " ".join((*label.head, label.more)).lower()


def test_an_indoor_house_is_counted_by_hand(site):
    labels = labels_of(site())
    # tank, hatch, valve, pipe; kitchen and two basins; toilet; hose
    assert sum(label.count for label in labels) == 1 + 1 + 1 + 1 + 3 + 1 + 1
    taps = worn(labels, "tap")
    assert (taps.count, taps.where) == (3, ("kitchen", "basins"))
    assert taps.counted == ("1 at kitchen", "2 at basins")
    assert worn(labels, "appliance").where == ("toilet",)


@pytest.mark.parametrize("end_use", ["indoor", "outdoor", "animals", "drinking"])
def test_everything_says_do_not_drink_by_default(site, end_use):
    trough = Trough("pasture", 50.0)
    drip = Lateral("beds", 4, Emitter("drip", 2.0, 10.0), 0.5, 15.24)
    branch = replace(house(), outlets=(*OUTLETS, Outlet("cold", "shower", branch=Pipe(15.8, 1.0))))
    whole = site(end_use, lines=(replace(branch, troughs=(trough,), laterals=(drip,)),))
    for label in labels_of(whole):
        if label.what in ("tap", "hose", "appliance", "trough", "drip", "pipe", "tank"):
            assert "do not drink" in words(label), label
    assert not any("treated for drinking" in words(label) for label in labels_of(whole))


def test_a_line_nobody_draws_from_says_it_too(site):
    tap = worn(labels_of(site(lines=(replace(house(), serves=("nobody",)),))), "tap")
    assert (tap.end_use, tap.head) == ("any", ("Rainwater", "Do not drink"))


def test_treated_for_drinking_only_where_judged_and_behind_a_barrier(site):
    judged = frozenset({"house"})
    labels = labels_of(site("drinking", lines=(house(LAMP),)), judged)
    tap = worn(labels, "tap")
    assert tap.end_use == "drinking"
    assert "treated for drinking: see the water test card" in words(tap)
    # the fixture nobody drinks at wears none; the hose stays as it is; the tank is raw
    assert worn(labels, "appliance") is None
    assert "do not drink" in words(worn(labels, "hose"))
    assert "do not drink" in words(worn(labels, "tank"))
    pipes = [label for label in labels if label.what == "pipe"]
    assert [label.end_use for label in pipes] == ["any", "drinking"]
    assert pipes[0].counted == ("1 before the last barrier of house",)
    # judged, but this line has no barrier; a barrier, but not judged; not a drinking use
    for other in (
        labels_of(site("drinking"), judged),
        labels_of(site("drinking", lines=(house(LAMP),))),
        labels_of(site("indoor", lines=(house(LAMP),)), judged),
    ):
        assert not any(label.end_use == "drinking" for label in other)


@pytest.fixture
def proven(making):
    """A drinking house of which nothing is open, and what is left of it with other fields."""
    good = {"E. coli": 0, "total coliform": 0, "turbidity": 0.4, "lead": 0.002, "copper": 0.1}
    good |= {"nitrate": 1.0, "pH": 7.0}

    def judged(*, line=None, tests=True, surface=KNOWN):
        found = tuple(WaterTest(of, value, DAY - timedelta(days=3)) for of, value in good.items())
        whole = making.site(
            roofs=(replace(making.roof(), finish="slate", surface=surface),),
            uses=(making.use(end_use="drinking"),),
            water=Water(transmittance=0.9, tests=found if tests else ()),
            lines=(line or house(limited(), FINE, LAMP),),
        )
        fitness = fit_for_use(whole)
        tested = judge(whole, fitness, today=DAY)
        return nothing_open(fitness, tested, treated=barriers_in_order(whole, serve(whole)))

    return judged


def limited():
    return InLine("limiter", "flow limiter", 0.2, 1.0, 1.0, most_l_s=0.2)


def test_nothing_is_open_with_roof_treatment_and_tests(proven):
    assert proven() == {"house"}
    assert proven(tests=False) == frozenset()
    assert proven(surface=Surface()) == frozenset()
    assert proven(line=house()) == frozenset()
    unproven = replace(LAMP, works=Lamp())
    open_valve = replace(LAMP, works=replace(PROVEN, shut_valve=None))
    for lamp in (unproven, open_valve, replace(LAMP, bypass=True)):
        assert proven(line=house(limited(), FINE, lamp)) == frozenset()
    assert proven(line=house(limited(), LAMP)) == frozenset()


@pytest.mark.parametrize(
    ("length_ft", "count"), [(1, 1), (25, 1), (25.1, 2), (50, 2), (110, 5), (160, 7)]
)
def test_pipes_are_labelled_in_every_25_ft(site, length_ft, count):
    line = replace(house(), main=Pipe(THREE_QUARTER, length_ft * FT), outlets=())
    pipe = worn(labels_of(site(lines=(line,))), "pipe")
    assert pipe.count == count
    assert "25 ft" in pipe.counted[0]
    assert pipe.flows


def test_equal_branches_count_each(site):
    shower = Outlet("showers", "shower", count=3, branch=Pipe(THREE_QUARTER, 30.0 * FT))
    line = replace(house(), outlets=(shower,))
    # one on the main, two on each of three branches
    assert worn(labels_of(site(lines=(line,))), "pipe").count == 1 + 3 * 2


def test_pipes_before_and_between_tanks(site):
    pipe = Pipe(102.26, 60.0 * FT)
    runs = (
        PipeRun("in the open", ("roof",), "tank", pipe, cover_m=0.0),
        PipeRun("unknown", ("roof",), "tank", pipe),
        PipeRun("buried", ("roof",), "tank", pipe, cover_m=0.4),
    )
    lift = Lift("lift", "tank", "other", riser=Pipe(52.5, 10.0 * FT))
    labels = labels_of(site(runs=runs, lifts=(lift,), lines=()))
    drains = worn(labels, "roof water pipe")
    assert (drains.count, drains.where) == (6, ("in the open", "unknown"))
    assert worn(labels, "pipe").where == ("lift",)


def test_a_row_of_tanks_with_all_its_fittings(making, site):
    fittings = TankFittings(drain_mm=50.0, make_up_l_s=0.1)
    tank = making.tank(5000.0, count=3, fittings=fittings, fire_reserve=Reserve(1000.0))
    whole = site(tank=tank, hauling=(Hauling("tank", 8000.0, 2),))
    counts = {label.what: label.count for label in labels_of(whole)}
    each = {"tank": 3, "hatch": 3, "drain": 3, "make-up": 1, "truck fill": 1, "fire reserve": 1}
    assert {what: counts[what] for what in each} == each
    assert worn(labels_of(whole), "tank").more == "tank: 1,320 gal."  # 5,000 L / 3.785
    assert worn(labels_of(whole), "hatch").head == ("Confined space", "Do not enter")
    assert "air gap" in words(worn(labels_of(whole), "make-up"))
    bare = {label.what for label in labels_of(site())}
    assert not bare & (set(each) - {"tank", "hatch"})


def test_a_very_long_name_is_cut_on_the_label_and_kept_in_the_list(making, site):
    name = "behind the old barn by the spring " * 8
    label = worn(labels_of(site(tank=making.tank(1000.0, name), lines=())), "tank")
    assert label.more.startswith("behind the old barn by the spring")
    assert len(label.more) < 80
    assert label.where == (name,)


def test_mains_by_a_lift_is_a_make_up(site):
    lift = Lift("top up", "mains", "tank", riser=Pipe(15.8, 3.0))
    labels = labels_of(site(lifts=(lift,), lines=()))
    assert worn(labels, "make-up").count == 1
    assert worn(labels, "pipe") is None


def test_a_tank_without_a_line_wears_a_sign_at_its_tap(site):
    labels = labels_of(site(lines=()))
    assert (worn(labels, "tap").end_use, worn(labels, "tap").where) == ("any", ("tank",))


def test_what_stands_in_the_line(site):
    kinds = ("shut valve", "lamp", "chlorine", "test point", "backflow device")
    things = [InLine(kind, kind, 0.5, 1.0, 1.0) for kind in kinds]
    filtered = InLine("fine", "filter", 0.5, 1.0, 1.0, bypass=True)
    labels = labels_of(site(lines=(house(*things, filtered),)))
    assert worn(labels, "lamp").head == ("No light, no water",)
    assert "licensed tester" in words(worn(labels, "backflow device"))
    assert "has not passed fine" in words(worn(labels, "bypass"))
    assert all(worn(labels, kind).count == 1 for kind in kinds)


WRITTEN = Sourced("Invented rules", "paragraph 9")


def asking(**fields):
    sign = SignWording("indoor", "CAUTION\nNON-POTABLE\nDO NOT DRINK", WRITTEN, **fields)
    return Authority("Quailwater valley", "invented", signs=(sign,))


def test_the_authority_words_and_colours_come_first(site):
    wants = asking(ground="#ffffff", letters="#000000", letters_mm=40.0)
    labels = labels_of(site(), authority=wants)
    tap = worn(labels, "tap")
    assert tap.head == ("CAUTION", "NON-POTABLE", "DO NOT DRINK")
    assert (tap.more, tap.ground, tap.letters, tap.letters_mm) == ("", "#ffffff", "#000000", 40.0)
    assert tap.source.startswith("Quailwater valley invented: Invented rules, paragraph 9")
    # another class, and what is no tap or pipe, keep ours
    assert worn(labels, "hose").head == ("Rainwater", "Do not drink")
    assert worn(labels, "hatch").source.endswith("our own")


def test_an_authority_that_asks_less_changes_nothing(site):
    less = SignWording("indoor", "", WRITTEN, letters_mm=10.0)
    model = Authority("Model", "1", is_model=True, signs=(less,))
    assert labels_of(site(), authority=model) == labels_of(site())
    more = replace(model, signs=(replace(less, letters_mm=30.0),))
    tap = worn(labels_of(site(), authority=more), "tap")
    assert tap.letters_mm == 30.0
    assert "model file: check yours" in tap.source


def test_an_authority_never_takes_away_where_the_tests_are(site):
    sign = SignWording("drinking", "POTABLE RAINWATER", WRITTEN)
    wants = Authority("Quailwater valley", "invented", signs=(sign,))
    whole = site("drinking", lines=(house(LAMP),))
    tap = worn(labels_of(whole, frozenset({"house"}), authority=wants), "tap")
    assert tap.head == ("POTABLE RAINWATER",)
    assert "see the water test card" in words(tap)
    # and where something is open its wording for drinking is not used at all
    assert worn(labels_of(whole, authority=wants), "tap").head == ("Rainwater", "Do not drink")


def test_no_words_of_ours_call_water_safe():
    for row in rows("label_words"):
        said = f"{row['head']} {row['more']}".lower()
        assert "safe" not in said
        assert "potable" not in said


def test_every_fixture_is_told_what_it_wears():
    assert set(fixture_wears()) == {row["fixture"] for row in rows("outlets")}
    known = {(row["what"], row["class"]) for row in rows("label_words")}
    for end_use in ("not yet", "indoor", "animals", "outdoor", "any"):
        assert {("tap", end_use), ("appliance", end_use)} <= known
    assert {("tap", "drinking"), ("hose", "animals"), ("hose", "outdoor")} <= known


def test_outside_of_standard_pipes():
    assert outside_mm(THREE_QUARTER) == pytest.approx(1.05 * INCH, abs=0.01)
    assert outside_mm(90.0) == pytest.approx(4.5 * INCH, abs=0.01)  # the next that there is
    assert outside_mm(20.4) == 25.0
    assert outside_mm(500.0) == 500.0


def test_letters_grow_with_the_pipe():
    letters = [pipe_lettering(float(bore)).letters_mm for bore in range(2, 600)]
    assert letters == sorted(letters)
    assert pipe_lettering(4.32).most_height_mm is None  # a tube wears a tag
    half_round = 3.14159 * 4.5 * INCH / 2.0
    assert pipe_lettering(102.26).most_height_mm == pytest.approx(half_round, abs=0.01)
