"""What is asked of figures that hardly can be; the tank and its log are invented."""

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from eavewell.logbook.readings.meters import NEW_METER
from eavewell.logbook.taken.file import read_file
from eavewell.site.entry import Done, Load, Reading
from eavewell.site.gauge import Gauge, Log
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import Box

ZONE, GAL = "America/Chicago", 3.785411784
MAIN = Tank("main", shape=Box(2.0, 2.0, 3.0), outlet_m=0.1)
HOUSE = Gauge("house", "meter", how="register", unit="gal")
TIPS = Gauge("tips", "rain", how="rain gauge", unit="mm")


@pytest.fixture
def bring(making):
    def read(text, *gauges, zone=ZONE, readings_at=None, tanks=(MAIN,), **more):
        log = Log(zone=zone, gauges=gauges, readings_at=readings_at)
        site = making.site(tanks=tanks, log=log, roofs=(making.roof(100.0, to="main"),))
        data = text if isinstance(text, bytes) else text.encode()
        return read_file(data, site, name="brought.csv", **more)

    return read


# what is doubted: the tank holds 4 m2 x 3 m, its roof is 100 m2


def doubts(brought):
    assert brought.faults == ()
    return [question.says for question in brought.questions]


def test_levels_below_the_floor_and_above_the_rim_are_questioned(bring):
    says = doubts(bring("2026-05-01,41\n2026-05-02,-3\n2026-05-03,182\n", gauge="main", unit="in"))
    assert len(says) == 2
    assert "below the floor" in says[0]
    assert "above the rim" in says[1]


def test_a_rise_within_the_greatest_rain_is_believed(bring):
    # a quarter of an hour: 422 mm x 0.25 ^ 0.475 = 218 mm on 100 m2 are 21,800 L, and 4 m2 that
    # rise by 1.6 m are 6,400 L
    assert doubts(bring(QUARTER.format(2.6), gauge="main", unit="m")) == []


def test_a_rise_on_a_small_roof(making):
    log, roofs = Log(zone=ZONE), (making.roof(10.0, to="main"),)
    site = making.site(tanks=(MAIN,), log=log, roofs=roofs)
    # 10 m2 bring 2,180 L in a quarter of an hour: 0.55 m
    text = b"2026-05-01 07:00,1.0\n2026-05-01 07:15,%s\n"
    found = read_file(text % b"2.0", site, gauge="main", unit="m")
    assert "a rise that no rain, load or make-up explains" in found.questions[0].says
    assert read_file(text % b"1.5", site, gauge="main", unit="m").questions == ()


def test_a_load_explains_a_rise(making, keeping):
    site = making.site(tanks=(MAIN,), log=Log(zone=ZONE), roofs=(making.roof(10.0, to="main"),))
    text = b"2026-05-01 07:00,1.0\n2026-05-01 07:15,2.0\n"
    came = datetime(2026, 5, 1, 7, 10, tzinfo=ZoneInfo(ZONE))
    kept = keeping.InMemory([Load("main", None, came, 4000.0)])
    assert read_file(text, site, gauge="main", unit="m", kept=kept).questions == ()


QUARTER = "2026-05-01 07:00,1.0\n2026-05-01 07:15,{}\n"


def test_a_fall_faster_than_any_draw_is_questioned(bring):
    # 2 L/s for a quarter of an hour are 1,800 L, 0.45 m of 4 m2
    text = QUARTER
    assert "a fall faster" in doubts(bring(text.format(0.4), gauge="main", unit="m"))[0]
    assert doubts(bring(text.format(0.6), gauge="main", unit="m")) == []


def test_rain_of_the_same_file_bounds_a_rise(bring):
    # 2 mm by the gauge may be 2 x 1.3 + 2 = 4.6 mm on 100 m2: 460 L, 0.115 m of 4 m2; and the
    # stick's noise of 5 mm, four times on both readings: 0.028 m
    text = (
        "time,main (m),tips (mm)\n2026-05-01 06:00,,0\n2026-05-01 07:00,1.0,0\n"
        "2026-05-02 07:00,{},2\n"
    )
    assert doubts(bring(text.format(1.14), TIPS)) == []
    assert "a rise that no rain" in doubts(bring(text.format(1.15), TIPS))[0]


def test_rain_that_the_log_knows_bounds_a_rise(making, keeping):
    site = making.site(tanks=(MAIN,), log=Log(zone=ZONE), roofs=(making.roof(100.0, to="main"),))
    dry = [
        Reading("rain", datetime(2026, 5, day, 8, tzinfo=ZoneInfo(ZONE)), 0.0) for day in (1, 2, 3)
    ]
    text = b"2026-05-01 09:00,1.0\n2026-05-02 07:00,1.1\n"
    asked = read_file(text, site, gauge="main", unit="m", kept=keeping.InMemory(dry)).questions
    assert "a rise that no rain" in asked[0].says
    assert (
        read_file(text, site, gauge="main", unit="m", kept=keeping.InMemory(dry[:1])).questions
        == ()
    )


def test_the_reading_before_the_file_counts(making, keeping):
    site = making.site(tanks=(MAIN,), log=Log(zone=ZONE, gauges=(HOUSE,)))
    before = Reading("house", datetime(2026, 4, 30, 7, tzinfo=ZoneInfo(ZONE)), 48_000 * GAL)
    text = b"2026-05-01 07:00,30000\n2026-05-02 07:00,30100\n"
    assert read_file(text, site, gauge="house").questions == ()
    asked = read_file(text, site, gauge="house", kept=keeping.InMemory([before])).questions
    assert "30,000 gal" in asked[0].says


def test_a_counter_taken_for_a_rain_gauge_is_questioned(bring):
    tips = [min(hour, 9) // 3 * 0.2 for _ in range(3) for hour in range(24)]
    rows = "".join(f"2026-05-{1 + k // 24:02d} {k % 24}:00,{mm}\n" for k, mm in enumerate(tips))
    assert "as a counter's do" in doubts(bring(rows, TIPS, gauge="tips"))[0]
    counts = replace(TIPS, how="pulse counter")
    assert doubts(bring(rows, counts, gauge="tips")) == []
    apart = "".join(f"2026-05-{1 + k:02d} 7:00,{k % 4}\n" for k in range(28))
    assert doubts(bring(apart, TIPS, gauge="tips")) == []


def test_more_rain_than_is_believed_is_questioned(bring):
    # 422 mm in an hour is the most that any gauge has seen
    text = "2026-05-01 07:00,0\n2026-05-01 08:00,{}\n"
    assert doubts(bring(text.format(421), TIPS, gauge="tips")) == []
    assert "more rain than is believed" in doubts(bring(text.format(423), TIPS, gauge="tips"))[0]
    assert "less rain than none" in doubts(bring(text.format(-1), TIPS, gauge="tips"))[0]


def test_another_meter_that_the_log_knows_is_not_asked_about(making, keeping):
    site = making.site(tanks=(MAIN,), log=Log(zone=ZONE, gauges=(HOUSE,)))
    text = b"2026-05-01 07:00,48000\n2026-05-02 07:00,30000\n2026-05-03 07:00,30080\n"
    assert read_file(text, site, gauge="house").questions != ()
    done = Done(NEW_METER, datetime(2026, 5, 1, 15, tzinfo=ZoneInfo(ZONE)), thing="house")
    kept = keeping.InMemory([done])
    assert read_file(text, site, gauge="house", kept=kept).questions == ()


def test_many_questions_are_counted(bring):
    rows = "".join(f"2026-05-{k + 1:02d},-9\n" for k in range(30))
    says = doubts(bring(rows, gauge="main", unit="in"))
    assert len(says) == 4
    assert says[-1] == "And 27 more figures of this gauge like these."


def test_questions_tell_the_time_of_the_place(making):
    site = making.site(tanks=(MAIN,), log=Log(zone=ZONE))
    asked = read_file(b"2026-05-01 07:00,-9\n", site, gauge="main", unit="in").questions
    assert asked[0].says == "-9 in at 2026-05-01 07:00 is below the floor of the tank."


def test_what_the_log_holds_already_is_not_asked_about_again(making, keeping):
    site = making.site(tanks=(MAIN,), log=Log(zone=ZONE))
    before = Reading("main", datetime(2026, 4, 30, 7, tzinfo=ZoneInfo(ZONE)), -0.3)
    kept = keeping.InMemory([before])
    text = b"2026-05-01 07:00,1.0\n"
    assert read_file(text, site, gauge="main", unit="m", kept=kept).questions == ()
