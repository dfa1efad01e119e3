"""Files of readings in the layouts that people and machines write; every figure is invented."""

import gzip
import re
from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.logbook.taken.file import read_file
from eavewell.site.entry import Reading
from eavewell.site.gauge import Gauge, KnownLevel, Log
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import Box

ZONE = "America/Chicago"
GAL, CCF, INCH = 3.785411784, 2831.6846592, 0.0254
MAIN = Tank("main", shape=Box(2.0, 2.0, 3.0), outlet_m=0.1)
EYE = Gauge("barn tank", "level", of="main", how="ultrasonic", zero_m=3.2, unit="cm")
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


def utc(many):
    return [str(at)[:16] for at in many.at_utc]


def only(brought):
    assert brought.faults == ()
    (many,) = brought.readings
    return many


def fault(brought):
    assert brought.readings == ()
    return " / ".join(map(str, brought.faults))


def test_dates_and_inches_for_one_gauge(bring):
    many = only(bring("date,reading (in)\n2026-05-01,41\n2026-05-02,40.5\n", gauge="main"))
    assert many.gauge == "main"
    assert many.value == pytest.approx([41 * INCH, 40.5 * INCH])
    # no time of day: midday by the clock is 17:00 of universal time in summer
    assert utc(many) == ["2026-05-01T17:00", "2026-05-02T17:00"]
    assert many.said == ("41", "40.5")
    assert many.zone == ZONE


def test_the_hour_of_the_sites_readings_is_taken_where_none_is_told(bring):
    brought = bring("2026-05-01,41 in\n", gauge="main", readings_at=7.5)
    assert utc(only(brought)) == ["2026-05-01T12:30"]
    assert "Its rows tell no time of day: taken as 7:30." in brought.notes


def test_cells_with_their_own_units(bring):
    text = "date,level\n2026-05-01,41 in\n2026-05-02,3 ft 5 in\n2026-05-03,1.04 m\n"
    assert only(bring(text, gauge="main")).value == pytest.approx([1.0414, 1.0414, 1.04])


@pytest.mark.parametrize(
    "text",
    [
        "date,time,reading\n05/13/2026,7:30 AM,100\n05/14/2026,7:30 PM,110\n",
        "13.05.2026 07:30;100\n14.05.2026 19:30;110\n",
        "14 May 2026 19:30,110\n13 May 2026 07:30,100\n",
        "2026/05/14 19:30\t110\n2026/05/13 07:30\t100\n",
        "when,reading\n2026-05-13T12:30:00Z,100\n2026-05-15T00:30:00Z,110\n",
        "when,reading\n2026-05-13T07:30:00.250-05:00,100\n2026-05-14T19:30:00.250-05:00,110\n",
        "when,reading\n1778675400,100\n1778805000,110\n",
        "when,reading\n1778675400000,100\n1778805000000,110\n",
        '"May 13, 2026 7:30 AM","100"\n"May 14, 2026 7:30 PM","110"\n',
        "# from the cellar\n\nwhen,reading\n2026-05-13 07:30,100\n\n2026-05-14 19:30,110\n",
        "Meter of the barn\nread at,reading\n2026-05-13 07:30,100\n2026-05-14 19:30,110\n",
    ],
)
def test_dates_and_times_as_people_write_them(bring, text):
    many = only(bring(text, HOUSE, gauge="house"))
    assert utc(many) == ["2026-05-13T12:30", "2026-05-15T00:30"]
    assert many.value == pytest.approx([100 * GAL, 110 * GAL])


def test_a_day_that_could_be_a_month_is_refused(bring):
    says = fault(bring("date,reading\n05/04/2026,100\n06/04/2026,110\n", HOUSE, gauge="house"))
    assert "No date tells day from month" in says


def test_one_date_past_twelve_tells_for_all(bring):
    text = "date,reading\n05/04/2026,100\n13/04/2026,110\n"
    assert utc(only(bring(text, HOUSE, gauge="house")))[0] == "2026-04-05T17:00"


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        (("1,5", "12,25"), (1.5, 12.25)),
        (("1.234,5", "1.240,5"), (1234.5, 1240.5)),
        (("1,234.5", "1,240.5"), (1234.5, 1240.5)),
        (("1,234,567", "1,234,600"), (1234567, 1234600)),
        (("0,500", "1,500"), (0.5, 1.5)),
    ],
)
def test_commas_that_can_mean_one_thing(bring, cells, expected):
    text = "when;reading\n" + "".join(
        f"2026-05-{13 + k} 07:30;{cell}\n" for k, cell in enumerate(cells)
    )
    many = only(bring(text, replace(HOUSE, unit="L"), gauge="house"))
    assert many.value == pytest.approx(expected)


def test_a_comma_that_could_mean_two_things_is_asked(bring):
    text = "when;reading\n2026-05-13 07:30;1,234\n2026-05-14 07:30;1,240\n"
    assert "thousands or decimals" in fault(bring(text, HOUSE, gauge="house"))


def test_commas_between_cells_leave_commas_in_cells_to_thousands_and_say_so(bring):
    text = 'when,reading\n2026-05-13 07:30,"1,234"\n2026-05-14 07:30,"1,240"\n'
    brought = bring(text, replace(HOUSE, unit="L"), gauge="house")
    assert only(brought).value.tolist() == [1234, 1240]
    assert "house: commas before three figures were taken to part thousands." in brought.notes


def test_commas_that_contradict_each_other_are_asked(bring):
    text = "when;reading\n2026-05-13 07:30;1,5\n2026-05-14 07:30;1,240,000\n"
    assert "marks decimals and in" in fault(bring(text, HOUSE, gauge="house"))


def test_a_gauge_to_a_column(bring):
    text = (
        "time,Barn tank (in),house meter [L],tips_mm,battery (%)\n"
        "2026-05-01 07:00,40,1000,0.2,88\n2026-05-01 08:00,41,1010,,87\n"
    )
    brought = bring(text, EYE, HOUSE, TIPS)
    found = {many.gauge: many for many in brought.readings}
    assert found["barn tank"].value == pytest.approx([40 * INCH, 41 * INCH])
    assert found["house"].value == pytest.approx([1000, 1010])
    assert found["tips"].value == pytest.approx([0.2])
    assert "tips: 1 row without a figure, left out." in brought.notes
    assert "Left out, as of no gauge of the site: battery (%)." in brought.notes


def test_a_gauge_to_a_row(bring):
    text = (
        "gauge,time,value\nbarn tank,2026-05-01 07:00,100\nhouse,2026-05-01 07:00,5\n"
        "barn tank,2026-05-01 08:00,99\n"
    )
    found = {many.gauge: many for many in bring(text, EYE, HOUSE).readings}
    assert found["barn tank"].value == pytest.approx([1.0, 0.99])
    assert found["house"].value == pytest.approx([5 * GAL])


def test_a_gauge_to_a_row_without_a_heading_and_with_units(bring):
    text = "2026-05-01 07:00,house,5\n2026-05-01 07:05,barn tank,100\n"
    found = {one.gauge: one.value for one in bring(text, EYE, HOUSE).entries}
    assert found == pytest.approx({"house": 5 * GAL, "barn tank": 1.0})
    text = "gauge,time,value,unit\nhouse,2026-05-01 07:00,5,L\nhouse,2026-05-02 07:00,2,gal\n"
    brought = bring(text, EYE, HOUSE)
    assert sorted(one.value for one in brought.entries) == pytest.approx([5, 2 * GAL])


HISTORY = """entity_id,state,last_changed
sensor.barn_tank_distance,150.0,2026-05-01T12:00:00.123Z
sensor.barn_tank_distance,unavailable,2026-05-01T12:15:00.000Z
sensor.house_water_meter,4821,2026-05-01T12:00:03.000Z
sensor.barn_tank_distance,unknown,2026-05-01T12:20:00.000Z
sensor.barn_tank_distance,151.0,2026-05-01T12:30:00.000Z
sensor.kitchen_humidity,44,2026-05-01T12:30:00.000Z
"""


def test_a_history_of_states(bring):
    brought = bring(HISTORY, EYE, HOUSE)
    found = {many.gauge: many for many in brought.readings}
    assert found["barn tank"].value == pytest.approx([1.50, 1.51])
    assert utc(found["barn tank"]) == ["2026-05-01T12:00", "2026-05-01T12:30"]
    assert found["house"].value == pytest.approx([4821 * GAL])
    assert "barn tank: 2 rows without a figure, left out." in brought.notes
    assert "Left out, as of no gauge of the site: sensor.kitchen_humidity (1)." in brought.notes


def test_names_of_another_household_are_said_outright(bring):
    text = HISTORY.replace("sensor.barn_tank_distance", "sensor.esp_7c_d")
    named = {"sensor.esp_7c_d": "barn tank"}
    brought = bring(text, EYE, HOUSE, gauge=named)
    assert {many.gauge for many in brought.readings} == {"barn tank", "house"}


def test_names_of_no_gauge_are_refused_with_those_that_are(bring):
    text = "entity_id,state,last_changed\nsensor.esp,1,2026-05-01T12:00:00Z\n"
    says = fault(bring(text, EYE))
    assert "sensor.esp (1)" in says
    assert "'barn tank'" in says


@pytest.mark.parametrize(
    ("heading", "each"),
    [("Reading (CCF)", CCF), ("Meter reading (kgal)", 1000 * GAL), ("Reading [m3]", 1000.0)],
)
def test_a_bills_readings_in_the_bills_unit(bring, heading, each):
    text = (
        f"Account 00-0000,Quailwater\nRead date,{heading},Usage,Amount\n"
        "01/31/2026,412,3,$18.20\n02/28/2026,415,3,$18.20\n"
    )
    brought = bring(text, HOUSE)
    assert only(brought).value == pytest.approx([412 * each, 415 * each])
    assert only(brought).gauge == "house"


def test_a_bill_that_tells_only_the_use_is_refused(bring):
    says = fault(bring("Read date,Usage (kgal)\n2026-01-31,3\n2026-02-28,3\n", HOUSE))
    assert "not the figure that stands on the meter" in says


def test_a_unit_that_is_missing_or_wrong_is_refused(bring):
    text = "date,reading\n2026-05-01,41\n"
    assert "unit of its figures is not said" in fault(bring(text, gauge="main"))
    assert "unit of its figures" not in str(bring(text, gauge="main", unit="in").faults)
    assert "volume" in fault(bring(text, gauge="main", unit="gal"))


def test_figures_of_any_unit_whose_meaning_known_levels_tell(bring):
    probe = Gauge("probe", "level", of="main", unit="mA", zero_m=None, how="pressure sensor",
                  known_levels=(KnownLevel(4, 0.0), KnownLevel(20, 4.0)))  # fmt: skip
    assert only(bring("2026-05-01,12.5\n", probe, gauge="probe")).value.tolist() == [12.5]


def test_pulses_are_litres(bring):
    pulses = Gauge("pump", "meter", how="pulse counter", per_pulse_l=10.0)
    assert only(bring("2026-05-01,125\n", pulses, gauge="pump")).value.tolist() == [1250.0]


def test_temperatures_in_fahrenheit(bring):
    air = Gauge("air", "temperature", of="main", unit="F")
    assert only(bring("2026-05-01,50\n", air, gauge="air")).value == pytest.approx([10.0])


def test_every_unreadable_row_is_told_with_its_line(bring):
    text = "date,reading (in)\n2026-05-01,41\n2026-05-02,wet\n2026-05-03,40\n2026-05-04,4l\n"
    brought = bring(text, gauge="main")
    assert [one.line for one in brought.faults] == [3, 5]
    assert "main: wet has no number" in brought.faults[0].says or "wet" in brought.faults[0].says
    text = "date,reading (in)\n2026-05-01,41\n2026-02-30,40\n"
    assert [one.line for one in bring(text, gauge="main").faults] == [3]
    text = "date,time,reading (in)\n2026-05-01,7:30,41\n2026-05-02,27:30,41\n"
    assert "no time of day" in fault(bring(text, gauge="main"))


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b"\n \n", "is empty"),
        (b"a,b\nc,d\n", "No row with a date"),
        (b"PK\x03\x04" + b"x" * 30, "spreadsheet"),
        (b"ab\x00cd", "not a text file"),
        (gzip.compress(b"2026-05-01,4\n" * 5000, mtime=0)[:60], "cut off"),
        (b'when,reading\n2026-05-01,"4\n2026-05-02,5\n', "quotation mark|cannot be parted"),
        (b"date,note\n2026-05-01,dry\n", "No column of figures"),
        (b"date,up,down\n2026-05-01,4,5\n", "not plain among"),
    ],
)
def test_files_that_cannot_be_read_say_why(bring, data, words):
    brought = bring(data, HOUSE, gauge="house")
    assert brought.readings == ()
    assert any(re.search(words, str(one)) for one in brought.faults)


def test_inch_marks_are_no_quotation_marks(bring):
    text = 'date,level\n5/13/2026,41"\n5/14/2026,3\' 4"\n'
    assert only(bring(text, gauge="main")).value == pytest.approx([41 * INCH, 40 * INCH])


def test_rows_of_unlike_length(bring):
    text = "date,reading,note\n2026-05-13,12340\n2026-05-14,12420,ok,,\n"
    many = only(bring(text, HOUSE, gauge="house"))
    assert many.value == pytest.approx([12340 * GAL, 12420 * GAL])


def test_a_figure_cut_in_two_by_its_comma_is_never_taken(bring):
    text = "date,reading\n2026-05-13,940\n2026-05-14,1,020\n2026-05-15,1080\n"
    (one,) = bring(text, HOUSE).faults
    assert one.line == 3
    assert "3 cells where there should be 2" in one.says


def test_a_trace_of_rain_is_none(bring):
    many = only(bring("date,rain (in)\n2026-05-13,T\n2026-05-14,0.5\n"))
    assert (many.gauge, many.value.tolist()) == ("rain", pytest.approx([0.0, 12.7]))


def test_text_of_other_codings(bring):
    text = "when,reading\n2026-05-13 07:30,100\n"
    for data in (text.encode("utf-16"), text.encode("utf-8-sig"), gzip.compress(text.encode())):
        assert only(bring(data, HOUSE, gauge="house")).value == pytest.approx([100 * GAL])


def test_whose_figures_is_asked_where_it_is_not_plain(bring):
    says = fault(bring("date,reading\n2026-05-01,4\n", HOUSE, TIPS))
    assert "which gauge: 'house', 'tips', 'main'" in says
    assert "None of its names" in fault(bring("date,reading\n2026-05-01,4\n", gauge="nothing"))


def test_rows_twice_and_rows_that_contradict(bring):
    text = (
        "when,reading\n2026-05-02 07:00,110\n2026-05-01 07:00,100\n2026-05-02 07:00,110\n"
        "2026-05-01 07:00,101\n"
    )
    brought = bring(text, HOUSE, gauge="house")
    assert only(brought).value == pytest.approx([100 * GAL, 110 * GAL])
    assert "house: 1 row said twice the same." in brought.notes
    (question,) = brought.questions
    assert "100 gal and also 101 gal" in question.says
    assert question.line == 5


def test_figures_outside_the_gauges_limits_are_no_readings(bring):
    eye = replace(EYE, least=0.2, most=3.2)
    brought = bring("2026-05-01,150\n2026-05-02,1999\n2026-05-03,149\n", eye, gauge="barn tank")
    assert only(brought).value == pytest.approx([1.50, 1.49])
    assert any("1 figure outside" in note and "1,999 cm" in note for note in brought.notes)


@given(st.permutations(range(12)), st.sampled_from(["%Y-%m-%d %H:%M", "%d.%m.%Y %H:%M"]))
@settings(max_examples=40)
def test_the_order_of_the_rows_does_not_matter(making, order, layout):
    site = making.site(tanks=(MAIN,), log=Log(zone=ZONE, gauges=(HOUSE,)))
    times = [datetime(2026, 5, 3 + 2 * k, 7, 30) for k in range(12)]
    rows = [f"{times[k].strftime(layout)};{4000 + 17 * k}\n" for k in order]
    many = only(read_file("".join(rows).encode(), site, gauge="house"))
    assert many.value == pytest.approx((4000 + 17 * np.arange(12)) * GAL)
    assert (np.diff(many.at_utc) > np.timedelta64(0, "ms")).all()


def test_each_entry_is_the_reading_as_it_came(bring):
    (entry,) = bring("2026-05-01 07:00,41 in\n", gauge="main").entries
    assert entry == Reading(
        "main", datetime(2026, 5, 1, 12, tzinfo=UTC), pytest.approx(41 * INCH), "41 in", ZONE
    )


WORDS = st.sampled_from(
    [
        *("date", "time", "reading", "gauge", "house", "main", "unit", "gal", "x", '"', "#", ""),
        *("2026-05-01", "05/13/2026", "2026-05-01T12:00:00Z", "1778675400", "2026-13-45"),
        *("9999-12-31T23:59", "0001-01-01", "2026-05-01T12:00:00+99:99", "\u0661"),
        *("1.5", "1,5", "1.234,5", "-3", "41in", "unavailable", "nan", "inf", "1e400"),
        *("entity_id", "state", "last_changed"),
    ]
)


@given(
    st.lists(st.lists(WORDS, min_size=1, max_size=4), min_size=1, max_size=6),
    st.sampled_from([",", ";", "\t"]),
    st.sampled_from(["", "house", "nothing"]),
    st.sampled_from(["", "gal", "zz"]),
)
@settings(max_examples=300, deadline=None)
def test_no_file_whatever_is_more_than_a_sentence(making, rows, sign, gauge, unit):
    site = making.site(tanks=(MAIN,), log=Log(zone=ZONE, gauges=(HOUSE,)))
    text = "\n".join(sign.join(row) for row in rows)
    brought = read_file(text.encode(), site, gauge=gauge, unit=unit)
    assert not (brought.faults and brought.readings)
    assert all(fault.says for fault in brought.faults)
    assert all(np.isfinite(one.value) for one in brought.entries)


def test_a_year_that_must_be_a_slip_is_refused(bring):
    says = fault(bring("2026-05-01,4\n0226-05-02,5\n", HOUSE, gauge="house"))
    assert "The year 0226 must be a slip of the pen" in says
