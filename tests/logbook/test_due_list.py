"""The due list by days, storms, hours, litres and loss; days counted by hand, all invented."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from eavewell.logbook.upkeep.care import care_without_rain
from eavewell.logbook.upkeep.service import due
from eavewell.site.authority import Authority, Inspection, Sourced
from eavewell.site.barrier import Cartridge, Lamp
from eavewell.site.entry import Done, Load, Outage, Reading
from eavewell.site.entry import Tested as Entered
from eavewell.site.gauge import Gauge, Log
from eavewell.site.hauling import Hauling
from eavewell.site.line import InLine, Line
from eavewell.site.outlet import Outlet
from eavewell.site.permission import Permission
from eavewell.site.pipe import Pipe
from eavewell.site.screen import Screen
from eavewell.site.water import WaterTest

USE = date(2027, 1, 1)
NOW = datetime(2027, 6, 1, 18, tzinfo=UTC)
RULES = Authority(
    "Invented County",
    "2026",
    inspections=(Inspection("gutters and roof", 180.0, Sourced("Invented rules", "7")),),
)
GAUGES = (
    Gauge("stick", "level", "tank", "stick"),
    Gauge("house meter", "meter", "house", "register"),
    Gauge("rain", "rain", how="rain gauge"),
    Gauge("lamp hours", "lamp hours", "lamp", "hour counter"),
    Gauge("filter gauge", "filter loss", "5 micron", "pressure gauge"),
)


def at(month, day, hour=18):
    return datetime(2027, month, day, hour, tzinfo=UTC)


def in_line(name, kind, works=None, **fields):
    return InLine(name, kind, 0.3, 1.0, fields.pop("dirty_m", 5.0), works=works, **fields)


def house(*things):
    """A line of 20.9 mm bore and 10 m: it holds 3.43 L."""
    taps = (Outlet("kitchen", "kitchen sink"),)
    return Line("house", "tank", Pipe(20.9, 10.0), in_line=things, outlets=taps)


@pytest.fixture
def listed(making, keeping):
    def build(*entries, lines=(), now=NOW, use=USE, gauges=GAUGES, **fields):
        uses = (making.use(end_use=fields.pop("end_use", "drinking")),)
        site = making.site(uses=uses, lines=lines, **fields)
        site = replace(
            site,
            permission=Permission(use=use),
            log=Log(zone="America/Chicago", gauges=gauges),
        )
        return due(care_without_rain(site, RULES), keeping.InMemory(entries), now=now)

    return build


def one_of(found, task, thing=None):
    mine = [one for one in found if one.task == task and (thing is None or thing in one.things)]
    assert len(mine) == 1
    return mine[0]


def test_what_was_done_is_due_again_after_its_days(listed):
    found = listed(Done("look at the tank", at(5, 10), found="a wasp's nest at the vent"))
    one = one_of(found, "look at the tank")
    # 180 days from 10 May: 21 of May, 30, 31, 31, 30, 31 make 174; 6 November
    assert (one.due, one.last_done, one.overdue_days) == (date(2027, 11, 6), date(2027, 5, 10), 0)
    assert "10 May 2027" in one.why


def test_what_was_never_entered_is_counted_from_the_later_of_use_and_log(listed):
    # the log begins on 10 May; 180 days later as above
    found = listed(Done("read the level", at(5, 10)))
    assert one_of(found, "look at the tank").due == date(2027, 11, 6)
    assert "Never entered; counted from 10 May 2027." in one_of(found, "look at the tank").why
    # an empty log: from the first day of use; 180 days from 1 January are 30 June
    assert one_of(listed(), "look at the tank").due == date(2027, 6, 30)
    # and where nothing is known, from today
    assert one_of(listed(use=None), "look at the tank").due == date(2027, 6, 1) + timedelta(180)


def test_overdue_days_are_counted_and_the_most_overdue_stands_first(listed):
    found = listed(Done("read the level", at(5, 10)), now=at(6, 1))
    assert found[0].task == "read the level"
    # due on 17 May, 15 days before 1 June
    assert (found[0].due, found[0].overdue_days) == (date(2027, 5, 17), 15)


def test_a_reading_is_the_doing_of_its_task(listed):
    found = listed(Reading("stick", at(5, 30), 1.2))
    assert one_of(found, "read the level").due == date(2027, 6, 6)


def test_the_day_is_the_day_of_the_place(listed):
    # 03:00 in universal time on 31 May is still 30 May in Chicago
    found = listed(Reading("stick", at(5, 31, 3), 1.2))
    assert one_of(found, "read the level").last_done == date(2027, 5, 30)


def test_put_off_and_then_done(listed):
    off = Done("read the level", at(5, 18), until=at(6, 10))
    found = listed(Done("read the level", at(5, 10)), off)
    one = one_of(found, "read the level")
    assert (one.due, one.put_off, one.overdue_days) == (date(2027, 6, 10), date(2027, 5, 18), 0)
    assert "was due on 17 May 2027" in one.why
    found = listed(Done("read the level", at(5, 10)), off, Done("Read the level ", at(5, 20)))
    assert one_of(found, "read the level").due == date(2027, 5, 27)


def test_an_entry_for_one_thing_leaves_the_other(making, listed):
    tanks = (making.tank(), making.tank(name="barn"))
    found = listed(
        Done("look at the tank", at(5, 10)),
        Done("look at the tank", at(5, 20), thing="barn"),
        tanks=tanks,
    )
    assert one_of(found, "look at the tank", "tank").due == date(2027, 11, 6)
    assert one_of(found, "look at the tank", "barn").due == date(2027, 11, 16)
    # alike, they are one row
    both = listed(Done("look at the tank", at(5, 10)), tanks=tanks)
    assert one_of(both, "look at the tank").things == ("tank", "barn")


def test_the_authority_is_served_as_the_rest(listed):
    found = listed(Done("gutters and roof", at(5, 10)))
    one = one_of(found, "gutters and roof")
    assert (one.kind, one.due) == ("inspection", date(2027, 11, 6))
    assert "Invented rules" in one.source


def test_a_storm_makes_the_screens_due_the_day_after(making, listed):
    roof = replace(making.roof(), screens=(Screen("leaf screen", 0.96),))
    done = Done("clean the screens", at(5, 10))
    one = one_of(
        listed(done, *mornings({12: 24.0, 14: 30.0, 20: 60.0}), roofs=(roof,)),
        "clean the screens",
    )
    assert (one.by, one.due, one.measured) == ("storm", date(2027, 5, 15), 30.0)
    # 30 days after 10 May where no such rain fell
    one = one_of(listed(done, *mornings({12: 24.0}), roofs=(roof,)), "clean the screens")
    assert (one.by, one.due) == ("days", date(2027, 6, 9))
    # cleaned on the day after the storm, it is done
    again = Done("clean the screens", at(5, 15))
    one = one_of(listed(done, again, *mornings({14: 30.0}), roofs=(roof,)), "clean the screens")
    assert (one.by, one.due) == ("days", date(2027, 6, 14))


def mornings(fell):
    """The gauge emptied each morning of May at 7: what fell on a day is read on the next."""
    return [Reading("rain", at(5, day, 12), fell.get(day - 1, 0.0)) for day in range(2, 32)]


def lamp_line(**lamp):
    return house(in_line("lamp", "lamp", Lamp(life_h=1000.0, **lamp)))


def hours(*pairs):
    return [Reading("lamp hours", when, float(value)) for when, value in pairs]


def test_a_lamp_is_due_by_its_hours_not_by_the_days(listed):
    # 10 h a day: 700 h on 1 June, 300 h left are 30 days
    burned = hours((at(5, 22), 600), (at(6, 1), 700))
    one = one_of(listed(*burned, lines=(lamp_line(),)), "change the lamp")
    assert (one.by, one.measured, one.limit) == ("hours", 700.0, 1000.0)
    assert one.due == date(2027, 7, 1)
    # without hours its thousand are 41 whole days
    one = one_of(
        listed(Done("change the lamp", at(5, 10)), lines=(lamp_line(),)), "change the lamp"
    )
    assert (one.by, one.due) == ("days", date(2027, 6, 20))


def test_a_lamp_over_its_hours_is_overdue_from_the_day_it_reached_them(listed):
    # 24 h a day: at 980 on 20 May 18:00, 1000 is reached 20 h later, on 21 May
    burned = hours((at(5, 20), 980), (at(6, 1), 980 + 12 * 24))
    one = one_of(listed(*burned, lines=(lamp_line(),)), "change the lamp")
    assert (one.due, one.overdue_days) == (date(2027, 5, 21), 11)


def test_one_reading_over_the_hours_is_enough(listed):
    one = one_of(listed(*hours((at(5, 28), 1001)), lines=(lamp_line(),)), "change the lamp")
    assert (one.by, one.due, one.overdue_days) == ("hours", date(2027, 5, 28), 4)


def test_hours_after_a_change_count_from_the_change_reset_or_not(listed):
    changed = Done("change the lamp", at(5, 22, 6), thing="lamp")
    # midnight of 22 May is 05:00 in universal time; the counter was set to nothing on that day
    reset = hours((at(5, 22, 5), 900), (at(5, 22, 6), 0), (at(6, 1, 6), 240))
    one = one_of(listed(*reset, changed, lines=(lamp_line(),)), "change the lamp")
    assert one.measured == pytest.approx(240.0)
    runs_on = hours((at(5, 22, 5), 900), (at(6, 1, 5), 1140))
    one = one_of(listed(*runs_on, changed, lines=(lamp_line(),)), "change the lamp")
    assert one.measured == pytest.approx(240.0)


def filter_line(life_l=20_000.0, life_days=None):
    return house(in_line("5 micron", "filter", Cartridge(life_l=life_l, life_days=life_days)))


def meter(*pairs):
    return [Reading("house meter", when, float(value)) for when, value in pairs]


def test_a_cartridge_is_due_by_the_litres_that_passed(listed):
    passed = meter((at(5, 12), 50_000), (at(6, 1), 60_000))
    one = one_of(listed(*passed, lines=(filter_line(),)), "change the cartridge")
    # 500 L a day: the other 10,000 L last 20 days
    assert (one.by, one.measured, one.limit) == ("litres", 10_000.0, 20_000.0)
    assert one.due == date(2027, 6, 21)


def test_the_earlier_of_litres_and_days_rules(listed):
    passed = meter((at(5, 12), 50_000), (at(6, 1), 60_000))
    changed = Done("change the cartridge", at(5, 12), thing="5 micron")
    lines = (filter_line(life_days=30.0),)
    one = one_of(listed(*passed, changed, lines=lines), "change the cartridge")
    assert (one.by, one.due) == ("days", date(2027, 6, 11))
    lines = (filter_line(life_l=9_000.0, life_days=30.0),)
    one = one_of(listed(*passed, changed, lines=lines), "change the cartridge")
    # the change is counted from the midnight of its day, before which nothing is known;
    # 9,000 L at 500 L a day from 12 May 18:00 are 18 days: 30 May 18:00
    assert (one.by, one.due) == ("litres", date(2027, 5, 30))


def test_a_full_cartridge_is_due_on_the_day_its_gauge_says_so(listed):
    full = Reading("filter gauge", at(5, 28), 5.2)
    lines = (filter_line(life_l=None, life_days=180.0),)
    one = one_of(listed(full, lines=lines), "change the cartridge")
    assert (one.by, one.due, one.limit) == ("loss", date(2027, 5, 28), 5.0)
    new = Done("change the cartridge", at(5, 29), thing="5 micron")
    assert one_of(listed(full, new, lines=lines), "change the cartridge").by == "days"


def test_water_that_passed_a_dark_lamp_asks_for_flushing(listed):
    out = Outage("power", at(5, 20, 12), at(5, 20, 18))
    # 24 L over the day, evenly: 6 L in six hours
    flow = meter((at(5, 20, 0), 100), (at(5, 21, 0), 124))
    one = one_of(listed(out, *flow, lines=(lamp_line(),)), "flush and disinfect")
    assert (one.kind, one.by, one.due, one.things) == (
        "outage",
        "outage",
        date(2027, 5, 20),
        ("house",),
    )
    assert one.measured == pytest.approx(6.0)
    assert "boil it" in one.says

    assert "chlorine" in one.says
    # what was flushed since is done
    done = Done("flush and disinfect", at(5, 21), thing="house")
    found = listed(out, done, *flow, lines=(lamp_line(),))
    (then,) = [one for one in found if one.kind == "outage"]
    # and what people drink is tested, a week after the chlorine
    assert (then.task, then.due) == ("test after the outage", date(2027, 5, 28))
    assert "boiled before it is drunk" in then.says
    clear = Entered(at(5, 28), WaterTest("E. coli", 0.0, date(2027, 5, 28)))
    found = listed(out, done, clear, *flow, lines=(lamp_line(),))
    assert [one for one in found if one.kind == "outage"] == []


def test_nothing_is_asked_where_nothing_passed(listed):
    out = Outage("power", at(5, 20, 12), at(5, 20, 18))
    still = meter((at(5, 20, 0), 100), (at(5, 21, 0), 100))
    assert [one for one in listed(out, *still, lines=(lamp_line(),)) if one.kind == "outage"] == []
    shut = (lamp_line(shut_valve=True),)
    assert [one for one in listed(out, lines=shut) if one.kind == "outage"] == []
    # the meter tells that the valve did not shut
    flow = meter((at(5, 20, 0), 100), (at(5, 21, 0), 124))
    one = one_of(listed(out, *flow, lines=shut), "flush and disinfect")
    assert "though a valve should have shut" in one.why


def test_an_outage_that_lasts_and_that_nobody_measured(listed):
    one = one_of(listed(Outage("lamp", at(5, 31)), lines=(lamp_line(),)), "flush and disinfect")
    assert "nobody measured" in one.why
    assert one.measured is None


def test_tests_are_due_by_their_results(listed):
    clear = Entered(at(5, 4), WaterTest("E. coli", 0.0, date(2027, 5, 4)))
    one = one_of(listed(clear), "water test, class drinking", "E. coli")
    # 90 days after 4 May
    assert (one.by, one.due) == ("test", date(2027, 8, 2))
    germs = Entered(at(5, 20), WaterTest("E. coli", 3.0, date(2027, 5, 20)))
    one = one_of(listed(germs), "water test, class drinking", "E. coli")
    assert one.says.startswith("Today: stop drinking it: boil it")
    assert "Tell the health department." in one.says
    # what holds water back stands before all that is longer over its day
    assert (one.pressing, one.due, listed(germs)[0]) == (True, date(2027, 5, 20), one)
    sampled = Done("water test, class drinking", at(5, 20))
    one = one_of(listed(sampled), "water test, class drinking", "E. coli")
    assert "no result is entered" in one.why


def load(ordered, came, **fields):
    return Load("tank", ordered, came, 7000.0, **fields)


def test_a_load_on_its_way(listed):
    one = one_of(
        listed(load(at(5, 28), None), hauling=(Hauling("tank", 7000.0, 3),)), "take the load in"
    )
    # three days from 28 May
    assert (one.kind, one.by, one.due, one.overdue_days) == ("load", "load", date(2027, 5, 31), 1)
    assert "certified for drinking water" in one.says
    assert "free chlorine" in one.says


def test_an_order_is_answered_by_the_load_that_names_it_or_by_the_next(listed):
    orders = [load(at(5, 10), None), load(at(5, 20), None)]

    def left(*came):
        found = listed(*orders, *came, hauling=(Hauling("tank", 7000.0, 3),))
        return [one.due.day for one in found if one.task == "take the load in"]

    assert left() == [13, 23]
    assert left(load(at(5, 20), at(5, 22))) == [13]
    assert left(load(None, at(5, 22))) == [23]
    # what came before it was ordered is another load
    assert left(load(None, at(5, 5))) == [13, 23]


def test_a_load_that_came_is_tested_and_its_paper_kept(listed):
    came = load(at(5, 20), at(5, 23))
    found = listed(came)
    assert one_of(found, "test after the load").due == date(2027, 5, 23)
    assert one_of(found, "keep the load's paper").due == date(2027, 5, 23)
    clear = Entered(at(5, 25), WaterTest("E. coli", 0.0, date(2027, 5, 25)))
    paper = Done("keep the load's paper", at(5, 24), thing="tank")
    assert not [one for one in listed(came, clear, paper) if one.kind == "load"]
    certified = load(at(5, 20), at(5, 23), paper="licence 12")
    assert [one.task for one in listed(certified) if one.kind == "load"] == ["test after the load"]
    # where nobody drinks it neither is asked
    assert not [one for one in listed(came, end_use="outdoor") if one.kind == "load"]


def test_what_an_outage_asks_for_may_be_put_off(listed):
    off = Done("flush and disinfect", at(6, 1), thing="house", until=at(6, 4))
    found = listed(Outage("lamp", at(5, 31)), off, lines=(lamp_line(),))
    assert one_of(found, "flush and disinfect").due == date(2027, 6, 4)
