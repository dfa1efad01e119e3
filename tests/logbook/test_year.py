"""The year of a log: sums by arithmetic in the test; everything invented."""

import io
from dataclasses import replace
from datetime import UTC, date, datetime

import jsonschema
import numpy as np
import pytest
from pypdf import PdfReader

from eavewell.answers.schema import schema
from eavewell.design import design
from eavewell.faults import EavewellFault
from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.reconciled.account import Expected
from eavewell.logbook.upkeep.care import care_of
from eavewell.logbook.upkeep.serviced import serviced
from eavewell.logbook.year.year_care import _missed
from eavewell.logbook.year.year_paper import year_answer, year_of
from eavewell.logbook.year.year_saved import saved_in
from eavewell.logbook.year.year_water import year_of_water
from eavewell.papers.charts.year_strip import chart_year
from eavewell.papers.typeset import pdf
from eavewell.papers.year_paper import year_paper
from eavewell.site.entry import Done, Load, Outage
from eavewell.site.entry import Tested as Entered
from eavewell.site.gauge import Gauge, Log
from eavewell.site.hauling import Hauling
from eavewell.site.money import Money, Tier
from eavewell.site.water import WaterTest

ZONE = "America/Chicago"
GAUGES = (Gauge("meter", "meter", uses=("house",), how="register"),)
NOW = datetime(2028, 1, 10, 18, tzinfo=UTC)


def at(month, day, hour=18):
    return datetime(2027, month, day, hour, tzinfo=UTC)


def days(first, count, *, held=None, metered=None, rain=None, **fields):
    """A daily log of one tank and at most one meter; what is left out is unknown."""

    def column(value, size=count):
        return np.broadcast_to(np.nan if value is None else value, (size,)).astype(float)

    none = np.zeros((count, 0))
    usual = DailyLog(
        dates=np.datetime64(first) + np.arange(count),
        tanks=("tank",),
        held_l=column(held)[:, None],
        held_sd_l=np.ones((count, 1)),
        read=np.ones(count, bool),
        meters=("meter",) if metered is not None else (),
        metered_l=none if metered is None else column(metered)[:, None],
        spread_days=none if metered is None else np.ones((count, 1)),
        make_up_l=column(0.0),
        hauled_l=np.zeros((count, 1)),
        rain_mm=column(rain),
        spans_dst=np.zeros(count, bool),
    )
    return replace(usual, **fields)


def wanting(l_day, uses=1):
    """Every use wants so much on each day of every month."""
    none = np.array([], dtype="datetime64[D]")
    return Expected(np.full((12, uses), float(l_day)), np.zeros(12), none, np.array([]))


@pytest.fixture
def site(making):
    return making.site(log=Log(zone=ZONE, gauges=GAUGES))


def months(found):
    return {one.month: one for one in found.months}


def test_a_month_by_meter(site):
    log = days("2027-01-01", 59, held=100.0, metered=8.0, rain=1.0)
    found = year_of_water(site, log, expected=wanting(8.0), year=2027)
    january = months(found)[1]
    assert (january.days, january.metered_l, january.metered_days) == (31, 248.0, 31)
    assert (january.rain_mm, january.rain_days, january.held_l) == (31.0, 31, 100.0)
    # the level stood still, so that the roof brought what was used
    assert january.caught_l == 248.0
    assert months(found)[3].days == 0
    assert (found.days, found.total("metered_l")) == (59, 8.0 * 59)
    assert (found.metered, found.unmetered) == (("house",), ())


def test_another_year_is_left_out(site):
    log = days("2026-12-01", 62, held=100.0, metered=8.0, rain=0.0)
    found = year_of_water(site, log, expected=wanting(8.0), year=2027)
    assert (found.first, found.last, found.days) == (date(2027, 1, 1), date(2027, 1, 31), 31)


def test_use_by_the_level_on_dry_days(site):
    # falls 5 L a day but on the 11th, when it rains and rises by 100
    held = 500.0 - 5.0 * np.arange(32) + np.where(np.arange(32) > 10, 105.0, 0.0)
    rain = np.where(np.arange(32) == 10, 20.0, 0.0)
    log = days("2027-01-01", 32, held=held, rain=rain)
    january = months(year_of_water(site, log, expected=wanting(5.0), year=2027))[1]
    assert (january.level_days, january.level_l) == (30, pytest.approx(5.0 * 31))
    # no meter counts: the plan's own 5 L a day is told apart
    assert (january.metered_l, january.planned_l) == (None, 155.0)
    # 31 days of 5 L, and the level ends 50 L lower: 155 - 50
    assert january.caught_l == pytest.approx(105.0)


def test_a_load_is_no_rain(site):
    held = 500.0 - 5.0 * np.arange(31) + np.where(np.arange(31) > 10, 105.0, 0.0)
    hauled = np.where(np.arange(31) == 10, 105.0, 0.0)[:, None]
    log = days("2027-01-01", 31, held=held, rain=0.0, metered=5.0, hauled_l=hauled)
    january = months(year_of_water(site, log, expected=wanting(5.0), year=2027))[1]
    assert january.hauled_l == 105.0
    assert january.level_l == pytest.approx(155.0)
    # 30 days from the first midnight to the last, 31 of use: one day's 5 L, no more
    assert january.caught_l == pytest.approx(5.0)


def test_a_meter_that_stood_still_is_told_by_its_days(site):
    metered = np.where(np.arange(31) < 10, np.nan, 8.0)
    log = days("2027-01-01", 31, held=100.0, rain=0.0, metered=metered)
    january = months(year_of_water(site, log, expected=wanting(8.0), year=2027))[1]
    assert (january.metered_l, january.metered_days) == (8.0 * 21, 21)


def of_month(site, money, **fields):
    log = days("2027-01-01", 31, held=100.0, rain=0.0, **fields)
    site = replace(site, money=money)
    found = year_of_water(site, log, expected=wanting(10.0), year=2027)
    return site, found


MAINS = Money(tiers=(Tier(200.0, 2.0), Tier(None, 5.0)), mains_month=12.0)


def test_mains_are_saved_from_their_dearest_step_down(site):
    # 310 L used, 100 L of it make-up: 210 L of rain
    make_up = np.where(np.arange(31) < 10, 10.0, 0.0)
    place, found = of_month(site, MAINS, metered=10.0, make_up_l=make_up)
    saved = saved_in(place, found, loads=())
    assert (saved.replaces, saved.verified_l, saved.modelled_l) == ("mains water", 210.0, 0.0)
    # 310 L cost 0.2 x 2 + 0.11 x 5 = 0.95; 100 L cost 0.2; the monthly sum is paid either way
    assert saved.money == pytest.approx(0.75)


def test_what_no_meter_counts_is_modelled_and_not_verified(site):
    place, found = of_month(site, MAINS)
    saved = saved_in(place, found, loads=())
    assert (saved.verified_l, saved.modelled_l) == (0.0, 310.0)
    assert saved.verified_money == 0.0
    assert saved.money == pytest.approx(0.95)


def test_loads_are_priced_by_those_that_came(site):
    hauled = np.where(np.arange(31) == 3, 100.0, 0.0)[:, None]
    place, found = of_month(site, Money(load=80.0), metered=10.0, hauled_l=hauled)
    place = replace(place, hauling=(Hauling("tank", 1000.0, 3),))
    came = Load("tank", None, at(1, 4), 100.0, price=10.0)
    saved = saved_in(place, found, loads=[came])
    assert (saved.replaces, saved.verified_l) == ("hauled loads", 210.0)
    # 10 for 100 L; without a paid price 80 for 1,000 L
    assert saved.money == pytest.approx(21.0)
    assert saved_in(place, found, loads=()).money == pytest.approx(16.8)


def test_nothing_is_saved_where_no_water_could_be_bought(site):
    saved = saved_in(*of_month(site, Money(), metered=10.0), loads=())
    assert (saved.replaces, saved.verified_l, saved.money) == ("", 0.0, None)


def test_missed_times_are_counted_by_hand():
    first, day = date(2027, 1, 1), lambda n: date.fromordinal(date(2027, 1, 1).toordinal() + n)
    # every 30 days, late from 37.5: done after 37 in time, after 38 once missed, after 76 twice
    assert _missed([first, day(37)], day(60), every_days=30) == 0
    assert _missed([first, day(38)], day(60), every_days=30) == 1
    assert _missed([first, day(76)], day(80), every_days=30) == 2
    # and not done since: 75 days are two times 37.5
    assert _missed([first], day(75), every_days=30) == 2
    assert _missed([first], day(37), every_days=30) == 0


@pytest.fixture(scope="module")
def year(making, keeping):
    """A year of an invented drinking site with a little of everything."""
    uses = (making.use(end_use="drinking"),)
    site = replace(making.site(uses=uses), log=Log(zone=ZONE, gauges=GAUGES))
    made = design(site, making.record(making.wet_and_dry(3)), today=date(2028, 1, 10))
    entries = [
        Done("look at the tank", at(3, 1), who="Ann Example"),
        Outage("power", at(5, 3, 2), at(5, 3, 9), note="Ann was away"),
        Load("tank", at(8, 1), at(8, 4), 100.0, price=12.0, paper="licence 12"),
        Entered(at(4, 4), WaterTest("E. coli", 2.0, date(2027, 4, 4), tap="kitchen")),
        Entered(at(5, 4), WaterTest("hardness", 20.0, date(2027, 5, 4), below=True)),
    ]
    read = serviced(care_of(made), keeping.InMemory(entries), now=NOW)
    held = 100.0 + 50.0 * np.sin(np.arange(365) / 58.0)
    rain = np.where(np.arange(365) % 10 == 0, 8.0, 0.0)
    log = days("2027-01-01", 365, held=held, rain=rain, metered=8.0)
    return year_of(made, log, read=read, year=2027), made, log, read


@pytest.mark.parametrize("whom", ["owner", "authority"])
def test_the_year_keeps_its_layout(year, whom):
    jsonschema.validate(year_answer(year[0], whom=whom), schema("year"))


def test_the_care_of_the_year(year):
    plain = year_answer(year[0])
    tasks = {one["task"]: one for one in plain["tasks"]}
    assert tasks["look at the tank"]["done"] == ["2027-03-01"]
    # the log begins on 1 March; 305 days to the end of the year hold one time 225 days
    assert tasks["look at the tank"]["missed"] == 1
    tests = {one["of"]: one for one in plain["tests"]}
    assert (tests["E. coli"]["says"], tests["hardness"]["says"]) == ("failed", None)
    assert plain["outages"][0]["hours"] == 7.0
    assert plain["loads"][0]["price"] == 12.0


def test_an_authority_sees_neither_when_nobody_is_there_nor_where(year):
    plain = year_answer(year[0], whom="authority")
    assert (plain["latitude"], plain["longitude"], plain["days_of_level"]) == (None, None, [])
    hidden = ("metered_l", "level_l", "held_l", "hauled_l", "planned_l", "caught_l")
    assert {one[name] for one in plain["months"] for name in hidden} == {None}
    assert "Ann" not in str(plain)
    assert plain["loads"][0]["price"] is None
    # the sum of the year and the tests are what it asks for
    assert plain["total"]["metered_l"] == 8.0 * 365
    assert plain["tests"]


def test_what_the_owner_agrees_to_is_shown(year):
    plain = year_answer(year[0], whom="authority", agreed=["months"])
    assert plain["months"][0]["metered_l"] == 248.0
    assert plain["latitude"] is None
    with pytest.raises(EavewellFault, match="Nobody can agree to 'everything'"):
        year_answer(year[0], whom="authority", agreed=["everything"])


def test_a_year_without_a_log_is_refused(year):
    _, made, log, read = year
    with pytest.raises(EavewellFault, match=r"holds nothing of 2020\. It begins in 2027"):
        year_of(made, log, read=read, year=2020)
    with pytest.raises(EavewellFault, match=r"holds nothing of 9999\. It begins in 2027"):
        year_of(made, log, read=read, year=9999)
    with pytest.raises(EavewellFault, match=r"holds nothing of -5\. It begins in 2027"):
        year_of(made, log, read=read, year=-5)


def text_of(paper):
    pages = PdfReader(io.BytesIO(pdf(paper))).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_the_paper_of_the_owner(year):
    text = text_of(year_paper(year_answer(year[0]), system="metric"))
    assert "The log covers 365 days, from 1 Jan 2027 to 31 Dec 2027." in text
    assert "2,920 L were used by meter" in text
    assert "nothing is saved in money" in text
    assert "A pass is 'no failure found' on its day; it expires." in text
    assert "licence 12" in text


def test_the_paper_of_the_authority(year):
    text = text_of(year_paper(year_answer(year[0], whom="authority"), system="us"))
    assert "for the authority" in text
    assert "are left out" in text
    assert "held at its end" not in text


def test_a_year_without_readings_has_its_care_alone(year):
    plain = year_answer(year[0]) | {"from": None, "to": None}
    text = text_of(year_paper(plain, system="us"))
    assert "No level or meter was read in this year." in text
    assert "look at the tank" in text
    assert "Saved" not in text


def test_the_strip_breaks_where_no_reading_was_near(year):
    plain = year_answer(year[0])
    whole = chart_year(plain, system="us")
    gap = [one for one in plain["days_of_level"] if not "2027-05" <= one["day"] <= "2027-06-31"]
    broken = chart_year(plain | {"days_of_level": gap}, system="us")
    # each piece is one filled shape
    assert broken.count("FillBetween") == whole.count("FillBetween") + 1
    assert chart_year(plain | {"days_of_level": []}, system="us") is None
