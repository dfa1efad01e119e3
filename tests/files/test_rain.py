"""Every layout by small invented files; depths by the arithmetic of each layout."""

import gzip
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from eavewell.faults import BadRecord, EavewellFault
from eavewell.files.rain.date_texts import dates_of
from eavewell.files.rain.readers import read_rain, read_step_rain
from eavewell.files.rain.record_text import RecordText
from eavewell.files.rain.written import write_rain
from eavewell.site.rain_record import Mark
from eavewell.weather.climates import climate_record

NO_RESET = settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])


def cell(value=-9999, m=" ", *, q=" "):
    return f"{value:5d}{m}{q}0"


def month(element, cells, *, station="XX000000001", when="200101"):
    return f"{station}{when}{element}" + "".join([*cells, *[cell()] * (31 - len(cells))])


DLY = "\n".join(
    [
        month("PRCP", [cell(10), cell(0, "T"), cell(99, " ", q="X"), cell(), cell(), cell(30)]),
        month("MDPR", [cell(), cell(), cell(), cell(), cell(40)]),
        month("DAPR", [cell(), cell(), cell(), cell(), cell(2)]),
        month("TMAX", [cell(250)]),
    ]
)
STATION_CSV = "".join(
    f"XX000000001,200101{day:02d},PRCP,{value},{m},{q},0,0700\n"
    for day, value, m, q in [(1, 10, "", ""), (2, 0, "T", ""), (3, 99, "", "X"), (4, 30, "", "")]
)
WEB = (
    '"STATION","NAME","DATE","PRCP","PRCP_ATTRIBUTES"\n'
    '"XX000000001","INVENTED","2001-01-01","0.50",",,0,0700"\n'
    '"XX000000001","INVENTED","2001-01-02","0.00","T,,0,0700"\n'
    '"XX000000001","INVENTED","2001-01-03","9.00",",X,0,0700"\n'
    '"XX000000001","INVENTED","2001-01-04","1.00",",,0,0700"\n'
)
SERVICE = (
    "date,datatype,station,value,fl_m,fl_q,fl_so,fl_t,units\n"
    "2001-01-01T00:00:00,PRCP,GHCND:XX000000001,10,,,0,2400,mm_tenths\n"
    "2001-01-02T00:00:00,PRCP,GHCND:XX000000001,0,T,,0,2400,mm_tenths\n"
)
HPD = (
    "HPD00000101HPCPHI20010100010020100000000  2500000000  \n"
    "HPD00000101HPCPHI20010100020030100000010  1400000020  2500000030  \n"
)
BLOCK = (
    "Station ID: XX_1\nStart datetime: 2001010100\nNumber of records: 48\nNew Timestep: 1hr\n"
    "New Units: mm\nNo data value: -999\nOther:\n"
    + "0\n" * 5
    + "1.5\n"
    + "0\n" * 18
    + "999.0\n"
    + "2.0\n"
    + "0\n" * 22
)
STEPS = "utc,mm\n2001-01-01 00:05:00,0.4\n2001-01-01 00:10:00,0.6\n2001-01-02 13:20:00,2\n"
PLAIN = "date,rain_mm\n2001-01-01,1\n2001-01-02,NA\n2001-01-03,T\n2001-01-04,2.5\n"
EVERY = [DLY, STATION_CSV, WEB, SERVICE, HPD, BLOCK, STEPS, PLAIN]


def written(folder, text):
    path = folder / "any.name"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def test_dly_flags_traces_and_totals(tmp_path):
    record = read_rain(written(tmp_path, DLY))
    assert record.rain_mm == pytest.approx([1.0, 0.0, np.nan, 2.0, 2.0, 3.0], nan_ok=True)
    assert list(record.marks) == [
        0, Mark.TRACE, Mark.FLAGGED | Mark.MISSING, Mark.ACCUMULATED, Mark.ACCUMULATED, 0,
    ]  # fmt: skip
    assert record.tmax_c[0] == 25.0


def test_station_csv_is_the_same_in_gzip(tmp_path):
    record = read_rain(written(tmp_path, gzip.compress(STATION_CSV.encode())))
    assert record.rain_mm == pytest.approx([1.0, 0.0, np.nan, 3.0], nan_ok=True)


def test_web_csv_knows_inches_by_two_decimals(tmp_path):
    record = read_rain(written(tmp_path, WEB))
    assert record.rain_mm == pytest.approx([12.7, 0.0, np.nan, 25.4], nan_ok=True)
    lower = read_rain(written(tmp_path, WEB.replace("PRCP", "prcp").replace("DATE", "date")))
    assert lower.rain_mm == pytest.approx(record.rain_mm, nan_ok=True)


def test_service_csv(tmp_path):
    record = read_rain(written(tmp_path, SERVICE))
    assert record.rain_mm == pytest.approx([1.0, 0.0])
    assert record.station == "XX000000001"


def test_hourly_layout_leaves_the_days_total_out(tmp_path):
    steps = read_step_rain(written(tmp_path, HPD))
    assert steps.rain_mm == pytest.approx([2.54, 5.08])
    assert str(steps.starts[1]) == "2001-01-02T13:00"
    assert read_rain(written(tmp_path, HPD)).rain_mm[:2] == pytest.approx([0.0, 7.62])


def test_hourly_block_loses_the_day_with_a_code(tmp_path):
    steps = read_step_rain(written(tmp_path, BLOCK))
    assert steps.rain_mm == pytest.approx([1.5])
    assert len(steps.missing_days) == 1
    assert any("999" in note for note in steps.notes)


def test_wet_steps(tmp_path):
    steps = read_step_rain(written(tmp_path, STEPS))
    assert steps.step_minutes == 5
    assert read_rain(written(tmp_path, STEPS)).rain_mm == pytest.approx([1.0, 2.0])


@pytest.mark.parametrize(
    "text",
    [
        "date,rain_mm\n12/30/99,1\n12/31/99,2\n1/1/00,3\n",
        "date,rain_mm\n30/12/1999,1\n31/12/1999,2\n1/1/2000,3\n",
        "Datum;Rain (mm)\n30.12.1999;1,0\n31.12.1999;2,0\n01.01.2000;3,0\n",
        "year,month,day,rain mm\n1999,12,30,1\n1999,12,31,2\n2000,1,1,3\n",
        "date,rain_mm\n19991230,1\n19991231,2\n20000101,3\n",
        "date,rain_mm\n30-Dec-99,1\n31-Dec-99,2\n1-Jan-00,3\n",
    ],
)
def test_dates_as_people_write_them(tmp_path, text):
    record = read_rain(written(tmp_path, text))
    assert str(record.first_day) == "1999-12-30"
    assert record.rain_mm == pytest.approx([1.0, 2.0, 3.0])


@pytest.mark.parametrize("turn", [1, -1])
def test_two_digit_years_of_more_than_a_century_follow_the_rows(turn):
    years = list(range(1920, 2025))[::turn]
    texts = [f"12/31/{year % 100:02d}" for year in years]
    found = dates_of(RecordText("any", tuple(texts)), texts, lines=range(1, len(texts) + 1))
    assert [int(str(day)[:4]) for day in found] == years


def test_days_out_of_order_and_doubled(tmp_path):
    text = "date,rain_mm\n2001-01-03,3\n2001-01-01,1\n2001-01-02,2\n2001-01-02,2\n2001-01-01,9\n"
    record = read_rain(written(tmp_path, text + "2001-01-04,4\n2000-12-31,1\n"))
    assert record.rain_mm == pytest.approx([1.0, np.nan, 2.0, 3.0, 4.0], nan_ok=True)
    assert record.marks[1] == Mark.MISSING | Mark.DOUBLED
    said = " ".join(record.notes)
    assert "out of order" in said
    assert "equal readings" in said
    assert "different readings: 1 day (first 2001-01-01)" in said
    assert len(set(record.notes)) == len(record.notes)


def test_a_shuffled_daily_record_is_no_monthly_summary(tmp_path):
    days = np.arange(np.datetime64("2001-01-01"), np.datetime64("2004-01-01"))
    rows = [f"{day},{k % 9}\n" for k, day in enumerate(days)]
    shuffled = np.random.default_rng(3).permutation(rows)
    record = read_rain(written(tmp_path, "date,rain_mm\n" + "".join(shuffled)))
    assert record.rain_mm.tolist() == [k % 9 for k in range(days.size)]
    monthly = "".join(f"2001-{month:02d}-01,50\n" for month in (5, 2, 9, 1, 7, 3))
    with pytest.raises(BadRecord, match="monthly"):
        read_rain(written(tmp_path, "date,rain_mm\n" + monthly))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (b"", "empty"),
        (b"\x00\x01\x02", "not a text file"),
        (b"PK\x03\x04", "spreadsheet"),
        (gzip.compress(PLAIN.encode(), mtime=0)[:-9], "cut off"),
        ("date,rain\n2001-01-01,1\n", 'say unit = "mm" or "in"'),
        ("date,rain_mm\n1/2/2001,1\n2/2/2001,1\n", "day from month"),
        ("date,rain_mm\n2001-02-30,1\n", ":2: .*not a date"),
        ("date,rain_mm\n2001-02-03,wet\n2001-02-04,1\n", "No depth|not a number"),
        ("date,rain_mm\n2001-02-03,1\n2001-02-04,x\n2001-02-05,2\n", ":3: .*not a number"),
        ("DATE,rain_mm\r2001-01,5\r2001-02,6\r", "monthly"),
        ("a,b\n1,2\n", "No date column"),
    ],
)
def test_bad_files_get_a_sentence(tmp_path, text, says):
    with pytest.raises(BadRecord, match=says):
        read_rain(written(tmp_path, text))


def test_an_absent_file_and_a_daily_record_for_steps(tmp_path):
    with pytest.raises(BadRecord, match="cannot be opened"):
        read_rain(tmp_path / "absent.csv")
    with pytest.raises(BadRecord, match="plain csv"):
        read_step_rain(written(tmp_path, PLAIN))


def test_a_broken_clock_is_no_warning(tmp_path):
    """Found by mangling: the cell was taken for a time with an offset."""
    with pytest.raises(BadRecord):
        read_step_rain(written(tmp_path, STEPS.replace("00:10:00", "00:10250")))


def attempt(path):
    for read in (read_rain, read_step_rain):
        for unit in ("", "in", "furlong"):
            try:
                read(path, unit=unit)
            except EavewellFault as fault:
                assert str(fault)


@NO_RESET
@given(st.binary(max_size=300))
def test_any_bytes(tmp_path, raw):
    attempt(written(tmp_path, raw))


@NO_RESET
@given(st.sampled_from(EVERY), st.data())
def test_mangled_files(tmp_path, text, data):
    raw = bytearray(text.encode())
    for _ in range(data.draw(st.integers(1, 6))):
        at = data.draw(st.integers(0, len(raw) - 1))
        raw[at : at + data.draw(st.integers(0, 12))] = data.draw(
            st.one_of(st.binary(max_size=6), st.sampled_from([b"9999999999", b"-", b",", b"\n"]))
        )
    attempt(written(tmp_path, bytes(raw)))


@NO_RESET
@given(
    st.sampled_from(["date,rain_mm", "date,time,in", "STATION,DATE,PRCP,PRCP_ATTRIBUTES", "x,mm"]),
    st.lists(st.lists(st.text(max_size=12), min_size=1, max_size=5), min_size=1, max_size=6),
)
def test_odd_rows(tmp_path, heading, rows):
    body = "\n".join(",".join(row) for row in rows)
    attempt(written(tmp_path, f"{heading}\n{body}".encode("utf-8", "replace")))


def test_an_invented_record_stays_invented_when_it_is_written_and_read(tmp_path):
    made = climate_record("dry-uplands", 1)
    path = write_rain(made, tmp_path / "hill.csv").rename(tmp_path / "renamed.csv")
    back = read_rain(path)
    assert back.invented and any("no gauge measured it" in note for note in back.notes)
    assert np.allclose(back.rain_mm, made.rain_mm, rtol=1e-5)
    measured = replace(made, invented=False)
    assert not read_rain(write_rain(measured, tmp_path / "measured.csv")).invented
