"""Only what differs between site files is told, part by part and as it is written."""

import tomllib

from eavewell.files.site.differ import differing

ONE = """
name = "shed"
[goal]
bed = { days_met = 0.8 }
[[tank]]
name = "low"
each = "500 gal"
[[tank]]
name = "high"
each = "50 gal"
floors = ["0 ft", "1 in"]
[[use]]
name = "bed"
draws_from = ["low"]
guests = [{ count = 2, each = "9 gal/day" }]
"""


def told(*texts):
    found = differing([tomllib.loads(one) for one in texts], system="us")
    return {one.label: one.values for one in found}


def test_the_same_text_differs_in_nothing_comments_and_order_neither():
    head, low, high, use = ONE.partition("[[tank]]")[0], *ONE.split("[[tank]]")[1:], ""
    assert use == ""
    high, _, use = high.partition("[[use]]")
    other = f"# ours\n{head}[[tank]]{high}[[tank]]{low}[[use]]{use}"
    assert other != ONE
    assert told(ONE, ONE, other) == {}


def test_a_field_by_its_part_and_label():
    other = ONE.replace('"500 gal"', '"600 gal"').replace("0.8", "0.9").replace('"1 in"', '"2 in"')
    assert told(ONE, other) == {
        "Goal bed: Days met": ("0.8", "0.9"),
        "Tank low: Stated size of each": ("500 gal", "600 gal"),
        "Tank high: Heights of the floors": ("0 ft, 1 in", "0 ft, 2 in"),
    }


def test_a_part_that_is_not_everywhere_stands_as_a_whole():
    other = ONE.replace('[[tank]]\nname = "high"\neach = "50 gal"\nfloors = ["0 ft", "1 in"]\n', "")
    assert told(other, ONE) == {"Tank high": ("", "in the file")}
    without = ONE.replace('guests = [{ count = 2, each = "9 gal/day" }]', "")
    assert told(without, ONE) == {"Use bed: Guests 1": ("", "in the file")}


def test_what_no_table_knows_is_told_too():
    assert told("odd = 1\n", "odd = 2\nname = true\n") == {
        "odd": ("1", "2"),
        "Name": ("", "true"),
    }


def test_what_was_reckoned_to_many_places_is_printed_as_a_size():
    other = ONE.replace('"500 gal"', '"71.666666666667 gal"').replace("0.8", "0.812345678901")
    wider = other.replace('each = "71', 'diameter = "4.094738761173 ft"\neach = "71')
    assert told(ONE, wider) == {
        "Goal bed: Days met": ("0.8", "0.812346"),
        "Tank low: Diameter": ("", "4 ft 1 in"),
        "Tank low: Stated size of each": ("500 gal", "71.7 gal"),
    }
    (metric,) = (
        one
        for one in differing([tomllib.loads(one) for one in (ONE, wider)], system="metric")
        if one.label == "Tank low: Diameter"
    )
    assert metric.values == ("", "1.25 m")


def test_sides_are_rounded_each():
    roof = '[[roof]]\nname = "shed"\nplan = "{} ft x 12 ft"\n'
    assert told(roof.format("14"), roof.format("21.123456789012")) == {
        "Roof shed: Length x width": ("14 ft x 12 ft", "21.1235 ft x 12 ft")
    }


def test_what_a_person_wrote_stays_as_it_is():
    roof = '[[roof]]\nname = "a"\nscreens = [{ name = "s", mesh = "%s", passes = "%s" }]\n'
    assert told(roof % ("0.0042 in", "19.7472 gal/min"), roof % ("0.005 in", "4.026 gal/min")) == {
        "Roof a, Screens s: Mesh": ("0.0042 in", "0.005 in"),
        "Roof a, Screens s: Passes when clean": ("19.7 gal/min", "4.026 gal/min"),
    }
