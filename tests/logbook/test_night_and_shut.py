"""What runs by night, and the overnight test of a shut tank. Common practice, no source."""

from dataclasses import replace

import numpy as np
import pytest

from eavewell.logbook.kept import Taken
from eavewell.logbook.leaks.leaks import leak_test_on
from eavewell.logbook.leaks.night import night_flow, night_starts
from eavewell.logbook.leaks.shut_test import (
    BadShutTest,
    hours_for,
    shut_plan,
    shut_test,
    which_leaks,
)
from eavewell.site.gauge import Gauge
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import UprightCylinder

ZONE = "America/Chicago"
FEET = 0.3048
GALLON = 3.785411784
FOUR = Tank("main", count=4, shape=UprightCylinder(8 * FEET, 7.5 * FEET))
L_PER_MM = 4 * np.pi / 4 * (8 * FEET) ** 2  # four tanks of 8 ft


def taken(at_utc, value):
    at = np.asarray(at_utc, "datetime64[ms]")
    return Taken(at, np.asarray(value, float), np.arange(at.size))


def quarter_hours(days, flow_l_h):
    """A register read every 15 minutes; flow by local hour, Chicago in winter: UTC less 6 h."""
    at = np.datetime64("2001-01-01T06:00") + np.arange(days * 96) * np.timedelta64(15, "m")
    hour = (np.arange(days * 96) // 4) % 24
    return taken(at, np.cumsum([flow_l_h(h) / 4 for h in hour]))


def awake(hour):
    return 20.0 if 6 <= hour < 23 else 0.0


def test_a_tap_that_runs_all_night_is_seen():
    """3 L/h that never stops is 72 L a day."""
    found = night_flow("meter", quarter_hours(10, lambda h: awake(h) + 3.0), zone=ZONE)
    assert found.runs
    assert (found.ran, found.nights) == (7, 7)
    assert found.l_day == pytest.approx(72.0)


def test_a_house_asleep_is_quiet_and_one_guest_by_night_is_no_leak():
    assert not night_flow("meter", quarter_hours(10, awake), zone=ZONE).runs
    guest = quarter_hours(10, lambda h: awake(h) + (6.0 if h == 2 else 0.0))
    assert not night_flow("meter", guest, zone=ZONE).runs


def test_a_meter_read_once_a_day_says_nothing_of_the_night():
    at = np.datetime64("2001-01-01T13:00") + np.arange(30) * np.timedelta64(1, "D")
    assert night_flow("meter", taken(at, np.arange(30.0) * 300), zone=ZONE) is None


def test_a_meter_set_back_by_night_spoils_that_night_only():
    read = quarter_hours(10, lambda h: awake(h) + 3.0)
    value = read.value.copy()
    value[9 * 96 + 12 :] -= value[9 * 96 + 11]
    found = night_flow("meter", replace(read, value=value), zone=ZONE)
    assert found.runs
    assert found.nights == 7


def pressure(starts_an_hour, hours=24):
    """A saw-tooth between 28 m and 42 m, read every minute."""
    minute = np.arange(hours * 60)
    at = np.datetime64("2001-01-01T06:00") + minute * np.timedelta64(1, "m")
    phase = (minute * starts_an_hour / 60.0) % 1.0
    return taken(at, 42.0 - 14.0 * phase if starts_an_hour else np.full(minute.size, 40.0))


def test_starts_of_a_pump_are_counted_from_its_pressure():
    found = night_starts("pressure", pressure(4), zone=ZONE, middle_m=35.0)
    assert found.starts_h == pytest.approx(4.0, abs=0.3)
    assert found.most_starts_h == pytest.approx(4.0, abs=1.0)
    quiet = night_starts("pressure", pressure(0), zone=ZONE, middle_m=35.0)
    assert quiet.starts_h == 0.0


def test_pressure_read_too_seldom_is_not_judged():
    read = pressure(4)
    assert (
        night_starts(
            "pressure", taken(read.at_utc[::15], read.value[::15]), zone=ZONE, middle_m=35.0
        )
        is None
    )


def test_night_flow_and_night_starts_become_findings(simulated, keeping):
    site = simulated.whole_house()
    gauge = Gauge("pressure", "pressure", of="house water", how="pressure gauge")
    site = replace(site, log=replace(site.log, gauges=(*site.log.gauges, gauge)))
    days = simulated.weather(0.2)
    made = simulated.simulate(site, days)
    meter, head = quarter_hours(10, lambda h: awake(h) + 3.0), pressure(20)
    kept = keeping.InMemory().add_arrays("house meter", meter.at_utc, meter.value)
    kept.add_arrays("pressure", head.at_utc, head.value)
    found = leak_test_on(site, made.log, expected=simulated.expected(site, days), kept=kept)
    by_code = {one.code: one for one in found.findings}
    assert by_code["night-flow"].measured == pytest.approx(72.0)
    assert by_code["pump-starts-by-night"].measured == pytest.approx(20.0, abs=1.0)
    assert by_code["pump-cycles"].limit == 15.0


def test_what_an_overnight_test_can_show():
    """(3.3 + 1.645) x 5 mm x sqrt(2 / 3) = 20.2 mm over 12 hours."""
    plan = shut_plan(FOUR, level_m=1.0, noise_m=0.005)
    assert plan.limit_m == pytest.approx(4.945 * 0.005 * np.sqrt(2 / 3))
    assert plan.limit_l_day == pytest.approx(plan.limit_m * 1000 * L_PER_MM * 2)
    hours = hours_for(FOUR, 40 * GALLON, level_m=1.0, noise_m=0.005)
    assert hours == pytest.approx(24 * plan.limit_m * 1000 * L_PER_MM / (40 * GALLON))


def test_a_shut_tank_that_falls_leaks():
    found = shut_test(
        FOUR, [1.500, 1.502, 1.498], after_m=[1.48, 1.481, 1.479], hours=12, noise_m=0.002
    )
    assert found.leaks
    assert found.l_day == pytest.approx(20 * L_PER_MM * 2)
    assert found.low_l_day < found.l_day < found.high_l_day
    alone = shut_test(FOUR, [1.5] * 3, after_m=[1.48] * 3, hours=12, noise_m=0.002, alone=True)
    assert alone.l_day == pytest.approx(found.l_day / 4)


def test_isolating_each_tank_in_turn_localises_the_leak(simulated):
    """Four tanks shut off for two days, the third loses 40 L a day; seeded, 200 times."""
    one_mm, rng, right = L_PER_MM / 4, np.random.default_rng(5), 0
    for _ in range(200):
        tests = []
        for k in range(4):
            fall_m = 0.001 * 2 * 40.0 / one_mm if k == 2 else 0.0
            before, after = (
                (level + rng.normal(0, 0.002, 3)).tolist() for level in (1.5, 1.5 - fall_m)
            )
            row = replace(FOUR, name=f"tank {k + 1}")
            tests.append(shut_test(row, before, after_m=after, hours=48, noise_m=0.002, alone=True))
        says = which_leaks(tests, system="metric")
        right += says.startswith("It is 'tank 3' (") and "others lose less" in says
    simulated.count(
        "one of four tanks that leaks 40 L/day put to it, stick 2 mm, 48 h", f"{right} of 200"
    )
    assert right >= 0.95 * 200
    none = [shut_test(FOUR, [1.5], after_m=[1.5], hours=12, noise_m=0.005)] * 2
    assert "behind the outlets" in which_leaks(none, system="us")


def test_a_shut_tank_that_stands_still_states_its_limit():
    found = shut_test(FOUR, [1.5], after_m=[1.495], hours=12, noise_m=0.005)
    assert not found.leaks
    assert found.limit_l_day == pytest.approx(4.945 * 5 * np.sqrt(2) * L_PER_MM * 2)


def test_shut_tests_are_right_as_often_as_stated(simulated):
    """Seeded: 1,000 tests without a leak, 1,000 with a leak as large as the limit."""
    rng, trials = np.random.default_rng(7), 1000
    limit_m = shut_plan(FOUR, level_m=1.5, noise_m=0.005).limit_m

    def calls(fall_m):
        return sum(
            shut_test(
                FOUR,
                (1.5 + rng.normal(0, 0.005, 3)).tolist(),
                after_m=(1.5 - fall_m + rng.normal(0, 0.005, 3)).tolist(),
                hours=12,
                noise_m=0.005,
            ).leaks
            for _ in range(trials)
        )

    false, found = calls(0.0), calls(limit_m)
    simulated.count("overnight test, no leak: called one", f"{false} of {trials}")
    simulated.count("overnight test, leak as large as its limit: found", f"{found} of {trials}")
    assert false <= 3
    assert found >= 0.93 * trials


def test_readings_that_say_nothing_are_refused():
    with pytest.raises(BadShutTest, match="once before and once after"):
        shut_test(FOUR, [], after_m=[1.0], hours=12, noise_m=0.005)
    with pytest.raises(BadShutTest, match="hours"):
        shut_test(FOUR, [1.0], after_m=[1.0], hours=0, noise_m=0.005)
    with pytest.raises(BadShutTest, match="shape is not known"):
        shut_test(Tank("box", stated_l=900.0), [1.0], after_m=[1.0], hours=12, noise_m=0.005)
