"""The daily log by hand, by law, and against a simulated truth; every site here is invented."""

from dataclasses import fields, replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.logbook.daily_log import DailyLog
from eavewell.logbook.readings.daily import daily_log
from eavewell.logbook.readings.day_sums import summed
from eavewell.logbook.readings.meters import NEW_METER
from eavewell.site.entry import Done, Load, Reading
from eavewell.site.gauge import Gauge, Log
from eavewell.site.lift import Lift
from eavewell.site.line import Line
from eavewell.site.pipe import Pipe
from eavewell.site.pump import Pump
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import Box

ZONE = "America/Chicago"
CHICAGO = ZoneInfo(ZONE)
# a tank of 1 m2: a millimetre is a litre; 100 L of them below the outlet
MAIN = Tank("main", shape=Box(1.0, 1.0, 3.0), outlet_m=0.1)
HOUSE = Gauge("house", "meter", how="register", unit="L")
# of what is used from seven to seven, the part before midnight: 17 of 24 hours where it is even;
# by a household's day 95 % in its 17 hours from 6 to 23 and 5 % in its 7 of night, so
# 0.95 x 16 / 17 + 0.05 x 1 / 7 = 0.90126; half way 0.80480, and half of what they differ 0.09646
EVEN, HALF_WAY, OFF = 17 / 24, 0.804797, 0.096464
LATE = datetime(2026, 6, 30, tzinfo=CHICAGO)


def at(day, hour=7.0, month=5):
    whole = datetime(2026, month, day, tzinfo=CHICAGO)
    return whole + timedelta(hours=hour)


def site(making, *gauges, tanks=(MAIN,), **more):
    return making.site(tanks=tanks, log=Log(zone=ZONE, gauges=gauges), **more)


def sticks(levels, first=1, hour=7.0):
    return [Reading("main", at(first + k, hour), level) for k, level in enumerate(levels)]


def test_midnight_lies_between_two_mornings(making, keeping):
    kept = keeping.InMemory(sticks([1.50, 1.26, 1.26]))
    log = daily_log(site(making), kept, until=LATE)
    assert log.dates.tolist() == [date(2026, 5, 1), date(2026, 5, 2), date(2026, 5, 3)]
    assert log.tanks == ("main",)
    # 1400 L above the outlet, less so much of the 240 L as was drawn by midnight
    assert np.isnan(log.held_l[0, 0])
    assert log.held_l[1, 0] == pytest.approx(1400.0 - 240.0 * HALF_WAY)
    # on the third morning nothing has changed: 240 L were drawn, for all that is known, and as
    # much rain came, evenly likely at any moment
    assert log.held_l[2, 0] == pytest.approx(1160.0 - 240.0 * HALF_WAY + 240.0 * EVEN)
    assert log.read.all()


def test_its_error_is_that_of_both_sticks_of_uneven_use_and_of_the_moment_of_rain(making, keeping):
    log = daily_log(site(making), keeping.InMemory(sticks([1.50, 1.26, 1.26])), until=LATE)
    own = 25.0 * ((1 - HALF_WAY) ** 2 + HALF_WAY**2)
    # daily use varies by 30 %, and half of what the two shares differ is unknown
    uneven = 0.3**2 * HALF_WAY * (1 - HALF_WAY) + OFF**2
    # of the square of a fall of 240 L, 2 x 25 are noise
    expected = own + (240.0**2 - 50.0) * uneven
    assert log.held_sd_l[1, 0] == pytest.approx(expected**0.5, rel=1e-5)
    # a step of 240 L at an even moment: 240 x sqrt(17/24 x 7/24)
    own = 25.0 * ((1 - EVEN) ** 2 + EVEN**2)
    expected = own + 240.0**2 * (uneven + EVEN * (1 - EVEN))
    assert log.held_sd_l[2, 0] == pytest.approx(expected**0.5, rel=1e-5)


def test_where_the_gauge_says_that_it_did_not_rain_nothing_was_drawn(making, keeping):
    dry = [Reading("rain", at(day, 0.0), 0.0) for day in range(1, 7)]
    kept = keeping.InMemory([*sticks([1.50, 1.26, 1.26]), *dry])
    log = daily_log(site(making), kept, until=LATE)
    assert log.held_l[1:3, 0] == pytest.approx([1400.0 - 240.0 * HALF_WAY, 1160.0])
    own = 25.0 * ((1 - HALF_WAY) ** 2 + HALF_WAY**2)
    assert log.held_sd_l[2, 0] == pytest.approx(own**0.5, rel=1e-5)


def test_rain_may_have_come_at_any_moment_between_two_sticks(making, keeping):
    log = daily_log(site(making), keeping.InMemory(sticks([1.0, 1.5])), until=LATE)
    own = 25.0 * ((1 - EVEN) ** 2 + EVEN**2)
    assert log.held_l[1, 0] == pytest.approx(900 + 500 * EVEN)
    assert log.held_sd_l[1, 0] == pytest.approx((own + 500.0**2 * EVEN * (1 - EVEN)) ** 0.5)


def test_readings_too_far_apart_leave_the_days_between_unknown(making, keeping):
    kept = keeping.InMemory([*sticks([1.0, 0.9]), *sticks([0.8, 0.7], first=12)])
    log = daily_log(site(making), kept, until=LATE)
    assert np.isfinite(log.held_l[:, 0]).tolist() == [False, True, *[False] * 10, True]
    assert log.read.tolist() == [True, True, *[False] * 9, True, True]


def test_a_stick_read_once_a_week_tells_the_days_between_less_surely(making, keeping):
    weeks = [*sticks([1.6]), *sticks([1.5], first=8), *sticks([1.4], first=15)]
    log = daily_log(site(making), keeping.InMemory(weeks), until=LATE)
    held, sd = log.held_l[1:, 0], log.held_sd_l[1:, 0]
    assert np.isfinite(held).all()
    # 100 L a week and nothing else: every midnight lies on the line, half a day's use apart at most
    line = 1600.0 - 100.0 - 100.0 / 7.0 * (np.arange(held.size) + 1.0)
    assert np.abs(held - line).max() < 100.0 / 7.0
    assert sd[3] > sd[0] > 0.0


def test_a_lone_slip_of_the_pen_is_left_out(making, keeping):
    log = daily_log(
        site(making), keeping.InMemory(sticks([1.50, 1.48, 4.16, 1.44, 1.42])), until=LATE
    )
    odd = daily_log(
        site(making), keeping.InMemory(sticks([1.50, 1.48, 2.46, 1.44, 1.42])), until=LATE
    )
    for one in (log, odd):
        # as if the middle stick had not been read: 40 mm in two days
        shares = [HALF_WAY / 2, (1 + HALF_WAY) / 2]
        expected = [1480 - 40 * share for share in shares]
        assert one.held_l[2:4, 0] == pytest.approx(np.array(expected) - 100.0)


def test_a_storm_that_stays_is_no_slip(making, keeping):
    log = daily_log(
        site(making), keeping.InMemory(sticks([1.50, 1.48, 2.46, 2.44, 2.42])), until=LATE
    )
    assert log.held_l[3, 0] == pytest.approx(2460 - 20 * HALF_WAY - 100)


def test_a_sensor_in_its_blind_zone_says_at_least(making, keeping):
    eye = Gauge("eye", "level", of="main", how="ultrasonic", zero_m=3.2, blind_m=0.5)
    hours = [Reading("eye", at(1, k / 2), 0.4) for k in range(96)]
    log = daily_log(site(making, eye), keeping.InMemory(hours), until=LATE)
    # from 2.7 m to the rim of 3.0 m: 2.85 m, less the dead 0.1 m; 300 L over the root of 12
    assert log.held_l[1, 0] == pytest.approx(2750.0)
    assert log.held_sd_l[1, 0] == pytest.approx(300 / 12**0.5, rel=0.01)


def test_many_readings_are_better_than_one(making, keeping):
    eye = Gauge("eye", "level", of="main", how="ultrasonic", zero_m=3.2, noise=0.01)
    quarters = [Reading("eye", at(1, k / 4), 2.0) for k in range(192)]
    log = daily_log(site(making, eye), keeping.InMemory(quarters), until=LATE)
    # 12 quarters before midnight, 12 after: medians 1.2533 x 10 / sqrt(12) = 3.62 L; two of them
    # 2.56 L, and a little more as midnight does not weigh them alike
    assert 2.55 < log.held_sd_l[1, 0] < 2.8


def test_two_gauges_count_by_their_errors_and_widen_where_they_differ(making, keeping):
    tube = Gauge("tube", "level", of="main", how="sight tube")
    eye = Gauge("eye", "level", of="main", how="pressure sensor", noise=0.01)
    both = [
        Reading(name, at(day), 1.0 + up)
        for name, up in (("tube", 0), ("eye", 0.005))
        for day in (1, 2)
    ]
    log = daily_log(site(making, tube, eye), keeping.InMemory(both), until=LATE)
    # weights 4 to 1: 900 + 5 / 5 = 901 L
    assert log.held_l[1, 0] == pytest.approx(901.0)
    share = ((1 - HALF_WAY) ** 2 + HALF_WAY**2) ** 0.5
    assert log.held_sd_l[1, 0] == pytest.approx(share / (1 / 25 + 1 / 100) ** 0.5)
    apart = [replace(one, value=one.value + 0.195 * (one.gauge == "eye")) for one in both]
    wide = daily_log(site(making, tube, eye), keeping.InMemory(apart), until=LATE)
    assert wide.held_sd_l[1, 0] > 10 * log.held_sd_l[1, 0]


def test_a_meter_read_each_morning(making, keeping):
    kept = keeping.InMemory(
        [Reading("house", at(day), 5000.0 + 240 * (day - 1)) for day in range(1, 5)]
    )
    log = daily_log(site(making, HOUSE), kept, until=LATE)
    assert log.meters == ("house",)
    assert np.isnan(log.metered_l[[0, 3], 0]).all()  # neither day is whole
    assert log.metered_l[1:3, 0] == pytest.approx([240.0, 240.0])
    assert log.spread_days[:, 0].tolist() == [1, 1, 1, 1]


def test_a_meter_read_each_week_is_spread_and_says_so(making, keeping):
    kept = keeping.InMemory(
        [Reading("house", at(day, 0.0), litres) for day, litres in ((1, 0), (8, 1400), (15, 2100))]
    )
    log = daily_log(site(making, HOUSE), kept, until=LATE)
    assert log.metered_l[:14, 0] == pytest.approx([200.0] * 7 + [100.0] * 7)
    assert log.spread_days[:14, 0].tolist() == [7.0] * 14


def test_a_day_with_an_unknown_use_is_unknown(making, keeping):
    kept = keeping.InMemory(
        [
            Done(NEW_METER, at(3, 9.0), thing="house"),
            *(
                Reading("house", at(day, 0.0), litres)
                for day, litres in enumerate((100, 300, 500, 20, 220), start=1)
            ),
        ]
    )
    log = daily_log(site(making, HOUSE), kept, until=LATE)
    assert log.metered_l[[0, 1, 3], 0].tolist() == [200, 200, 200]
    assert np.isnan(log.metered_l[2, 0])


def test_what_a_large_pump_passes_is_believed(making, keeping):
    # 4 L/s all day are 345,600 L: more than the 172,800 L that a household's meter passes
    kept = keeping.InMemory(
        [Reading("house", at(1, k / 4), 3600.0 * min(k, 96)) for k in range(24 * 4 * 2)]
    )
    pump = Pump("field", "submersible", curve=((0.0, 30.0), (4.0, 5.0)))
    line = Line("field", "main", Pipe(50.0, 30.0), pump=pump)
    meter = replace(HOUSE, of="field")
    small = daily_log(site(making, meter), kept, until=LATE)
    assert np.isnan(small.metered_l[0, 0])
    large = daily_log(site(making, meter, lines=(line,)), kept, until=LATE)
    assert large.metered_l[0, 0] == pytest.approx(345_600.0)


def test_days_of_23_and_25_hours_are_marked_and_keep_their_litres(making, keeping):
    start = datetime(2026, 3, 6, tzinfo=CHICAGO).astimezone(UTC)
    kept = keeping.InMemory(
        [Reading("house", start + timedelta(hours=k), 10.0 * k) for k in range(24 * 5)]
    )
    log = daily_log(site(making, HOUSE), kept, until=LATE)
    assert log.spans_dst.tolist() == [False, False, True, False, False, False][: log.days]
    assert log.metered_l[:4, 0] == pytest.approx([240, 240, 230, 240])


def test_loads_make_up_and_rain(making, keeping):
    top_up = Gauge("top-up", "make-up", of="main", how="register", unit="L")
    kept = keeping.InMemory(
        [
            Load("main", None, at(2, 15.0), 7000.0),
            Load("main", at(3), None, 7000.0),  # ordered, not come
            *(Reading("top-up", at(day, 0.0), 50.0 * day) for day in (1, 2, 3)),
            *(Reading("rain", at(day), depth) for day, depth in ((1, 3), (2, 0), (3, 12), (4, 5))),
        ]
    )
    log = daily_log(site(making, top_up), kept, until=LATE)
    assert log.hauled_l[:, 0].tolist() == [0, 7000, 0, 0]
    assert log.make_up_l[:2].tolist() == [50, 50]
    # what is emptied on the third morning fell mostly on the second
    assert log.rain_mm[1:3].tolist() == [12, 5]
    assert np.isnan(log.rain_mm[[0, 3]]).all()


def test_rain_gathered_over_days_is_of_no_one_day_but_none_is_none(making, keeping):
    kept = keeping.InMemory(
        [Reading("rain", at(day), depth) for day, depth in ((1, 0), (4, 0), (8, 20), (9, 1))]
    )
    rain = daily_log(site(making), kept, until=LATE).rain_mm
    assert rain[1:3].tolist() == [0, 0]
    assert np.isnan(rain[3:7]).all()


def test_a_counter_of_tips_that_begins_anew_each_midnight(making, keeping):
    tips = Gauge("tips", "rain", how="pulse counter", unit="mm")
    hours = [
        Reading("tips", at(day, hour), (2.0 * day) * min(hour, 6) / 6)
        for day in range(1, 5)
        for hour in range(24)
    ]
    rain = daily_log(site(making, tips), keeping.InMemory(hours), until=LATE).rain_mm
    assert rain[1:3] == pytest.approx([4.0, 6.0])


def test_make_up_that_is_built_and_not_metered_is_unknown(making, keeping):
    kept = keeping.InMemory(sticks([1.0, 0.9]))
    assert daily_log(site(making), kept, until=LATE).make_up_l.tolist() == [0, 0]
    lifts = (Lift("city", "mains", "main"),)
    unknown = daily_log(site(making, lifts=lifts), kept, until=LATE).make_up_l
    assert np.isnan(unknown).all()


def test_a_tank_of_unknown_shape_stays_unknown(making, keeping):
    plain = Tank("main", stated_l=5000.0)
    log = daily_log(site(making, tanks=(plain,)), keeping.InMemory(sticks([1, 0.9])), until=LATE)
    assert np.isnan(log.held_l).all()
    assert log.read.all()


def test_nothing_read_is_no_day(making, keeping):
    log = daily_log(site(making), keeping.InMemory(), until=LATE)
    assert (log.days, log.held_l.shape, log.meters) == (0, (0, 1), ())


def test_nothing_is_taken_from_after_the_instant_asked_about(making, keeping):
    kept = keeping.InMemory(sticks([1.5, 1.4, 1.3, 1.2]))
    before = daily_log(site(making), keeping.InMemory(sticks([1.5, 1.4])), until=LATE)
    same(daily_log(site(making), kept, until=at(3, 6.0)), before)


def test_a_part_of_the_log_is_the_same_as_the_whole_there(making, keeping):
    levels = 1.5 - 0.02 * np.arange(30)
    kept = keeping.InMemory(
        [*sticks(levels), *(Reading("house", at(k + 1), 100.0 * k) for k in range(30))]
    )
    made = site(making, HOUSE)
    whole = daily_log(made, kept, until=LATE)
    part = daily_log(made, kept, until=LATE, since=at(20, 0.0))
    assert part.dates[0].item() == date(2026, 5, 20)
    for one in fields(DailyLog):
        if one.name not in ("tanks", "meters"):
            np.testing.assert_allclose(
                getattr(part, one.name).astype(float)[:-1],
                getattr(whole, one.name).astype(float)[19:-1],
            )


def same(a, b):
    for one in fields(DailyLog):
        mine, other = getattr(a, one.name), getattr(b, one.name)
        if one.name in ("tanks", "meters"):
            assert mine == other
        else:
            np.testing.assert_array_equal(mine, other)


def entries(seed):
    rng = np.random.default_rng(seed)
    hours = np.sort(rng.choice(24 * 12, size=60, replace=False))
    total = np.cumsum(rng.integers(0, 90, size=60))
    found = [Reading("main", at(1, float(h)), 1.5 - 0.004 * h) for h in hours[::2]]
    found += [
        Reading("house", at(1, float(h)), float(c)) for h, c in zip(hours, total, strict=True)
    ]
    found += [Reading("rain", at(1, float(h)), float(rng.integers(0, 9))) for h in hours[::5]]
    return [*found, Load("main", None, at(4, 3.0), 900.0)]


@given(st.integers(0, 50), st.randoms(use_true_random=False))
@settings(max_examples=40)
def test_the_order_in_which_it_came_does_not_matter(making, keeping, seed, chance):
    made, listed = site(making, HOUSE), entries(seed)
    shuffled = list(listed)
    chance.shuffle(shuffled)
    same(
        daily_log(made, keeping.InMemory(listed), until=LATE),
        daily_log(made, keeping.InMemory(shuffled), until=LATE),
    )


@given(st.integers(0, 200))
@settings(max_examples=40)
def test_a_store_that_keeps_daily_sums_tells_the_same(making, keeping, seed):
    class ByDay(keeping.InMemory):
        def day_sums(self, gauge, since=None, until=None):
            return summed(self.readings(gauge, since, until), ZONE)

    made, listed = site(making, HOUSE), entries(seed)
    rng = np.random.default_rng(seed)
    # a reset, and an end in the middle of a day
    anew, until = at(1, float(rng.uniform(20, 280))), at(1, float(rng.uniform(100, 300)))
    listed = [
        replace(one, value=one.value / 50) if one.gauge == "house" and one.at > anew else one
        for one in listed
        if isinstance(one, Reading)
    ]
    same(
        daily_log(made, keeping.InMemory(listed), until=until),
        daily_log(made, ByDay(listed), until=until),
    )


def test_a_meter_read_at_seven_counts_most_of_a_day_before_midnight(making, keeping):
    kept = keeping.InMemory(
        [
            Reading("house", at(day), litres)
            for day, litres in ((1, 0), (2, 100), (3, 400), (4, 500))
        ]
    )
    log = daily_log(site(making, HOUSE), kept, until=LATE)
    # of 300 L that were drawn from the second morning to the third
    expected = [100 * (1 - HALF_WAY) + 300 * HALF_WAY, 300 * (1 - HALF_WAY) + 100 * HALF_WAY]
    assert log.metered_l[1:3, 0] == pytest.approx(expected, rel=1e-5)
