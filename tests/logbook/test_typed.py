"""A reading as it is typed: the gauge that is meant, its figure, and what is doubted."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from eavewell.faults import BadLog, BadQuantity
from eavewell.logbook.entries.doubts import doubts_of
from eavewell.logbook.entries.typed import figure_of, gauge_meant, questioned, reading_of, stick_of
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.site.gauge import Feed, Gauge, KnownLevel, Log
from eavewell.site.tank_shape import UprightCylinder

NOW = datetime(2027, 3, 4, 12, 0, tzinfo=UTC)
EYE = Gauge("eye", "level", of="main", how="ultrasonic", unit="mm", feed=Feed("t"), zero_m=3.0)
METER = Gauge("house meter", "meter", of="house", how="register", unit="gal")


@pytest.fixture
def site(making):
    """Two tanks, of which one has a sensor, and a meter; all invented."""
    shape = UprightCylinder(2.0, 2.5)
    tanks = (making.tank(name="main", shape=shape), making.tank(name="header", shape=shape))
    return making.site(tanks=tanks, uses=(), log=Log(gauges=(EYE, METER)))


def test_by_hand_the_stick_of_a_tank_is_meant_and_by_name_its_sensor(site):
    assert gauge_meant(site, "level", name="main").how == "stick"
    assert gauge_meant(site, "level", name="eye") == EYE
    assert gauge_meant(site, "meter") == METER
    assert gauge_meant(site, "meter", name="house") == METER
    assert gauge_meant(site, "rain").name == "rain"


def test_a_stick_is_meant_beside_a_sensor_whose_figures_come_by_file(site):
    stick = Gauge("rod", "level", of="main", how="stick")
    sensor = Gauge("logger", "level", of="main", how="pressure sensor")
    both = replace(site, log=Log(gauges=(sensor, stick)))
    assert gauge_meant(both, "level", name="main") == stick
    assert stick_of(replace(both, tanks=both.tanks[:1])) == stick
    tube = Gauge("tube", "level", of="main", how="sight tube")
    with pytest.raises(BadLog, match="Say which level gauge is meant: rod, tube"):
        gauge_meant(replace(site, log=Log(gauges=(stick, tube))), "level", name="main")


@pytest.mark.parametrize(
    ("measures", "name", "says"),
    [
        ("level", "mian", "no level gauge called 'mian': did you mean 'main'?"),
        ("level", "", "Say which level gauge is meant: eye, main, header."),
        (
            "lamp hours",
            "",
            "describes no hour counter of a lamp: add [[log.gauge]] with a name and",
        ),
    ],
)
def test_a_gauge_that_is_not_clear_is_a_sentence(site, measures, name, says):
    with pytest.raises(BadLog) as refused:
        gauge_meant(site, measures, name=name)
    assert says in str(refused.value)


@pytest.mark.parametrize(
    ("gauge", "text", "value"),
    [
        (Gauge("g", "level"), "41 in", 41 * 0.0254),
        (Gauge("g", "level"), "3 ft 5 in", 41 * 0.0254),
        (Gauge("g", "level", unit="in"), "41", 41 * 0.0254),
        (EYE, "1530", 1.53),
        (METER, "12,340", 12340 * 3.785411784),
        (Gauge("g", "meter", per_pulse_l=5.0), "250", 1250.0),
        (Gauge("g", "temperature", unit="F"), "50", 10.0),
        (Gauge("g", "rain"), "0.6 in", 15.24),
        (Gauge("g", "level", known_levels=(KnownLevel(4, 0), KnownLevel(20, 2))), "11.5", 11.5),
    ],
)
def test_a_figure_with_its_unit_or_the_gauges(gauge, text, value):
    assert figure_of(gauge, text) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "says"), [("41", "none of its own"), ("41 gal", "is a volume"), ("", "nothing is gi")]
)
def test_what_is_no_figure_is_a_sentence(text, says):
    with pytest.raises(BadQuantity, match=says):
        figure_of(Gauge("g", "level"), text)


def doubts(site, gauge, text, *, before=None, hours=24.0, at=NOW, kept=None):
    was = before and reading_of(gauge, before, at=at - timedelta(hours=hours))
    reading = reading_of(gauge, text, at=at)
    if was and kept is not None:
        kept.add(was)
    found = doubts_of(site, reading, gauge=gauge, before=was, now=NOW, kept=kept)
    return " ".join(found)


def stick(site):
    return gauge_meant(site, "level", name="main")


def test_what_can_be_is_not_doubted(site):
    assert doubts(site, stick(site), "41 in", before="43 in") == ""
    assert doubts(site, METER, "12,440", before="12,340") == ""
    assert doubts(site, Gauge("r", "rain"), "4 in") == ""


@pytest.mark.parametrize(
    ("text", "before", "hours", "says"),
    [
        ("2.6 m", None, 24, "2.6 m is above the rim of main"),
        ("0.1 m", "2 m", 1 / 6, "0.1 m is a fall faster than pumps draw or an overflow spills."),
        ("2.4 m", "0.1 m", 0.5, "2.4 m is a rise that no rain, load or make-up explains."),
    ],
)
def test_a_level_that_can_hardly_be_is_asked_about(keeping, site, text, before, hours, says):
    kept = keeping.InMemory()
    assert says in doubts(site, stick(site), text, before=before, hours=hours, kept=kept)


def test_a_level_under_a_sensors_floor(site):
    # the face stands 3 m above the floor
    assert "below the floor of main" in doubts(site, EYE, "3100")


@pytest.mark.parametrize(
    ("gauge", "text", "before", "says"),
    [
        (METER, "12,340", "12,350", "less than before, 12,350: a new meter"),
        (METER, "99,340", "12,350", "more than a house's meter passes"),
        (Gauge("l", "lamp hours"), "130 h", "100 h", "30 h of light in 24 h is more than passed"),
        (Gauge("l", "lamp hours"), "3 h", "9000 h", "a new lamp?"),
        (Gauge("r", "rain"), "12 in", None, "is the unit right?"),
        (Gauge("p", "pressure"), "300 psi", None, "more than 149 psi"),
        (Gauge("a", "temperature"), "70 C", None, "no air above water"),
        (replace(METER, most=400000.0), "200,000", None, "above the most that the gauge can say"),
    ],
)
def test_other_figures_that_can_hardly_be(site, gauge, text, before, says):
    assert says in doubts(site, gauge, text, before=before)


def test_a_time_ahead_or_long_ago_is_asked_about(site):
    assert "lies ahead" in doubts(site, stick(site), "1 m", at=NOW + timedelta(hours=1))
    assert "3 years ago" in doubts(site, stick(site), "1 m", at=NOW - timedelta(days=1100))


def test_what_is_doubted_stands_in_the_note():
    reading = reading_of(Gauge("g", "level"), "9 m", at=NOW, note="by torch")
    assert questioned(reading, ()) == reading
    assert questioned(reading, ("High.",)).note == "by torch; questioned: High."
    assert questioned(replace(reading, note=""), ("High.",)).note == "Questioned: High."


def test_every_measure_is_doubted_somehow(site):
    from typing import get_args

    from eavewell.logbook.entries.doubts import _OF
    from eavewell.site.gauge import Measures

    assert set(_OF) == set(get_args(Measures))
    assert {one.measures for one in gauges_of(site)} <= set(_OF)
