"""A telephone's text: read line by line, whole or not at all at the command line, never twice."""

from datetime import UTC, datetime

import pytest

from eavewell.faults import BadLog
from eavewell.files.field.block import checksum
from eavewell.logbook.entries.asked import bare_unit, with_unit
from eavewell.logbook.entries.log_answer import log_answer
from eavewell.logbook.entries.phone_brought import bring_phone_text, is_phone_text
from eavewell.logbook.entries.phone_log import phone_answer
from eavewell.logbook.entries.phone_text import FIRST, LAST, MOST_CHARACTERS, read_phone_text
from eavewell.logbook.store import open_log
from eavewell.site.gauge import Gauge, Log
from eavewell.site.tank import Tank
from eavewell.site.tank_shape import Box

NOW = datetime(2027, 3, 5, 12, tzinfo=UTC)
LINES = (
    *("entry: reading", "gauge: main", "said: 41", "at: 2027-03-04T07:30:05-06:00", "who: Kay"),
    *("entry: reading", "gauge: main", "said: 400", "at: 2027-03-05T05:30:00-06:00"),
    *("entry: load", "to: main", "volume: 2000", "came: 2027-03-04T09:00:00-06:00"),
    *("entry: note", "says: a frog: green"),
    *("entry: reading", "gauge: mian", "said: 3"),
)


def text(*lines: str, check: str = "") -> str:
    told = [FIRST, "site: here", "made: 2027-03-01 08:00", *lines]
    return "\n".join((*told, f"check: {check or checksum(told)}", LAST, ""))


@pytest.fixture
def site(making, tmp_path):
    main = Tank("main", shape=Box(2.0, 2.0, 3.0), outlet_m=0.1)
    log = Log(zone="America/Chicago")
    return making.site(tanks=(main,), log=log, folder=str(tmp_path))


def test_every_line_and_what_is_odd():
    came = read_phone_text(text(*LINES, "mood: fine"))
    assert came.whole and came.site == "here" and came.odd == ["mood: fine"]
    assert [one.kind for one in came.lines] == ["reading", "reading", "load", "note", "reading"]
    assert came.lines[3].words == {"says": "a frog: green"}
    assert not read_phone_text(text(*LINES, check="00000000")).whole
    assert not read_phone_text(text(*LINES).replace(LAST, "")).whole
    spaced = text(*LINES).replace("\n", "\r\n  ")
    assert read_phone_text(f"\ufeffHello,\n{spaced}").whole


@pytest.mark.parametrize("told", ["", "hello", FIRST.lower(), "x" * (MOST_CHARACTERS + 1)])
def test_what_is_no_text_of_a_telephone(told):
    with pytest.raises(BadLog):
        read_phone_text(told)
    assert not is_phone_text(told.encode())


def test_brought_twice_without_harm(site):
    data = text(*LINES).encode()
    assert is_phone_text(data)
    with open_log(site) as store:
        first = " ".join(one.words for one in bring_phone_text(site, store, data=data, now=NOW))
        assert first.startswith("4 written.") and "main: 400 in is above the rim" in first
        assert "There is no gauge 'mian'" in first
        again = " ".join(one.words for one in bring_phone_text(site, store, data=data, now=NOW))
        assert again.startswith("0 written, 4 there already.")
        torn = data.replace(b"said: 41", b"said: 14")
        with pytest.raises(BadLog, match="did not come whole"):
            bring_phone_text(site, store, data=torn, now=NOW)
        found = log_answer(site, store, now=NOW)["entries"]
    assert sorted(one["says"] for one in found) == ["2,000 gal", "400 in", "41 in", "a frog: green"]


def test_bare_figures_as_the_telephone_judges_them(site):
    """A level from the floor to the rim in inches; what counts up is told."""
    with open_log(site) as store:
        bring_phone_text(site, store, data=text(*LINES[:5]).encode(), now=NOW)
        told = phone_answer(site, store, now=NOW)
    level = next(one for one in told["gauges"] if one["gauge"] == "main")
    rim_m = site.tanks[0].shape.height_m
    assert level["unit"] == "in" and level["least"] == 0.0 and not level["counts_up"]
    assert level["most"] == pytest.approx(rim_m / 0.0254)
    assert level["last"] == pytest.approx(41.0) and level["last_says"] == "41 in"


def test_units_of_bare_figures():
    stick = Gauge("main", "level", of="main", how="stick")
    assert (bare_unit(stick, "us"), bare_unit(stick, "metric")) == ("in", "cm")
    assert with_unit(stick, " 41 ", show="us") == "41 in"
    assert with_unit(stick, "41 cm", show="us") == "41 cm"
    assert with_unit(stick, "3 5", show="us") == "3 ft 5 in"
    assert with_unit(stick, "3 5/8", show="us") == "3 5/8"
    assert with_unit(stick, "104", show="metric") == "104 cm"
    own = Gauge("main", "level", of="main", how="stick", unit="ft")
    assert with_unit(own, "3.5", show="metric") == "3.5" and bare_unit(own, "us") == "ft"
    pulses = Gauge("p", "meter", per_pulse_l=10.0)
    assert bare_unit(pulses, "us") == "pulses" and with_unit(pulses, "12", show="us") == "12"
