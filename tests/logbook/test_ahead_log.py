"""From the log, or what is typed, to today's figures and the look ahead; all of it is invented."""

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import jsonschema
import numpy as np
import pytest

from eavewell.answers.schema import schema
from eavewell.answers.shown import Sizes
from eavewell.faults import BadLog, BadQuantity
from eavewell.logbook.ahead.answered import Said, answer_of, answered, asked_of, by_log
from eavewell.logbook.ahead.basis import Asked, basis_of, basis_on_record
from eavewell.logbook.ahead.from_log import asked_of_log, logged
from eavewell.logbook.ahead.hauled_before import hauled_before
from eavewell.logbook.ahead.said import day_said, levels_said, loads_said, rains_said, uses_said
from eavewell.logbook.ahead.standing import typed_standing
from eavewell.logbook.latest import latest_levels
from eavewell.logbook.today_answer import today_of
from eavewell.report.ahead import ahead_page
from eavewell.report.lasts import stated_words
from eavewell.report.today import today_sections
from eavewell.site.beside import Beside
from eavewell.site.entry import Load, Reading
from eavewell.site.gauge import Gauge, Log
from eavewell.site.hauling import Hauling
from eavewell.site.lift import Lift
from eavewell.site.tank_shape import Box
from eavewell.storage.drawn import as_drawn
from eavewell.terminal.printed import on_paper

GALLON_L = 3.785411784
INCH_M = 0.0254
DAY = date(2027, 3, 5)  # a Friday
NOW = datetime(2027, 3, 5, 9, 0, tzinfo=UTC)


def tank(making, **fields):
    """2 m x 1 m x 2 m high: 20 L the centimetre; 200 L of them below the outlet."""
    return making.tank(None, shape=Box(2.0, 1.0, 2.0), outlet_m=0.1, **{"overflow_m": 1.9} | fields)


@pytest.fixture(scope="module")
def house(making):
    return making.site(
        roofs=(making.roof(40.0),),
        tanks=(tank(making),),
        uses=(making.use(60.0, fallback="hauled"),),
        hauling=(Hauling("tank", 1_000.0, 3),),
        log=Log(gauges=(Gauge("house meter", "meter", how="register", uses=("house",)),)),
    )


@pytest.fixture(scope="module")
def record(making):
    return making.record(making.wet_and_dry(12))


@pytest.fixture(scope="module")
def basis(house, record):
    return basis_on_record(house, record, beside=Beside(), today=date(2026, 1, 1))


def ten_dry_mornings(keeping, *, last_m=1.0, until=NOW):
    """A stick every morning at seven, 3 cm less each day; the meter counts 60 L a day."""
    kept = keeping.InMemory()
    for back in range(10, -1, -1):
        at = datetime.combine(until.date(), datetime.min.time(), UTC) + timedelta(hours=7)
        at -= timedelta(days=back)
        kept.add(
            Reading("tank", at, last_m + 0.03 * back),
            Reading("house meter", at, 60.0 * (20 - back)),
            Reading("rain", at, 0.0),
        )
    return kept


def test_the_last_levels_and_those_before(house, keeping):
    (found,) = latest_levels(house, ten_dry_mornings(keeping), until=NOW)
    assert found.at == datetime(2027, 3, 5, 7, tzinfo=UTC)
    assert found.held_l == pytest.approx(2_000.0 - 200.0)
    assert found.day_before_l == pytest.approx(1_800.0 + 60.0)
    assert found.week_before_l == pytest.approx(1_800.0 + 7 * 60.0)
    assert found.stood_on == DAY


def test_an_afternoons_reading_tells_of_the_next_morning(house, keeping):
    kept = keeping.InMemory([Reading("tank", datetime(2027, 3, 3, 18, tzinfo=UTC), 1.0)])
    (found,) = latest_levels(house, kept, until=NOW)
    assert found.stood_on == date(2027, 3, 4)
    assert found.day_before_l is None


def test_a_reading_of_long_ago_is_still_the_last(house, keeping):
    kept = keeping.InMemory([Reading("tank", datetime(2026, 7, 1, 8, tzinfo=UTC), 1.0)])
    (found,) = latest_levels(house, kept, until=NOW)
    assert found.at.date() == date(2026, 7, 1)


def test_no_seventh_of_a_weeks_change_is_told_as_a_days(house, keeping):
    weekly = [Reading("tank", NOW - timedelta(days=7 * k), 1.0 + k / 10) for k in (3, 2, 1)]
    (found,) = latest_levels(house, keeping.InMemory(weekly), until=NOW)
    assert found.day_before_l is None
    # 10 cm of a tank of 2 m2
    assert found.held_l - found.week_before_l == pytest.approx(-200.0)
    every_other = [Reading("tank", NOW - timedelta(days=2 * k), 1.0 + k / 50) for k in (2, 1)]
    (found,) = latest_levels(house, keeping.InMemory(every_other), until=NOW)
    assert found.held_l - found.day_before_l == pytest.approx(-20.0)


def test_today_against_arithmetic(house, basis, keeping):
    found = today_of(
        basis, as_drawn(house, basis.water).every_day, kept=ten_dry_mornings(keeping), now=NOW
    )
    jsonschema.validate(json.loads(json.dumps(found, allow_nan=False)), schema("today"))
    assert found["held_l"] == pytest.approx(1_800.0)
    assert found["since_yesterday_l"] == pytest.approx(-60.0)
    assert found["since_week_l"] == pytest.approx(-420.0)
    assert found["metered_l_per_day"] == pytest.approx(60.0)
    assert found["by_level_l_per_day"] == pytest.approx(60.0, rel=1e-6)
    assert found["rain_mm"] == 0.0
    assert found["caught_l"] == pytest.approx(0.0, abs=1e-6)
    assert found["usual_use"]["mean_l_per_day"] == pytest.approx(60.0)
    page = on_paper(today_sections(found, system="metric"))
    assert "tank holds 2,000 L, 100 cm on the stick" in page
    assert "60 L less than a day before" in page


def test_an_order_whose_load_came_is_not_counted_again(house, keeping):
    ordered = datetime(2027, 3, 2, 9, tzinfo=UTC)
    order = Load("tank", ordered, None, 900.0)
    # the load names the day of its order, not its hour
    came = Load("tank", ordered.replace(hour=12), ordered + timedelta(days=1), 900.0)
    for entries, loads in (((order,), 1), ((order, came), 0)):
        kept = ten_dry_mornings(keeping).add(*entries)
        _, asked = asked_of_log(house, kept, found=logged(house, kept, now=NOW), asked=Asked())
        assert len(asked.loads) == loads


def test_the_day_of_a_reading_goes_with_its_level_and_rain_can_be_believed(house, record):
    with pytest.raises(BadLog, match="say --level as well"):
        answered(house, record, beside=Beside(), said=Said(read_on="2027-03-01"), now=NOW)
    with pytest.raises(BadLog, match="Is its unit right"):
        rains_said(["90 in on Friday"], today=DAY)


def test_a_load_that_has_no_room_is_told(house, record):
    """3,600 L fit above the outlet and 3,300 L are held: 300 L of room today, rain or none."""
    said = Said(levels=("tank=175 cm",), loads=("1,000 L on today", "100 L on today"))
    found = answered(house, record, beside=Beside(), said=said, now=NOW)
    assert [one["room_l"] for one in found["loads"]] == pytest.approx([300.0, 300.0])
    words = stated_words(found, Sizes("metric"))
    assert "Of the 1,000 L on 5 Mar 2027 only 300 L has room in tank" in words
    assert "Of the 100 L" not in words


def test_usual_levels_are_those_of_the_season(house, basis, keeping):
    """Worked again day by day: all evenings within seven days of 5 March."""
    every_day = as_drawn(house, basis.water).every_day
    found = today_of(basis, every_day, kept=ten_dry_mornings(keeping), now=NOW)
    near = [
        every_day.level_l[row, 0]
        for row, day in enumerate(basis.water.dates.astype("datetime64[D]").tolist())
        if abs((day - date(day.year, 1, 1)).days - 63) <= 7
    ]
    assert found["usual_held"]["mean_l"] == pytest.approx(np.mean(near))
    assert found["usual_held"]["low_l"] == pytest.approx(np.quantile(near, 0.1))


def test_the_look_ahead_from_the_log(house, basis, record, keeping):
    kept = ten_dry_mornings(keeping)
    standing, asked = by_log(house, kept, said=Said(), asked=Asked(), now=NOW)
    assert standing.week_l_day == {"house": pytest.approx(60.0)}
    assert standing.read_on == DAY
    answer = answer_of(basis, standing, asked=asked, record=record)
    assert answer["supplies"][0]["week"]["days"] == pytest.approx(1_800.0 / 60.0)
    assert answer["supplies"][0]["week"]["until"] == "2027-04-04"
    page = on_paper(ahead_page(answer, system="us"))
    assert "Lasts until 4 Apr 2027 at this week's use of 15.9 gal/day with no rain" in page


def test_days_since_the_reading_take_the_gauges_rain_and_the_loads(house, keeping):
    """Read on the 2nd; 12 mm to the morning of the 4th; a load came then, another is to come."""
    kept = ten_dry_mornings(keeping, until=datetime(2027, 3, 2, 9, tzinfo=UTC))
    kept.add(
        Reading("rain", datetime(2027, 3, 3, 7, tzinfo=UTC), 0.0),
        Reading("rain", datetime(2027, 3, 4, 7, tzinfo=UTC), 12.0),
        Load("tank", None, datetime(2027, 3, 4, 15, tzinfo=UTC), 900.0),
        Load("tank", datetime(2027, 3, 4, 16, tzinfo=UTC), None, 1_000.0),
    )
    forecast = Asked(rain_mm={date(2027, 3, 8): 5.0})
    found = logged(house, kept, now=NOW)
    standing, asked = asked_of_log(house, kept, found=found, asked=forecast)
    assert standing.read_on == date(2027, 3, 2)
    assert asked.rain_mm[date(2027, 3, 3)] == 12.0
    assert asked.rain_mm[date(2027, 3, 8)] == 5.0
    assert [(one.day, one.volume_l) for one in asked.loads] == [
        (date(2027, 3, 4), 900.0),
        (date(2027, 3, 7), 1_000.0),
    ]


def test_a_log_with_no_level_says_so(house, basis, keeping):
    with pytest.raises(BadLog, match="never read"):
        by_log(house, keeping.InMemory(), said=Said(), asked=Asked(), now=NOW)
    every_day = as_drawn(house, basis.water).every_day
    with pytest.raises(BadLog, match="no level"):
        today_of(basis, every_day, kept=keeping.InMemory(), now=NOW)


def test_the_pieces_are_those_of_the_design(house, record, basis):
    from eavewell.design import design

    whole = basis_of(design(house, record, today=date(2026, 1, 1)))
    assert whole.site == basis.site
    assert np.array_equal(whole.water.runoff_mm, basis.water.runoff_mm)
    assert np.array_equal(whole.water.demand_l, basis.water.demand_l)


@pytest.mark.parametrize(
    ("said", "held_l"),
    [
        ("100 cm", 1_800.0),
        ("1 m", 1_800.0),
        ("2,000 L", 1_800.0),
        ("50 %", 0.5 * (3_800.0 - 200.0)),
        ("5 cm", -100.0),
    ],
)
def test_levels_as_people_say_them(house, said, held_l):
    """A depth from the floor, a volume from the floor, a share of what is usable."""
    found = typed_standing(house, {"": said}, day=DAY)
    assert found.held_l == pytest.approx([held_l])


def test_a_sticks_error_is_half_a_centimetre(house):
    """0.005 m of 2 m2: 10 L."""
    found = typed_standing(house, {"tank": "100 cm"}, day=DAY)
    assert found.held_sd_l == pytest.approx([10.0])


def test_every_fault_of_the_levels_at_once(making):
    site = making.site(tanks=(tank(making, name="east"), tank(making, name="west")))
    with pytest.raises(BadLog) as fault:
        typed_standing(site, {"east": "300 cm", "wets": "1 m"}, day=DAY)
    says = str(fault.value)
    assert "above the rim" in says
    assert "no tank 'wets'" in says
    assert "tank 'west': its level is not said" in says


def test_days_rains_loads_and_uses_as_people_say_them(house):
    assert day_said("Friday", today=DAY) == date(2027, 3, 12)
    assert day_said("sat", today=DAY) == date(2027, 3, 6)
    assert day_said("tomorrow", today=DAY) == date(2027, 3, 6)
    assert rains_said(["0.8 in on Saturday", "5 mm on 2027-03-06"], today=DAY) == {
        date(2027, 3, 6): pytest.approx(0.8 * 25.4 + 5.0)
    }
    (load,) = loads_said(["200 gal on 2027-03-08"], house, today=DAY)
    assert (load.to, load.volume_l) == ("tank", pytest.approx(200.0 * GALLON_L))
    (usual,) = loads_said(["on Monday to tank"], house, today=DAY)
    assert (usual.day, usual.volume_l) == (date(2027, 3, 8), 1_000.0)
    assert levels_said(["main=41 in", "60 %"]) == {"main": "41 in", "": "60 %"}
    assert uses_said(["84 gal/day"], house) == {"": pytest.approx(84.0 * GALLON_L)}
    assert asked_of(Said(reach="2027-06-01", chance="5 %"), house, today=DAY) == Asked(
        reach=date(2027, 6, 1), chance=0.05
    )


@pytest.mark.parametrize(
    ("say", "kind", "words"),
    [
        (lambda house: day_said("soon", today=DAY), BadLog, "is no day"),
        (lambda house: rains_said(["0.8 in Friday"], today=DAY), BadLog, "on which day"),
        (lambda house: rains_said(["8 gal on Friday"], today=DAY), BadQuantity, "volume"),
        (lambda house: loads_said(["1 m3 on Friday to shed"], house, today=DAY), BadLog, "shed"),
        (lambda house: uses_said(["barn=3 L/day"], house), BadLog, "no use 'barn'"),
        (lambda house: asked_of(Said(chance="often"), house, today=DAY), BadLog, "no chance"),
    ],
)
def test_what_cannot_be_understood_is_said(house, say, kind, words):
    with pytest.raises(kind, match=words):
        say(house)


def came(ordered_day, came_day, price=None, hour=12):
    return Load(
        "tank",
        datetime(2027, 1, ordered_day, 12, tzinfo=UTC),
        datetime(2027, 1, came_day, hour, tzinfo=UTC),
        1_000.0,
        price,
    )


def test_the_days_of_ones_own_loads_stand_for_the_usual_ones():
    """2, 4 and 9 days: 4 as usual, 9 at the slowest. Of two loads the drought's 14 stay."""
    found = hauled_before([came(1, 3, 150.0), came(4, 8, 180.0), came(10, 19)])["tank"]
    assert (found.leads, found.lead_days, found.slow_days) == (3, 4, 9)
    assert found.last_price == 180.0
    few = hauled_before([came(1, 3), came(4, 8)])["tank"]
    assert (few.lead_days, few.slow_days) == (3, 14)
    # Two days and an hour are three days to wait through.
    assert hauled_before([came(1, 3, hour=13)])["tank"].lead_days == 3
    on_its_way = Load("tank", datetime(2027, 1, 1, tzinfo=UTC), None, 1_000.0)
    assert hauled_before([on_its_way]) == {}


def test_orders_go_by_the_days_of_ones_own_loads(house, basis, record, keeping):
    """60 L/day: 4 + 3 days are 420 L above the dead storage of 200, 9 + 3 days 720."""
    kept = ten_dry_mornings(keeping).add(came(1, 3), came(4, 8), came(10, 19, 180.0))
    standing, asked = by_log(house, kept, said=Said(), asked=Asked(), now=NOW)
    (order,) = answer_of(basis, standing, asked=asked, record=record)["orders"]
    assert order["normal"]["order_l"] == pytest.approx(620.0)
    assert order["slow"]["order_l"] == pytest.approx(920.0)
    assert (order["own_leads"], order["last_price"]) == (3, 180.0)


@pytest.fixture(scope="module")
def lifted_house(house, making):
    """The same with a header tank of 400 L above it, from which the house draws."""
    header = making.tank(400.0, name="header")
    lift = Lift("pump", "tank", "header")
    uses = tuple(replace(use, draws_from=("header",)) for use in house.uses)
    return replace(house, tanks=(*house.tanks, header), lifts=(lift,), uses=uses)


def test_a_tank_that_was_never_read_holds_anything(lifted_house, record, keeping):
    """The header, 400 L usable and never read: in the middle 200 L, its tenths 40 and 360 L."""
    kept = ten_dry_mornings(keeping)
    standing, asked = by_log(lifted_house, kept, said=Said(), asked=Asked(), now=NOW)
    assert standing.unread == {"header"}
    assert standing.held_l == pytest.approx([1_800.0, 200.0])
    assert standing.held_sd_l[1] * 1.2815515655 == pytest.approx(160.0)
    here = basis_on_record(lifted_house, record, beside=Beside(), today=date(2026, 1, 1))
    answer = answer_of(here, standing, asked=asked, record=record)
    jsonschema.validate(json.loads(json.dumps(answer, allow_nan=False)), schema("ahead"))
    assert [one["was_read"] for one in answer["tanks"]] == [True, False]
    (supply,) = answer["supplies"]
    assert supply["held_l"] == pytest.approx(2_000.0)
    assert supply["held_high_l"] - supply["held_low_l"] == pytest.approx(320.0, rel=0.1)
    page = on_paper(ahead_page(answer, system="metric"))
    assert "header, never read, counts as anything from empty to full" in page
    assert "stick of header" not in page


def test_of_two_supplies_the_one_that_was_never_read_is_left_out(house, record, making, keeping):
    barrel = making.tank(200.0, name="barrel")
    garden = making.use(5.0, name="garden", draws_from=("barrel",))
    two = replace(house, tanks=(*house.tanks, barrel), uses=(*house.uses, garden))
    standing, asked = by_log(two, ten_dry_mornings(keeping), said=Said(), asked=Asked(), now=NOW)
    here = basis_on_record(two, record, beside=Beside(), today=date(2026, 1, 1))
    answer = answer_of(here, standing, asked=asked, record=record)
    assert [one["tanks"] for one in answer["supplies"]] == [["tank"]]


def test_the_next_month_is_the_first_that_is_not_reached_with_no_rain(
    house, basis, record, keeping
):
    """It lasts until 4 April; so the first of May is what is to be reached."""
    asked = Asked(reach_next=True)
    standing, asked = by_log(house, ten_dry_mornings(keeping), said=Said(), asked=asked, now=NOW)
    answer = answer_of(basis, standing, asked=asked, record=record)
    assert [one["until"] for one in answer["reach"]] == ["2027-05-01"]
