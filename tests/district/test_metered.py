"""Metered before and after: the saving by plain arithmetic, and faults in sentences."""

import pytest

from eavewell.district.metered import read_metered
from eavewell.faults import BadRoofs

GAL = 3.785411784
HEAD = "homes,when,date,count,use_gal\n"


def table(tmp_path, *lines):
    path = tmp_path / "meters.csv"
    path.write_text(HEAD + "\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_the_weather_is_taken_out_by_homes_without_tanks(tmp_path):
    path = table(
        tmp_path,
        "with tanks,before,2023-07,10,100000",
        "with tanks,after,2024-07,10,90000",
        "without tanks,before,2023-07,50,400000",
        "without tanks,after,2024-07,40,400000",
        "with tanks,before,2023-08,10,120000",
        "with tanks,after,2024-08,10,100000",
        "without tanks,before,2023-08,50,500000",
        "without tanks,after,2024-08,40,400000",
    )
    found = read_metered(path)
    # July: others went from 8,000 to 10,000 a home, so 10,000 would have been 12,500; it was 9,000
    # August: others stayed at 10,000, so 12,000 would have stayed; it was 10,000
    assert found.compared
    assert found.months == (7, 8)
    assert found.saved_l == pytest.approx((3500 + 2000) * GAL)
    assert found.peak_month == 7
    assert found.peak_month_saved_l == pytest.approx(3500 * GAL)
    assert found.homes == 10
    assert found.peak_day_saved_l is None


def test_without_others_the_weather_stays_in(tmp_path):
    path = table(
        tmp_path,
        "with tanks,before,2023-07,10,100000",
        "with tanks,before,2022-07,10,80000",
        "with tanks,after,2024-07,20,150000",
    )
    found = read_metered(path)
    assert not found.compared
    # 9,000 a home in a mean July before, 7,500 after
    assert found.saved_l == pytest.approx(1500 * GAL)


def test_the_day_of_most_use(tmp_path):
    path = table(
        tmp_path,
        "with tanks,before,2023-07,10,100000",
        "without tanks,before,2023-07,10,50000",
        "with tanks,after,2024-07-14,10,3000",
        "without tanks,after,2024-07-14,10,2000",
        "with tanks,after,2024-07-15,10,5000",
        "without tanks,after,2024-07-15,10,3000",
    )
    found = read_metered(path)
    # the others used 300 a home on the 15th, homes with tanks twice that before: 600, it was 500
    assert found.peak_day == "2024-07-15"
    assert found.peak_day_saved_l == pytest.approx(100 * GAL)


def test_a_month_told_by_some_of_its_days_is_their_mean_for_all(tmp_path):
    path = table(
        tmp_path,
        "with tanks,before,2023-07,10,100000",
        "with tanks,after,2024-07-14,10,3000",
        "with tanks,after,2024-07-15,10,1000",
    )
    # 300 and 100 a home: 200 a day for 31 days
    assert read_metered(path).saved_l == pytest.approx((10_000 - 6200) * GAL)


def test_rows_of_one_month_are_put_together_by_their_homes(tmp_path):
    path = table(
        tmp_path,
        "with tanks,before,2023-07,10,100000",
        "with tanks,before,2023-07,30,180000",
        "with tanks,after,2024-07,40,200000",
    )
    # 280,000 for 40 homes: 7,000 each, then 5,000
    assert read_metered(path).saved_l == pytest.approx(2000 * GAL)


def test_more_used_than_before_is_a_saving_below_nothing(tmp_path):
    path = table(
        tmp_path,
        "with tanks,before,2023-07,10,100000",
        "with tanks,after,2024-07,10,110000",
    )
    assert read_metered(path).saved_l == pytest.approx(-1000 * GAL)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("with tank,before,2023-07,10,100", "neither 'with tanks' nor"),
        ("with tanks,during,2023-07,10,100", "neither 'before' nor"),
        ("with tanks,before,07/2023,10,100", "is no date such as 2024-07"),
        ("with tanks,before,2023-13,10,100", "is no date"),
        ("with tanks,before,2023-07,4,100", "fewer than 5 are not told"),
        ("with tanks,before,2023-07,ten,100", "fewer than 5 are not told"),
        ("with tanks,before,2023-07,10,much", "use:"),
        ("with tanks,before,2023-07,10,100", "both before and after"),
    ],
)
def test_faults_are_sentences(tmp_path, line, says):
    with pytest.raises(BadRoofs, match=says):
        read_metered(table(tmp_path, line))


def test_every_fault_at_once_and_missing_columns(tmp_path):
    bad = ("with tank,before,2023-07,10,100", "with tanks,during,2023-07,10,100")
    with pytest.raises(BadRoofs) as refused:
        read_metered(table(tmp_path, *bad))
    assert [fault.line for fault in refused.value.faults] == [2, 3]
    path = tmp_path / "other.csv"
    path.write_text("homes,date\nwith tanks,2023-07\n")
    with pytest.raises(BadRoofs, match="columns when, count, use_gal are missing"):
        read_metered(path)
