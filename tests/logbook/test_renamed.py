"""A gauge or tank by another name in the site file: told, and its log follows; all invented."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from eavewell.faults import BadLog
from eavewell.logbook.entries.renamed import gone, rename, with_gone
from eavewell.logbook.nothing_kept import NothingKept
from eavewell.logbook.store import open_log
from eavewell.site.entry import Done, Load, Note, Reading
from eavewell.site.gauge import Gauge

NOON = datetime(2027, 3, 4, 12, tzinfo=UTC)
NOW = datetime(2027, 3, 9, 12, tzinfo=UTC)


def at(day):
    return NOON + timedelta(days=day)


@pytest.fixture
def before(kept_in, logged_site):
    """A site whose tank has a stick called rod and whose house a meter called clock."""
    return _gauges(logged_site(kept_in), "rod", "clock")


def _gauges(site, stick, meter):
    gauges = (
        Gauge(stick, "level", of=site.tanks[0].name, how="stick"),
        Gauge(meter, "meter", how="register"),
    )
    return replace(site, log=replace(site.log, gauges=gauges))


@pytest.fixture
def log(before):
    """Five levels, and a meter that was changed."""
    with open_log(before) as store:
        store.add([Reading("rod", at(day), 1.0 + day / 10.0) for day in range(5)])
        store.add([Reading("clock", at(0), 100.0), Done("change the meter", at(1), "clock")])
        yield store


def test_nothing_is_said_while_the_names_stand(log, before):
    assert gone(before, log) == ()
    assert gone(before, NothingKept()) == ()


def test_a_renamed_gauge_is_told_with_the_way_out(log, before):
    after = _gauges(before, "tank rod", "clock")
    (found,) = gone(after, log)
    says = found.words
    assert found.likely == ("tank rod",)
    assert says.startswith("Readings of 'rod' stand in the log, the last of 8 Mar 2027, but")
    assert "eavewell log rename rod 'tank rod'; else give the site file its name again." in says
    assert log.readings("rod").count == 5


def test_a_log_that_cannot_answer_says_it_as_well(log, before):
    after = _gauges(before, "tank rod", "clock")
    with pytest.raises(BadLog) as refused, with_gone(after, log):
        raise BadLog("There is no level.")
    assert [one.says[:16] for one in refused.value.faults] == [
        "There is no leve",
        "Readings of 'rod",
    ]


def test_readings_sums_corrections_and_what_was_done_follow(log, before):
    keys = log.readings("rod").keys.tolist()
    log.correct(keys[0], Reading("rod", at(0), 0.9), why="Read upside down.")
    log.strike("reading", keys[1], why="A slip.")
    sums = log.day_sums("rod")
    after = _gauges(before, "tank rod", "new clock")
    assert rename(after, log, was="rod", name="tank rod", now=NOW).says == (
        "From 'rod' to 'tank rod': 4 readings."
    )
    found = log.readings("tank rod")
    assert found.value.tolist() == [0.9, 1.2, 1.3, 1.4]
    assert found.keys.tolist() == [keys[0], *keys[2:]]
    assert log.day_sums("tank rod").total.tolist() == sums.total.tolist()
    assert log.readings("rod").count == 0
    # neither the corrected figure nor the struck one comes in again
    again = log.add([Reading("tank rod", at(0), 1.0), Reading("tank rod", at(1), 1.1)])
    assert again.new == 0
    rename(after, log, was="clock", name="new clock", now=NOW)
    assert [one.thing for _, one in log.entries("done")] == ["new clock"]
    assert gone(after, log) == ()
    notes = [one.says for _, one in log.entries("note") if isinstance(one, Note)]
    assert notes[1] == "From 'clock' to 'new clock': 1 reading, 1 other entry."


def test_two_names_that_were_both_read_are_joined(log, before):
    after = _gauges(before, "tank rod", "clock")
    log.add([Reading("tank rod", at(day), 1.0 + day / 10.0) for day in (4, 5, 6)])
    struck = log.readings("tank rod").keys.tolist()[1]
    log.strike("reading", struck, why="A slip.")
    log.add([Reading("rod", at(5), 1.55)])
    rename(after, log, was="rod", name="tank rod", now=NOW)
    found = log.readings("tank rod")
    # the fifth day's struck reading stands again, by what the old name said
    assert found.value.tolist() == pytest.approx([1.0, 1.1, 1.2, 1.3, 1.4, 1.55, 1.6])
    assert log.day_sums("tank rod").total.tolist() == pytest.approx(found.value.tolist())
    assert log.last("rod") is None and gone(after, log) == ()


def test_two_figures_of_one_instant_are_left_to_whoever_knows(log, before):
    after = _gauges(before, "tank rod", "clock")
    log.add([Reading("tank rod", at(4), 0.2)])
    mine, theirs = log.readings("rod").keys[-1], log.readings("tank rod").keys[0]
    with pytest.raises(BadLog, match=f"two things, r{mine} and r{theirs}. Strike one of each"):
        rename(after, log, was="rod", name="tank rod", now=NOW)
    assert log.readings("rod").count == 5 and log.readings("tank rod").count == 1
    log.strike("reading", int(theirs), why="Not read at all.")
    rename(after, log, was="rod", name="tank rod", now=NOW)
    assert log.last("tank rod").value == pytest.approx(1.4)


def test_loads_follow_a_tank(kept_in, logged_site):
    site = logged_site(kept_in)
    name = site.tanks[0].name
    after = replace(site, tanks=(replace(site.tanks[0], name="cistern"), *site.tanks[1:]))
    with open_log(site) as log:
        log.add([Reading(name, at(0), 1.0), Load(name, None, at(1), 4000.0)])
        levels, loads = gone(after, log)
        assert levels.says.startswith(f"Readings of '{name}' stand in the log")
        assert loads.says.startswith(
            f"Loads to '{name}' stand in the log, but the site file has no"
        )
        rename(after, log, was=name, name="cistern", now=NOW)
        assert [one.to for _, one in log.entries("load")] == ["cistern"]
        assert log.readings("cistern").count == 1 and gone(after, log) == ()


def test_what_cannot_be_renamed_is_a_sentence_and_nothing_is_done(log, before):
    after = _gauges(before, "tank rod", "clock")
    for was, name, says in (
        ("clock", "tank rod", "still has 'clock': give it its other name there first"),
        ("rod", "tank rid", "no gauge 'tank rid': did you mean 'tank rod'"),
        ("rood", "tank rod", "Nothing stands in the log under 'rood': did you mean 'rod'"),
    ):
        with pytest.raises(BadLog, match=says):
            rename(after, log, was=was, name=name, now=NOW)
    assert log.readings("rod").count == 5 and log.entries("note") == ()
