"""Which version does better, in words; the answers here are made up."""

from eavewell.answers.shown import Sizes
from eavewell.report.versions import side_by_side


def answer(supplied, cost, *, currency="USD", stops=0):
    band = {"low": cost / 2, "typical": cost, "high": cost * 2}
    storage = dict.fromkeys(
        ("days_met_share", "spilled_share", "loads_per_year", "loads_in_worst_year"), 0.0
    )
    return {
        "storage": {
            **storage,
            "supplied_share": supplied,
            "longest_short_days": 1,
            "longest_short": {"from": "2011-07-05", "to": "2011-07-05", "missing_l": 9.0},
            "worst_short": {"from": None, "to": None, "missing_l": 0.0},
        },
        "rain": {
            "name": "hill",
            "invented": stops > 0,
            "from": "1970-01-01",
            "to": "2019-12-31",
        },
        "sizing": {"smallest_l": None},
        "findings": [{"level": "stop"}] * stops,
        "cost": {
            "currency": currency,
            "first": band,
            "life": {"years": 20, "present": band},
            "per_m3": band,
        },
    }


def lines(*answers, system="us"):
    columns = [(chr(ord("a") + row), one) for row, one in enumerate(answers)]
    return {one["result"]: one for one in side_by_side(columns, Sizes(system))}


def test_more_water_and_less_money_are_better():
    found = lines(answer(0.8, 1000.0), answer(0.9, 3000.0, stops=1), answer(0.9, 2000.0))
    assert found["supplied_share"]["says"] == "most: b and c"
    assert found["life"]["says"] == "least: a"
    assert found["stop"]["says"] == "least: a and c"
    assert found["stop"]["words"] == ["0", "1", "0"]
    assert found["longest_short_days"]["says"] == "alike"
    assert found["longest_short_days"]["words"] == ["1 day, 5 Jul 2011"] * 3
    assert found["rain"]["words"][:2] == [
        "hill, 1 Jan 1970 to 31 Dec 2019",
        "hill, invented, 1 Jan 1970 to 31 Dec 2019",
    ]
    assert found["rain"]["values"] == [None] * 3
    assert found["smallest"]["words"] == ["no size does"] * 3


def test_what_reads_alike_is_alike():
    found = lines(answer(0.80001, 1000.0), answer(0.80002, 1000.1))
    assert found["supplied_share"]["says"] == found["life"]["says"] == "alike"


def test_amounts_in_two_currencies_are_not_compared():
    found = lines(answer(0.8, 1000.0), answer(0.9, 900.0, currency="MXN"))
    assert found["first"]["says"] == ""
    assert found["first"]["words"] == ["500 - 1,000 - 2,000 USD", "450 - 900 - 1,800 MXN"]
    assert found["supplied_share"]["says"] == "most: b"


def test_one_that_cannot_be_designed_takes_no_part():
    found = lines(answer(0.8, 1000.0), None, answer(0.7, 1000.0))
    assert found["supplied_share"]["values"] == [0.8, None, 0.7]
    assert found["supplied_share"]["says"] == "most: a"
    assert lines(answer(0.8, 1000.0), None)["supplied_share"]["says"] == ""


def test_a_thousand_gallons_on_paper():
    found = lines(answer(0.8, 10.0))["per_m3"]
    assert "1,000 gal" in found["label"]
    # 1,000 gal = 3.785411784 m3
    assert found["words"] == ["18.93 - 37.85 - 75.71 USD"]
    assert lines(answer(0.8, 10.0), system="metric")["per_m3"]["words"] == [
        "5.00 - 10.00 - 20.00 USD"
    ]
