"""Tasks of upkeep: which a site has, how often, and on which day, by counting days on paper."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from eavewell.rules.judged import judge
from eavewell.rules.upkeep_tasks import NEEDS, next_due, upkeep_tasks
from eavewell.site.authority import Authority, Inspection, Sourced
from eavewell.site.barrier import Cartridge, Lamp
from eavewell.site.calendar import Calendar
from eavewell.site.line import InLine, Line
from eavewell.site.permission import Permission
from eavewell.site.pipe import Pipe
from eavewell.site.want import People
from eavewell.site.water import WaterTest
from eavewell.tables import rows
from eavewell.treatment.barriers import barriers_in_order
from eavewell.treatment.classes import fit_for_use
from eavewell.treatment.season import season_steps
from eavewell.treatment.water_tests import test_water as judge_water

TODAY = date(2027, 3, 10)
RULES = Authority(
    "Invented County",
    "2026",
    inspections=(Inspection("gutters and roof", 180.0, Sourced("Invented rules", "7")),),
)


def line(*in_line, **fields):
    return Line("house", "tank", Pipe(20.9, 10.0), in_line=in_line, **fields)


def in_line(name, kind, works=None):
    return InLine(name, kind, 0.3, 1.0, 5.0, works=works)


def tasks(site, *, today=TODAY, authority=RULES):
    fitness = fit_for_use(site)
    return upkeep_tasks(
        site,
        judged=judge(site, authority, today=today),
        tested=judge_water(site, fitness, authority=authority, today=today),
        treated=barriers_in_order(site, (), authority=authority),
        season=season_steps(site, ()),
    )


def named(found, task):
    return [one for one in found if one.task == task]


def test_days_are_counted_from_the_first_use():
    # 180 days from 1 January 2027: 30 June
    assert next_due(date(2027, 1, 1), 180, today=TODAY) == date(2027, 6, 30)
    # long in use: the tenth week is over on the day itself
    assert next_due(TODAY - timedelta(days=70), 7, today=TODAY) == TODAY
    assert next_due(TODAY - timedelta(days=71), 7, today=TODAY) == TODAY + timedelta(days=6)
    # not yet in use
    assert next_due(date(2027, 5, 1), 7, today=TODAY) == date(2027, 5, 8)
    assert next_due(None, 7, today=TODAY) == TODAY + timedelta(days=7)


def test_a_bare_site_has_only_what_it_has(making):
    found = {one.task for one in tasks(making.site()) if one.kind == "care"}
    assert found == {"read the level", "look at the tank", "measure the sludge"}


def test_inspections_of_the_authority(making):
    site = replace(making.site(), permission=Permission(use=date(2027, 1, 1)))
    (one,) = [one for one in tasks(site) if one.kind == "inspection"]
    assert (one.task, one.every_days, one.due) == ("gutters and roof", 180, date(2027, 6, 30))
    assert "Invented rules" in one.source
    (without,) = [one for one in tasks(making.site()) if one.kind == "inspection"]
    assert without.due == TODAY + timedelta(days=180)


def test_lives_of_lamps_and_cartridges(making):
    fitted = (
        in_line("coarse", "filter", Cartridge(life_days=90.0)),
        in_line("fine", "filter", Cartridge(life_days=180.0)),
        in_line("odd", "carbon"),
        in_line("old lamp", "lamp", Lamp(life_h=9000.0)),
        in_line("new lamp", "lamp", Lamp()),
    )
    found = tasks(making.site(lines=(line(*fitted),)))
    changed = {one.things: one.every_days for one in named(found, "change the cartridge")}
    assert changed == {("coarse",): 90, ("fine",): 180}
    (look,) = named(found, "look at the cartridge")
    assert look.things == ("odd",)
    # 9,000 h are 375 days
    lamps = {one.things: one.every_days for one in named(found, "change the lamp")}
    assert lamps == {("old lamp",): 375, ("new lamp",): 365}


def test_tests_of_one_day_are_one_visit(making):
    use = making.use(end_use="drinking")
    site = making.site(uses=(use,))
    listed = [one for one in tasks(site) if one.kind == "water test"]
    assert all(one.due == TODAY for one in listed)
    germs = next(one for one in listed if "E. coli" in one.things)
    assert germs.every_days == 90
    done = WaterTest("E. coli", 0.0, date(2027, 3, 1))
    later = replace(site, water=replace(site.water, tests=(done,)))
    (again,) = [one for one in tasks(later) if "E. coli" in one.things]
    # 90 days from 1 March
    assert again.due == date(2027, 5, 30)
    waits = replace(site, permission=Permission(use=date(2027, 9, 1)))
    assert {one.due for one in tasks(waits) if one.kind == "water test"} == {date(2027, 9, 1)}


@pytest.mark.parametrize(
    ("calendar", "opens", "closes"),
    [
        (Calendar(seasons=(((4, 1), (10, 31)),)), date(2027, 4, 1), date(2027, 10, 31)),
        (Calendar(seasons=(((11, 15), (2, 28)),)), date(2027, 11, 15), date(2028, 2, 28)),
        (Calendar(months=frozenset({6, 7})), date(2027, 6, 1), date(2027, 7, 31)),
        (
            Calendar(weekdays=frozenset({5, 6}), months=frozenset({3})),
            date(2028, 3, 1),
            date(2027, 3, 31),
        ),
    ],
)
def test_opening_and_closing_by_the_calendar(making, calendar, opens, closes):
    use = replace(making.use(), wants=(People(2.0, 100.0, calendar),))
    site = making.site(uses=(use,), lines=(line(),))
    found = [one for one in tasks(site) if one.kind == "season"]
    days = {one.task: one.due for one in found}
    assert days == {"opening for the season": opens, "closing for the season": closes}
    assert all(one.yearly and one.every_days is None for one in found)


def test_the_next_due_comes_first(making):
    found = tasks(making.site(uses=(making.use(end_use="drinking"),)))
    assert [one.due for one in found] == sorted(one.due for one in found)


def test_every_row_needs_a_known_thing():
    assert {row["needs"] for row in rows("upkeep_tasks")} == set(NEEDS)


def test_nobody_is_sent_into_a_tank():
    for row in rows("upkeep_tasks"):
        if row["task"] in ("look at the tank", "measure the sludge", "try the sump"):
            assert "Never climb in" in row["says"]
