"""Many roofs as a user screens them: seconds, memory, and one worker beside two.

Run as processes of their own. Start-up is the same command on a few roofs of the same records.
Beside the wait stands the time of the processor, which depends less on who else works.
"""

import random
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from eavewell.files.rain.written import write_rain
from eavewell.weather.climates import climate_record

YEARS, SIZES, TIMES = 40, 20, 5
FEW, THOUSAND, SOME, MANY = 60, 1_000, 10_000, 100_000
CLIMATES = ("dry-uplands", "green-lowlands", "dry-summer-coast")
PLACES = ((30.30, -97.90), (30.60, -97.50), (30.85, -97.20))
FINISHES = ("metal", "asphalt shingle", "clay tile")
GAL = [round(50 * 1.335**n) for n in range(SIZES)]
SETTINGS = f"""
name = "invented district"
sizes = [{", ".join(f'"{size} gal"' for size in GAL)}]
[[set]]
name = "household"
goal = {{ indoor = {{ days_met = 0.9 }} }}
[[set.use]]
name = "indoor"
class = "indoor"
each = "28 gal/day"
fallback = "mains"
"""


def report():
    """Print the table; say so where the command line is not there."""
    command = shutil.which("eavewell", path=Path(sys.executable).parent)
    if command is None:
        print("district: skipped, the command line is not installed.")
        return
    print(f"{'roofs x 40 years x 20 sizes':36}{'workers':>8}{'s':>9}{'CPU s':>9}{'peak MB':>9}")
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        written(home)
        _whole(command, home)
        print()
        _compared(command, home)


def _whole(command, home):
    """Start-up, then some and many roofs on two workers; time a roof without start-up."""
    spent = {count: _line(command, home, count=count, workers=2) for count in (FEW, SOME, MANY)}
    for what, place in (("wait", 0), ("processor", 1)):
        some, many = (
            1e6 * (spent[count][place] - spent[FEW][place]) / (count - FEW)
            for count in (SOME, MANY)
        )
        print(f"a roof, {what}, start-up apart: {some:.0f} us of {SOME:,}, ", end="")
        print(f"{many:.0f} us of {MANY:,}: {many / some:.2f} times")
    days = MANY * SIZES * YEARS * 365.25
    print(f"{days / spent[MANY][0] / 1e9:.2f} G lane-days/s, start-up, table and files included")


def ratios(command, home):
    """How many times as fast two workers are as one on many roofs, turn by turn, start-up apart.

    The start-up that is taken off is the median of as many turns.
    """
    start, whole = (
        [
            [taken(command, home, count=count, workers=workers)[0] for workers in (1, 2)]
            for _ in range(TIMES)
        ]
        for count in (FEW, MANY)
    )
    first, second = (statistics.median(turn[at] for turn in start) for at in (0, 1))
    return [(one - first) / (two - second) for one, two in whole]


def _compared(command, home):
    """One worker beside two: the median of the ratios."""
    found = ratios(command, home)
    told = ", ".join(f"{ratio:.2f}" for ratio in found)
    print(f"{MANY:,} roofs, two workers for one: {statistics.median(found):.2f} ({told})")


def _line(command, home, *, count, workers):
    seconds, busy, peak_mb = taken(command, home, count=count, workers=workers)
    print(f"{count:<36,}{workers:>8}{seconds:9.1f}{busy:9.1f}{peak_mb:9.0f}", flush=True)
    return seconds, busy


def taken(command, home, *, count, workers):
    """Seconds, seconds of the processor, and the peak of all processes together in MB."""
    out = home / "out"
    shutil.rmtree(out, ignore_errors=True)
    arguments = [command, "district", home / f"{count}.csv", "--records", home / "records"]
    arguments += ["--out", out, "--workers", workers]
    start, before, peak = time.perf_counter(), _busy(), 0.0
    run = subprocess.Popen([str(one) for one in arguments], stdout=subprocess.DEVNULL)
    while run.poll() is None:
        peak = max(peak, sum(_resident_mb(pid) for pid in _family(run.pid)))
        time.sleep(0.05)
    assert run.returncode == 0
    return time.perf_counter() - start, _busy() - before, peak


def _busy():
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _family(pid):
    found, waiting = [pid], [pid]
    while waiting:
        for tasks in Path(f"/proc/{waiting.pop()}/task").glob("*/children"):
            try:
                below = [int(number) for number in tasks.read_text().split()]
            except OSError:
                continue
            found, waiting = [*found, *below], [*waiting, *below]
    return found


def _resident_mb(pid):
    try:
        lines = Path(f"/proc/{pid}/status").read_text().splitlines()
    except OSError:
        return 0.0
    return sum(int(line.split()[1]) / 1024.0 for line in lines if line.startswith("VmRSS"))


def written(home):
    """The district's file, three invented records, and a table of each length."""
    (home / "district.toml").write_text(SETTINGS)
    lines = ["file,latitude,longitude"]
    for name, (latitude, longitude) in zip(CLIMATES, PLACES, strict=True):
        path = write_rain(climate_record(name, YEARS), home / "records" / f"{name}.csv")
        lines.append(f"{path.name},{latitude},{longitude}")
    (home / "records" / "stations.csv").write_text("\n".join(lines))
    for count in (FEW, THOUSAND, SOME, MANY):
        (home / f"{count}.csv").write_text("\n".join(roofs(count)))


def roofs(count):
    draw = random.Random(1)
    yield "id,latitude,longitude,area_ft2,finish,people"
    for row in range(count):
        latitude, longitude = draw.choice(PLACES)
        yield (
            f"r{row},{latitude + draw.uniform(-0.1, 0.1):.6f},"
            f"{longitude + draw.uniform(-0.1, 0.1):.6f},{draw.uniform(300, 4000):.1f},"
            f"{draw.choice(FINISHES)},{draw.randint(1, 6)}"
        )


if __name__ == "__main__":
    report()
