"""The store of a log: the same answers in a file and in a database; nothing twice, nothing lost."""

import math
import sqlite3
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from eavewell.faults import BadLog
from eavewell.logbook.kept import KeptByDay, ManyReadings
from eavewell.logbook.readings.day_sums import summed
from eavewell.logbook.store import open_log
from eavewell.logbook.store.arriving import Origin, origin_of
from eavewell.site import entry as entries
from eavewell.site.entry import Done, Load, Note, Outage, Reading
from eavewell.site.water import WaterTest

CHICAGO = ZoneInfo("America/Chicago")
NOON = datetime(2027, 3, 4, 12, 0, tzinfo=CHICAGO)
NOW = datetime(2027, 3, 5, 8, 0, tzinfo=UTC)


def stick(value=1.04, at=NOON, gauge="tank", **more):
    more = {"said": "41 in", "zone": "America/Chicago", "who": "Kay"} | more
    return Reading(gauge, at, value, **more)


@pytest.fixture
def store(kept_in, logged_site):
    with open_log(logged_site(kept_in)) as opened:
        yield opened


OTHERS = (
    Load("tank", NOON, NOON + timedelta(days=2), 7570.0, price=190.0, paper="county permit"),
    Done("rinse the screen", NOON, thing="roof", found="two cups of grit"),
    Outage("power", NOON, NOON + timedelta(hours=5)),
    entries.Tested(NOON, WaterTest("E. coli", 0.0, date(2027, 3, 4), tap="kitchen"), note="clear"),
    Note(NOON, "a frog in the gutter", about="roof", who="Kay"),
)


def test_what_is_written_is_read_as_it_was(store):
    assert store.add([stick(), *OTHERS], now=NOW) == type(store.add([]))(new=6)
    assert store.last("tank") == stick()
    taken = store.readings("tank")
    assert taken.at_utc.tolist() == [NOON.astimezone(UTC).replace(tzinfo=None)]
    assert taken.value.tolist() == [1.04]
    found = [store.entries(kind)[0][1] for kind in ("load", "done", "outage", "tested", "note")]
    assert found == list(OTHERS)
    assert [entry for _, entry in store.entries("reading")] == [stick()]
    assert store.gauges() == ("tank",)


def test_the_same_again_is_there_already_and_another_value_is_kept_out(store):
    store.add([stick(), *OTHERS])
    again = store.add([stick(said="3 ft 5 in"), *OTHERS])
    assert (again.new, again.already, again.differs) == (0, 6, ())
    (differs,) = store.add([stick(1.10)]).differs
    assert (differs.gauge, differs.at, differs.value, differs.stands) == ("tank", NOON, 1.10, 1.04)
    assert store.readings("tank").value.tolist() == [1.04]
    assert differs.key == store.readings("tank").keys[0]


def test_twice_at_once_is_once_and_the_first_stands(store):
    added = store.add([stick(), stick(), stick(2.0), stick(at=NOON - timedelta(hours=1))])
    assert (added.new, added.already) == (2, 1)
    assert [(one.value, one.stands, one.key) for one in added.differs] == [(2.0, 1.04, None)]


def test_the_same_instant_in_another_zone_is_the_same(store):
    store.add([stick(), OTHERS[4]])
    utc = NOON.astimezone(UTC)
    assert store.add([stick(at=utc), replace(OTHERS[4], at=utc)]).already == 2


def test_out_of_order_and_from_to_before(store):
    hours = [5, 1, 3, 2, 4]
    store.add([stick(float(h), at=NOON + timedelta(hours=h)) for h in hours])
    taken = store.readings("tank", NOON + timedelta(hours=2), until=NOON + timedelta(hours=5))
    assert taken.value.tolist() == [2.0, 3.0, 4.0]
    assert store.last("tank").value == 5.0
    assert store.readings("nothing").count == 0
    assert store.last("nothing") is None


def test_a_correction_keeps_what_stood_and_an_import_does_not_undo_it(store):
    store.add([stick()])
    key = int(store.readings("tank").keys[0])
    store.correct(key, stick(1.10, said="43.3 in"), why="read upside down", who="Jo", now=NOW)
    assert store.last("tank") == stick(1.10, said="43.3 in")
    (was,) = store.corrections("reading", key)
    assert (was.was, was.why, was.who, was.made) == (stick(), "read upside down", "Jo", NOW)
    again = store.add([stick()])
    assert (again.new, again.already, again.differs) == (0, 1, ())
    assert store.readings("tank").value.tolist() == [1.10]


def test_a_correction_may_move_a_reading_and_the_sums_of_both_days_follow(store):
    store.add([stick(), stick(2.0, at=NOON + timedelta(hours=1))])
    key = int(store.readings("tank").keys[0])
    store.correct(key, stick(at=NOON + timedelta(days=3)), why="the wrong day")
    sums = store.day_sums("tank")
    assert sums.dates.astype(str).tolist() == ["2027-03-04", "2027-03-07"]
    assert sums.total.tolist() == [2.0, 1.04]
    assert store.add([stick()]).already == 1
    with pytest.raises(BadLog, match="another reading at that instant"):
        store.correct(key, stick(at=NOON + timedelta(hours=1)), why="moved")


def test_other_entries_are_corrected_and_struck(store):
    store.add([OTHERS[2], OTHERS[4]])
    ((key, outage),) = store.entries("outage")
    store.correct(key, replace(outage, ended=NOON + timedelta(hours=7)), why="it lasted longer")
    assert store.entries("outage")[0][1].ended == NOON + timedelta(hours=7)
    ((note_key, note),) = store.entries("note")
    store.strike("note", note_key, why="it was a toad")
    assert store.entries("note") == ()
    assert store.corrections("note", note_key)[0].was == note
    assert store.add([OTHERS[2], OTHERS[4]]).already == 2
    assert store.entries("note") == ()


def test_a_struck_reading_is_gone_from_the_sums_and_stays_out(store):
    store.add([stick(), stick(9.0, at=NOON + timedelta(hours=1))])
    key = int(store.readings("tank").keys[1])
    store.strike("reading", key, why="the float stuck")
    assert store.day_sums("tank").most.tolist() == [1.04]
    assert store.add([stick(9.0, at=NOON + timedelta(hours=1))]).already == 1
    assert store.readings("tank").value.tolist() == [1.04]


@pytest.mark.parametrize("why", ["", "  "])
def test_a_correction_needs_its_reason(store, why):
    store.add([stick()])
    key = int(store.readings("tank").keys[0])
    with pytest.raises(BadLog, match="needs its reason"):
        store.correct(key, stick(1.0), why=why)
    with pytest.raises(BadLog, match="no reading with the number 999"):
        store.correct(999, stick(1.0), why="wrong")


def test_the_same_file_again_adds_nothing_unless_it_is_asked_for(store):
    origin = origin_of("june.csv", b"a file", read_as="tank")
    assert store.add([stick()], origin=origin, now=NOW).new == 1
    again = store.add([stick(), stick(2.0, at=NOON + timedelta(hours=1))], origin=origin)
    assert (again.new, again.already, again.known, again.before) == (0, 1, True, NOW)
    more = store.add([stick(2.0, at=NOON + timedelta(hours=1))], origin=replace(origin, again=True))
    assert more.new == 1
    assert store.add([stick(3.0, at=NOW)], origin=Origin("july.csv", "b")).new == 1


def test_all_or_nothing(store):
    with pytest.raises(BadLog, match="is no number: nothing was written"):
        store.add([stick(), stick(math.nan, gauge="other"), *OTHERS], origin=Origin("a", "b"))
    with pytest.raises(BadLog, match="no time zone"):
        store.add([OTHERS[4], stick(at=NOON.replace(tzinfo=None))])
    with pytest.raises(BadLog, match="on which it came, or"):
        store.add([stick(), Load("tank", None, None, 10.0)])
    assert store.readings("tank").count == 0
    assert store.entries("note") == ()
    assert store.add([stick()], origin=Origin("a", "b")).new == 1


def invented(gauge="tank", days=40, seed=7):
    """Quarter hours over the days on which clocks go forward; figures drawn by lot."""
    rng = np.random.default_rng(seed)
    at = np.datetime64("2027-02-20T03:10", "ms") + np.arange(days * 96) * np.timedelta64(15, "m")
    return ManyReadings(gauge, at, rng.random(at.size), zone="America/Chicago", how="ultrasonic")


def test_day_sums_are_those_of_all_readings_however_they_came(store):
    many = invented()
    at, value = many.at_utc, many.value
    rng = np.random.default_rng(3)
    parts = np.array_split(rng.permutation(at.size), 7)
    for part in parts:
        store.add([replace(many, at_utc=at[part], value=value[part])])
    taken = store.readings("tank")
    assert np.array_equal(taken.at_utc, at)
    assert np.array_equal(taken.value, value)
    assert isinstance(store, KeptByDay)
    _equal(store.day_sums("tank"), summed(taken, "America/Chicago"))


def _equal(one, other):
    for name in type(one).__dataclass_fields__:
        np.testing.assert_array_equal(getattr(one, name), getattr(other, name), err_msg=name)


def test_day_sums_of_a_span_are_of_the_days_that_begin_in_it(store):
    store.add([invented()])
    midnight = datetime(2027, 3, 1, tzinfo=CHICAGO)
    for since, first in ((midnight, "2027-03-01"), (midnight + timedelta(hours=1), "2027-03-02")):
        found = store.day_sums("tank", since, until=midnight + timedelta(days=9))
        assert found.dates.astype(str)[[0, -1]].tolist() == [first, "2027-03-09"]


def test_another_zone_counts_the_days_anew(store, kept_in, logged_site):
    store.add([invented()])
    with open_log(logged_site(kept_in, zone="Pacific/Auckland")) as elsewhere:
        _equal(elsewhere.day_sums("tank"), summed(elsewhere.readings("tank"), "Pacific/Auckland"))


def test_what_is_written_stands_when_it_is_opened_again(store, kept_in, logged_site):
    store.add([stick(), *OTHERS])
    store.close()
    with open_log(logged_site(kept_in), make=False) as again:
        assert again.last("tank") == stick()
        assert again.add([stick(), *OTHERS]).already == 6


def test_alerts_that_were_told_are_remembered(store):
    store.set_told({"low tank": NOW, "lamp": NOON})
    assert store.told() == {"low tank": NOW, "lamp": NOON}
    store.set_told({"lamp": NOON})
    assert store.told() == {"lamp": NOON}


def test_an_office_keeps_many_sites_apart(postgres, logged_site):
    address = postgres.database("many")
    one, other = (logged_site(f"{address}#{name}") for name in ("miller", "old%20mill"))
    with open_log(one) as miller, open_log(other) as mill:
        miller.add([stick(), *OTHERS])
        mill.add([stick(3.0), OTHERS[4]])
        assert miller.last("tank").value == 1.04
        assert mill.last("tank").value == 3.0
        assert mill.entries("load") == ()
        with pytest.raises(BadLog, match="no load with the number"):
            mill.entry("load", miller.entries("load")[0][0])
        reading = int(miller.readings("tank").keys[0])
        with pytest.raises(BadLog, match="no reading with the number"):
            mill.strike("reading", reading, why="not ours")


def test_two_who_write_at_once_wait_for_each_other(store, kept_in, logged_site):
    def write(first):
        with open_log(logged_site(kept_in)) as one:
            for n in range(first, first + 60, 2):
                one.add([stick(float(n), at=NOON + timedelta(minutes=n), who=f"{n}")])

    with ThreadPoolExecutor(2) as two:
        for done in [two.submit(write, first) for first in (0, 1)]:
            done.result()
    assert store.readings("tank").value.tolist() == [float(n) for n in range(60)]
    assert store.day_sums("tank").count.tolist() == [60]


def test_two_sites_of_an_office_write_at_once(postgres, logged_site):
    address = postgres.database("at_once")

    def write(name):
        with open_log(logged_site(f"{address}#{name}")) as one:
            for n in range(40):
                one.add([stick(1.0, at=NOON + timedelta(minutes=n), who=f"{n}")])
            return one.readings("tank").count

    with ThreadPoolExecutor(4) as four:
        assert list(four.map(write, "abcd")) == [40] * 4


def test_there_is_no_log_until_something_is_written(logged_site, tmp_path):
    with pytest.raises(BadLog, match="no log beside the site file yet"):
        open_log(logged_site(), make=False)
    assert list(tmp_path.iterdir()) == []


def test_what_is_no_log_is_left_as_it_is(logged_site, tmp_path):
    file = tmp_path / "log.db"
    file.write_text("these are notes, not a database; " * 50)
    with pytest.raises(BadLog, match="was left as it is: it is no log, or is damaged"):
        open_log(logged_site())
    assert file.read_text().startswith("these are notes")
    file.unlink()
    with sqlite3.connect(file) as other:
        other.execute("CREATE TABLE birds (name TEXT)")
    other.close()
    with pytest.raises(BadLog, match=r"holds something else \(birds\)"):
        open_log(logged_site())


def test_a_log_of_a_newer_program_is_left_as_it_is(store, kept_in, logged_site, postgres):
    newer = "UPDATE alembic_version SET version_num = 'v999'"
    if kept_in:
        with postgres.speaking(kept_in.rpartition("/")[2]) as connection:
            connection.cursor().execute(newer)
            connection.commit()
    else:
        with sqlite3.connect(store.place.file) as connection:
            connection.execute(newer)
        connection.close()
    with pytest.raises(BadLog, match=r"written by a newer Eavewell \(layout v999\)"):
        open_log(logged_site(kept_in))


def test_an_office_that_cannot_be_reached_or_has_no_such_database(
    servers, postgres, logged_site, monkeypatch
):
    port = servers.free_port()
    nobody = f"postgresql://eavewell@127.0.0.1:{port}/logs"
    monkeypatch.setenv("EAVEWELL_LOG_SERVER", f"127.0.0.1:{port} 127.0.0.1:{postgres.port}")
    with pytest.raises(BadLog, match="cannot be reached"):
        open_log(logged_site(nobody))
    with pytest.raises(BadLog, match="has no such database"):
        open_log(logged_site(f"postgresql://eavewell@127.0.0.1:{postgres.port}/nowhere"))
    with pytest.raises(BadLog, match="does not let us in"):
        open_log(logged_site(f"postgresql://stranger@127.0.0.1:{postgres.port}/postgres"))


def test_the_newest_come_first_where_only_so_many_are_asked_for(store):
    store.add([stick(float(h), at=NOON + timedelta(hours=h)) for h in range(9)])
    store.add([Note(NOON + timedelta(days=n), f"note {n}") for n in range(5)])
    assert [one.value for _, one in store.latest("reading", most=3)] == [8.0, 7.0, 6.0]
    assert [one.says for _, one in store.latest("note", most=2)] == ["note 4", "note 3"]


@pytest.mark.parametrize("ours", [None, "", "office", "127.0.0.1"])
def test_a_site_file_alone_sends_us_nowhere(logged_site, monkeypatch, ours):
    monkeypatch.delenv("EAVEWELL_LOG_SERVER", raising=False)
    monkeypatch.setenv("EAVEWELL_LOG_PASSWORD", "well water")
    if ours is not None:
        monkeypatch.setenv("EAVEWELL_LOG_SERVER", ours)
    with pytest.raises(BadLog, match=r"keeps its log at 127\.0\.0\.1:9\. As a site") as refused:
        open_log(logged_site("postgresql://eavewell@127.0.0.1:9/logs"))
    assert "well water" not in str(refused.value)


def test_an_erased_log_leaves_nothing_and_other_sites_whole(kept_in, logged_site, tmp_path):
    ours = logged_site(f"{kept_in}#ours" if kept_in else "")
    with open_log(ours) as store:
        store.add([stick(who="Undine Quellwasser"), *OTHERS], origin=Origin("a", "b"))
        store.correct(int(store.readings("tank").keys[0]), stick(2.0), why="wrong")
        store.set_told({"low": NOW})
        if kept_in:
            with open_log(logged_site(f"{kept_in}#theirs")) as theirs:
                theirs.add([stick(who="Kay")])
        store.erase()
    if kept_in:
        with open_log(logged_site(f"{kept_in}#theirs")) as theirs:
            assert theirs.last("tank").who == "Kay"
    else:
        for file in tmp_path.iterdir():
            assert b"Quellwasser" not in file.read_bytes()
            assert b"frog" not in file.read_bytes()
    with open_log(ours) as again:
        assert again.gauges() == ()
        assert again.told() == {}
        assert again.add([stick()], origin=Origin("a", "b")).new == 1
