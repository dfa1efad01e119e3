"""What roofs, tanks and pipes are fit for: each check fires, keeps silent, its way out passes."""

from dataclasses import replace
from datetime import date

import pytest

from eavewell.files.site.fields import fields
from eavewell.findings.fitness import roofs_fit, uses_fit
from eavewell.site.line import Line
from eavewell.site.outlet import Outlet, Trough
from eavewell.site.pipe import Pipe
from eavewell.site.surface import Surface
from eavewell.site.tank_fittings import TankFittings
from eavewell.site.want import Animals
from eavewell.site.water import Water, WaterTest
from eavewell.tables import rows
from eavewell.treatment.classes import CASES, fit_for_use, roof_fit

KNOWN = Surface(
    flashing="galvanised steel",
    paint="none",
    treated_timber=False,
    trees="none",
    birds="none",
    flue=False,
    panels=False,
)
DECIDES = "Screening, not design approval; the health department decides."
STOCK_TESTED = Water(
    tests=(
        WaterTest("nitrate", 1.0, date(2026, 3, 1)),
        WaterTest("total dissolved solids", 50.0, date(2026, 3, 1)),
    )
)


@pytest.fixture
def made(making):
    return Fitness(making)


class Fitness:
    """Made-up sites of one roof, one tank and one use."""

    def __init__(self, making):
        self.making = making

    def site(self, end_use="drinking", *, finish="metal", roof=None, use=None, **fields):
        of_roof, of_use = roof or {}, use or {}
        surface = replace(KNOWN, **of_roof)
        roofs = (replace(self.making.roof(), finish=finish, surface=surface),)
        uses = (replace(self.making.use(end_use=end_use), **of_use),)
        return self.making.site(**{"roofs": roofs, "uses": uses, "water": STOCK_TESTED} | fields)

    def found(self, *about, **fields):
        site = self.site(*about, **fields)
        fitness = fit_for_use(site)
        return [*roofs_fit(site, fitness), *uses_fit(site, fitness)]

    def codes(self, *about, **fields):
        return {one.code for one in self.found(*about, **fields)}

    def the(self, code, *about, **fields):
        (finding,) = [one for one in self.found(*about, **fields) if one.code == code]
        return finding


def lines(*materials, **fields):
    """One line whose pipes are of these materials."""
    main, *branches = (Pipe(20.0, 5.0, material) for material in materials)
    outlets = tuple(
        Outlet(f"tap {at}", "kitchen sink", branch=branch) for at, branch in enumerate(branches)
    )
    return (Line("house", "tank", main, **{"outlets": outlets or (TAP,)} | fields),)


TAP = Outlet("tap", "kitchen sink")


# --- what the table must hold ---


def known_values(aspect):
    found = {row["which"] for row in rows("roof_fitness") if row["aspect"] == aspect}
    return found - {"", "unknown"}


def test_every_finish_has_its_row():
    finishes = {row["name"] for row in rows("runoff")}
    assert finishes == known_values("finish")


def test_every_cell_is_one_of_four_and_says_why():
    for row in rows("roof_fitness"):
        cells = {row[case] for case in CASES}
        assert cells <= {"yes", "ask", "unknown", "no"}
        if cells != {"yes"}:
            assert row["why"]
        if cells & {"unknown", "ask"} and row["which"] in ("", "unknown"):
            assert row["find_out"]


def test_every_test_asked_for_is_one_that_a_laboratory_makes():
    known = {row["of"] for row in rows("water_tests")}
    asked = {name for row in rows("roof_fitness") for name in row["tests"].split("|") if name}
    assert asked <= known


def test_every_word_of_the_site_file_has_its_row():
    for aspect in ("flashing", "paint", "trees", "birds"):
        choices = set(fields()["roof"][aspect].choices)
        assert choices - {"unknown"} == known_values(aspect)


def test_drinking_is_never_asked_less_than_any_other_use():
    order = ("yes", "ask", "unknown", "no")
    for row in rows("roof_fitness"):
        for case in ("indoor", "animals", "outdoor", "edible"):
            assert order.index(row["drinking"]) >= order.index(row[case])


# --- known and fit ---


@pytest.mark.parametrize("end_use", ["drinking", "indoor", "animals", "outdoor"])
def test_a_metal_roof_of_which_all_is_known_is_not_ruled_out(made, end_use):
    assert made.codes(end_use) == set()


# --- ruled out ---


SHEDS = [
    {"flashing": "lead"},
    {"paint": "lead"},
    {"treated_timber": True},
]


@pytest.mark.parametrize("roof", SHEDS, ids=str)
@pytest.mark.parametrize(
    ("end_use", "use"),
    [
        ("drinking", {}),
        ("animals", {}),
        ("outdoor", {"edible": True}),
        ("indoor", {"dairy": True}),
    ],
    ids=str,
)
def test_lead_and_treated_timber_rule_out_mouths_and_food(made, roof, end_use, use):
    finding = made.the("roof-rules-out-use", end_use, roof=roof, use=use)
    assert finding.level == "stop"
    assert finding.where == "use 'house'"
    assert finding.says.startswith("Roof 'roof': ")
    assert finding.says.endswith(DECIDES)
    assert finding.source
    # replaced
    assert finding.code not in made.codes(end_use, use=use)
    # led elsewhere
    away = (replace(made.site(roof=roof).roofs[0], drains_to=""), made.site().roofs[0])
    assert finding.code not in made.codes(end_use, use=use, roofs=away)


@pytest.mark.parametrize("roof", SHEDS, ids=str)
def test_they_leave_toilet_and_lawn(made, roof):
    assert made.codes("indoor", roof=roof) == set()
    assert made.codes("outdoor", roof=roof, use={"edible": False}) == set()


@pytest.mark.parametrize(
    "finish", ["asphalt shingle", "wood shingle", "gravel", "thatch", "green, thin soil"]
)
def test_finishes_that_rule_out_drinking(made, finish):
    assert made.the("roof-rules-out-use", finish=finish).level == "stop"
    assert "roof-rules-out-use" not in made.codes("outdoor", finish=finish)


def test_roofs_with_one_reason_are_named_together(made):
    leaded = made.site(roof={"flashing": "lead"}).roofs[0]
    roofs = (leaded, replace(leaded, name="barn"))
    says = made.the("roof-rules-out-use", roofs=roofs).says
    assert says.startswith("Roofs 'roof' and 'barn': lead washes off it: not for drinking.")


def test_a_roof_that_reaches_the_use_over_another_tank(made, making):
    barn = replace(made.site(roof={"paint": "lead"}).roofs[0], drains_to="barn tank")
    tanks = (making.tank(), making.tank(name="barn tank", overflow_to="tank"))
    assert made.the("roof-rules-out-use", roofs=(barn,), tanks=tanks).level == "stop"
    apart = (making.tank(), making.tank(name="barn tank", overflow_to="swale"))
    assert "roof-rules-out-use" not in made.codes(roofs=(barn,), tanks=apart)


# --- unknown ---


UNKNOWN = [
    ({"flashing": ""}, "what the flashing is"),
    ({"paint": ""}, "the paint and its year"),
    ({"treated_timber": None}, "any treated wood"),
    ({"trees": "unknown"}, "branches over it"),
    ({"birds": "unknown"}, "birds and nests"),
    ({"flue": None}, "smoke of a stove"),
]


@pytest.mark.parametrize(("roof", "asks"), UNKNOWN, ids=str)
def test_one_thing_unknown_keeps_it_from_drinking_and_says_what_to_find_out(made, roof, asks):
    finding = made.the("roof-unknown-for-use", roof=roof)
    assert finding.level == "stop"
    assert "not for drinking until it is known" in finding.says
    assert finding.says.endswith(DECIDES)
    assert finding.fix.startswith("find out: ")
    assert asks in finding.fix
    assert finding.code not in made.codes()


@pytest.mark.parametrize(("roof", "asks"), UNKNOWN[:3], ids=str)
@pytest.mark.parametrize(
    ("end_use", "use"), [("animals", {}), ("outdoor", {"edible": True})], ids=str
)
def test_unknown_flashing_paint_and_timber_keep_it_from_animals_and_food(
    made, roof, asks, end_use, use
):
    finding = made.the("roof-unknown-for-use", end_use, roof=roof, use=use)
    assert finding.level == "stop"
    assert asks in finding.fix
    assert finding.code not in made.codes(end_use, use=use)
    assert made.codes("outdoor", roof=roof) == set()


def test_a_bare_roof_asks_for_all_of_it_at_once(made, making):
    finding = made.the("roof-unknown-for-use", roofs=(making.roof(),))
    for _, asks in UNKNOWN:
        assert asks in finding.fix


def test_a_word_that_no_table_knows_is_as_good_as_unknown(made):
    for roof in ({"flashing": "tin foil"}, {"paint": "home made"}, {"trees": "a forest"}):
        assert "roof-unknown-for-use" in made.codes(roof=roof)
    assert "roof-unknown-for-use" in made.codes(finish="straw bales")
    assert made.codes("outdoor", finish="straw bales") == set()


def test_solar_panels_are_nothing_against_it(made):
    for panels in (True, False, None):
        assert made.codes(roof={"panels": panels}) == set()


# --- to be asked ---


@pytest.mark.parametrize(
    ("roof", "asks"),
    [
        ({"flashing": "zinc"}, "a test for zinc"),
        ({"flashing": "copper"}, "a test for copper"),
        ({"trees": "many"}, "transmittance at 254 nm"),
        ({"birds": "many"}, "kept away"),
        ({"flue": True}, "the part near the flue"),
    ],
)
def test_what_only_a_maker_or_a_test_may_allow(made, roof, asks):
    finding = made.the("roof-to-be-asked", roof=roof)
    assert finding.level == "watch"
    assert asks in finding.fix
    assert finding.says.endswith(DECIDES)
    assert finding.code not in made.codes()


def test_many_trees_ask_for_the_light_that_passes(made):
    assert "transmittance" in roof_fit(made.site(roof={"trees": "many"}).roofs[0]).tests


def test_old_sheets_of_fibre_cement_are_left_alone(made):
    finding = made.the("asbestos-suspected", "outdoor", finish="fibre cement")
    for word in ("cut", "clean", "drill"):
        assert word in finding.says
    assert "licensed asbestos surveyor decides" in finding.says
    assert "asbestos-suspected" not in made.codes(finish="metal")


# --- animals ---


def herd(species):
    return {"wants": (Animals(species, 20),)}


def test_copper_and_sheep(made):
    flashed = {"flashing": "copper"}
    finding = made.the("copper-and-sheep", "animals", roof=flashed, use=herd("sheep"))
    assert finding.level == "fix"
    assert "roof 'roof'" in finding.says
    assert "veterinarian decides" in finding.says
    assert finding.code not in made.codes("animals", use=herd("sheep"))
    assert finding.code not in made.codes("animals", roof=flashed, use=herd("horse"))


def test_a_copper_line_and_sheep(made):
    piped = made.the("copper-and-sheep", "animals", use=herd("sheep"), lines=lines("copper"))
    assert "line 'house'" in piped.says
    branch = lines("pvc", "copper")
    assert piped.code in made.codes("animals", use=herd("sheep"), lines=branch)
    sucked = lines("pvc", suction=Pipe(25.0, 3.0, "copper"))
    assert piped.code in made.codes("animals", use=herd("sheep"), lines=sucked)
    trough = Trough("trough", 400.0, waters="house", branch=Pipe(20.0, 5.0, "copper"))
    fed = lines("pvc", outlets=(), troughs=(trough,))
    assert piped.code in made.codes("animals", use=herd("sheep"), lines=fed)
    assert piped.code not in made.codes("animals", use=herd("sheep"), lines=lines("pvc"))


def test_a_copper_line_that_others_drink_from_is_not_the_sheeps(made):
    elsewhere = lines("copper", serves=("the people",))
    assert "copper-and-sheep" not in made.codes("animals", use=herd("sheep"), lines=elsewhere)


def test_open_water_for_animals_and_the_cover(made, making):
    pond = making.tank(open_area_m2=30.0)
    finding = made.the("open-water-for-animals", "animals", tanks=(pond,))
    assert finding.level == "watch"
    for word in ("blue-green scum", "dead animal", "draining", "disinfecting", "veterinarian"):
        assert word in finding.says
    covered = replace(pond, open_area_m2=0.0)
    assert finding.code not in made.codes("animals", tanks=(covered,))
    assert finding.code not in made.codes("outdoor", tanks=(pond,))


def test_new_water_for_animals_and_its_tests(made):
    finding = made.the("new-water-for-animals", "animals", water=Water())
    assert finding.level == "note"
    half = Water(tests=STOCK_TESTED.tests[:1])
    assert finding.code in made.codes("animals", water=half)
    assert finding.code not in made.codes("animals", water=STOCK_TESTED)
    assert finding.code not in made.codes("outdoor", water=Water())


# --- soft water, warm water, lids ---


@pytest.mark.parametrize("metal", ["copper", "galvanised steel", "cast iron"])
def test_soft_sour_water_on_metal_and_each_way_out(made, made_up_barriers, metal):
    sour = replace(STOCK_TESTED, ph=5.6)
    finding = made.the("soft-water-on-metal", "indoor", lines=lines(metal), water=sour)
    assert (finding.level, finding.measured, finding.limit) == ("fix", 5.6, 6.5)
    assert metal in finding.says
    assert finding.says.endswith(DECIDES)
    assert finding.source
    neutral = lines(metal, in_line=(made_up_barriers.thing("neutraliser"),))
    for mended in (lines("pvc"), neutral):
        assert finding.code not in made.codes("indoor", lines=mended, water=sour)
    hard = replace(sour, ph=finding.limit)
    assert finding.code not in made.codes("indoor", lines=lines(metal), water=hard)


def test_a_concrete_tank_neutralises_until_somebody_measures(made, making):
    fields, tanks = {"lines": lines("copper")}, (making.tank(material="concrete"),)
    sour = replace(STOCK_TESTED, ph=5.6)
    assert "soft-water-on-metal" in made.codes("indoor", tanks=tanks, water=sour, **fields)
    for material, fires in (("Concrete", False), ("polyethylene", True), ("", True)):
        tanks = (making.tank(material=material),)
        found = made.codes("indoor", tanks=tanks, **fields)
        assert ("soft-water-on-metal" in found) is fires


def test_unmeasured_ph_on_metal_is_watched(made):
    finding = made.the("soft-water-on-metal", "indoor", lines=lines("copper"))
    assert finding.level == "watch"
    assert "pH was never measured" in finding.says


@pytest.mark.parametrize(("warm_c", "fires"), [(18.0, False), (20.0, False), (26.0, True)])
def test_warm_water_thrown_into_the_air(made, warm_c, fires):
    water = replace(STOCK_TESTED, warmest_c=warm_c)
    found = made.found("outdoor", use={"spray": True}, water=water)
    assert [one.code for one in found] == ["warm-water-thrown"] * fires
    if fires:
        assert (found[0].measured, found[0].limit) == (26.0, 20.0)
        assert "Legionella" in found[0].says
        assert found[0].says.endswith(DECIDES)
    assert made.codes("outdoor", water=water) == set()


def test_warmth_of_spray_unknown_is_one_note(made):
    finding = made.the("warm-spray-not-checked", "outdoor", use={"spray": True})
    assert finding.level == "note"
    assert finding.says.startswith("Not checked: warmest stored water unknown")
    shower = lines("pvc", outlets=(Outlet("bath", "shower"), Outlet("other", "shower")))
    assert made.the("warm-spray-not-checked", "indoor", lines=shower).where == "line 'house'"


def test_a_lid_that_a_child_can_open_and_the_lock(made, making):
    open_ = making.tank(fittings=TankFittings(lid_locked=False))
    finding = made.the("lid-not-locked", "outdoor", tanks=(open_,))
    assert finding.level == "fix"
    assert "Nobody enters a tank" in finding.says
    locked = making.tank(fittings=TankFittings(lid_locked=True))
    assert finding.code not in made.codes("outdoor", tanks=(locked,))
    assert finding.code not in made.codes("outdoor", tanks=(making.tank(),))
