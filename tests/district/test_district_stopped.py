"""Stopped and started again, by any workers, a district comes out the same to the byte."""

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

import pytest
from tests.district.made_district import SETTINGS, folder_of

from eavewell.district.on_workers import _client
from eavewell.district.roof_index import INDEX
from eavewell.district.run import Hands, Sources, screen_district
from eavewell.faults import BadRoofs

ROOFS, GAUGES, LONGEST_S = 3000, 24, 60.0
MANY_SIZES = ", ".join(f'"{100 * n} gal"' for n in range(1, 13))
SLOWER = SETTINGS.replace('"2,500 gal", "100 gal", "700 gal"', MANY_SIZES)


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    home = tmp_path_factory.mktemp("stopped")
    folder_of(home, ROOFS, years=10, gauges=GAUGES, settings=SLOWER)
    screened(home, home / "once", Hands(workers=1))
    return home


def screened(home, out, hands):
    sources = Sources(home / "roofs.csv", home / "district.toml", home / "records")
    return screen_district(sources, out=out, hands=hands)


def bytes_of(out):
    """Every file by its way; without the index, which the command makes for the pages alone."""
    files = (file.relative_to(out) for file in sorted(out.rglob("*")) if file.is_file())
    return {way.as_posix(): (out / way).read_bytes() for way in files if way.parts[0] != INDEX}


def begun(home, out, workers):
    """The command in a group of its own, once its first results are there."""
    args = [sys.executable, "-m", "eavewell", "district", home / "roofs.csv"]
    args += ["--records", home / "records", "--out", out, "--workers", str(workers)]
    with (home / "said").open("wb") as said:
        run = subprocess.Popen(
            [str(arg) for arg in args], start_new_session=True, stdout=said, stderr=said
        )
    until = time.monotonic() + LONGEST_S
    while len(parts(out)) < 2 and run.poll() is None and time.monotonic() < until:
        time.sleep(0.005)
    assert run.poll() is None, (home / "said").read_text()
    return run


def parts(out):
    return list((out / "sizes").glob("record=*/part-*.parquet"))


def workers_of(process):
    """Processes below one, by the kernel's own list."""
    found, waiting = [], [process.pid]
    while waiting:
        for task in Path(f"/proc/{waiting.pop()}/task").glob("*/children"):
            below = [int(number) for number in task.read_text().split()]
            found, waiting = [*found, *below], [*waiting, *below]
    return [pid for pid in found if b"spawn_main" in Path(f"/proc/{pid}/cmdline").read_bytes()]


def test_neither_threads_nor_sizes_of_tasks_change_a_byte(home):
    screened(home, home / "threads", Hands(workers=1, roofs=1))
    assert bytes_of(home / "threads") == bytes_of(home / "once")


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="needs the kernel's list")
def test_two_workers_write_the_same_bytes_and_one_that_is_killed_loses_nothing(home):
    run = begun(home, home / "lost", workers=2)
    os.kill(workers_of(run)[-1], signal.SIGKILL)
    assert len(parts(home / "lost")) < GAUGES, "killed too late to show anything"
    assert run.wait(LONGEST_S) == 0, (home / "said").read_text()
    assert bytes_of(home / "lost") == bytes_of(home / "once")


@pytest.mark.parametrize("workers", [1, 2])
def test_a_killed_run_goes_on_where_it_stood(home, workers):
    out = home / f"killed {workers}"
    run = begun(home, out, workers=workers)
    os.killpg(run.pid, signal.SIGKILL)
    run.wait()
    there = {file: file.stat().st_mtime_ns for file in parts(out)}
    assert 0 < len(there) < GAUGES, "killed too late to show anything"
    assert not (out / "run.json").exists()
    outcome = screened(home, out, Hands(workers=1))
    assert outcome.before > 0
    assert {file: file.stat().st_mtime_ns for file in there} == there
    assert bytes_of(out) == bytes_of(home / "once")


def test_a_run_stopped_from_the_keyboard_says_nothing_of_its_workers_and_goes_on(home):
    out = home / "stopped"
    run = begun(home, out, workers=2)
    os.killpg(run.pid, signal.SIGINT)
    assert run.wait(LONGEST_S) == 130
    assert "Traceback" not in (home / "said").read_text()
    assert not (out / "run.json").exists(), "stopped too late to show anything"
    assert screened(home, out, Hands(workers=1)).before > 0
    assert bytes_of(out) == bytes_of(home / "once")


def test_what_is_done_is_not_done_again_and_another_question_is(home):
    shutil.copytree(home / "once", home / "again")
    outcome = screened(home, home / "again", Hands(workers=1))
    assert outcome.before == outcome.roofs == ROOFS
    fewer = (home / "roofs.csv").read_text().splitlines()[:1501]
    (home / "fewer").mkdir()
    (home / "fewer" / "roofs.csv").write_text("\n".join(fewer))
    sources = Sources(home / "fewer" / "roofs.csv", home / "district.toml", home / "records")
    outcome = screen_district(sources, out=home / "again", hands=Hands(workers=1))
    assert outcome.before == 0
    assert len(parts(home / "again")) == GAUGES


def test_the_results_of_another_table_are_never_swept_away(home):
    shutil.copytree(home / "once", home / "kept")
    shutil.copy(home / "roofs.csv", home / "other.csv")
    sources = Sources(home / "other.csv", home / "district.toml", home / "records")
    before = parts(home / "kept")
    with pytest.raises(BadRoofs, match=r"holds the screening of roofs\.csv"):
        screen_district(sources, out=home / "kept", hands=Hands(workers=1))
    assert parts(home / "kept") == before


def test_workers_take_a_free_port_that_no_other_machine_sees():
    """Nothing is said where another program holds the port that schedulers usually take."""
    with socket.socket() as taken:
        with suppress(OSError):
            taken.bind(("127.0.0.1", 8787))
            taken.listen()
        with _client(1, "") as client:
            server = client.cluster.scheduler.http_server
            assert server.address == "127.0.0.1"
            assert server.port != 8787


def test_a_part_that_was_cut_off_is_done_again(home):
    shutil.copytree(home / "once", home / "cut")
    whole = {path: path.read_bytes() for path in (home / "cut").rglob("part-*.parquet")}
    spoiled = sorted(whole)[:3]
    for path, kept in zip(spoiled, (0, 3, 500), strict=True):
        path.write_bytes(whole[path][:kept])
    outcome = screened(home, home / "cut", Hands(workers=1))
    assert outcome.before < outcome.roofs == ROOFS
    assert all(path.read_bytes() == data for path, data in whole.items())
