"""Changing a value on the page of the whole house on 80 years of rain, and the first page."""

import shutil
import statistics
import subprocess
import sys
import tempfile
import time
import tomllib
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

from fastapi.testclient import TestClient

from benchmarks.whole_process import SITE, _on_a_record
from eavewell.files.site.toml_splices import standing_at
from eavewell.web.addresses import field_of, part_named, steps
from eavewell.web.app import pages
from eavewell.web.forms import said
from eavewell.web.site_folders import version_of

EDITS = 60
# what is changed, and what the nth change says: never what it has said before
KINDS = {
    "roof/0/eave": lambda n: f"{108 + 0.01 * n:.2f} in",
    "roof/0/plan": lambda n: f"{60 + 0.01 * n:.2f} ft x 44 ft",
    "tank/0/base": lambda n: f"{0.02 * n:.2f} in",
    "tank/0/height": lambda n: f"{90 + 0.02 * n:.2f} in",
    "use/0/people": lambda n: f"{2 + 0.01 * n:.2f}",
    "place/elevation": lambda n: f"{1400 + n} ft",
    "money/kwh": lambda n: f"${0.10 + 0.001 * n:.3f}",
    "name": lambda n: f"Hill house {n}",
    "datum": lambda n: f"slab {n}",
}
# of these, what changes how much water there is: the balance is run again through the record
BALANCE = ("roof/0/plan", "tank/0/height", "use/0/people")
PORT, STARTS = 8555, 5


def report():
    """Print median and 95th of a hundred over edits of many kinds, and the cold start.

    Beside the wait stands the time of the processor, which does not depend on who else works.
    """
    print(f"{'page':36}{'median ms':>10}{'p95 ms':>10}{'most ms':>10}")
    with tempfile.TemporaryDirectory() as folder:
        site = Path(folder, "house")
        shutil.copytree(SITE.parent, site)
        _on_a_record(str(site))
        changes = taken(folder)
        _lines("change a value", changes)
        _lines("of the balance", [one for one in changes if one[0] in BALANCE])
        print(f"{'cold start to first page':36}{1000.0 * cold_start_s(folder):10.0f}")


def cold_start_s(folder):
    """From `eavewell open` in a terminal to the whole first page: the median of five, in s."""
    command = Path(sys.executable).with_name("eavewell")
    asked = [command, "open", folder, "--no-browser", "--port", str(PORT)]
    return statistics.median(_started_s(asked) for _ in range(STARTS))


def _started_s(asked):
    start = time.perf_counter()
    with subprocess.Popen(asked, stdout=subprocess.DEVNULL) as server:
        try:
            while server.poll() is None:
                try:
                    with urlopen(f"http://127.0.0.1:{PORT}/", timeout=20.0) as page:
                        assert b"</html>" in page.read()
                    return time.perf_counter() - start
                except (ConnectionError, URLError):
                    time.sleep(0.005)
            raise SystemExit("the server did not start")
        finally:
            server.terminate()


def _lines(what, changes):
    """The wait and the time of the processor of some changes."""
    for at, name in enumerate(("wait", "processor"), 1):
        ms = [one[at] for one in changes]
        middle, late = statistics.median(ms), statistics.quantiles(ms, n=20)[-1]
        print(f"{f'{what}, {name}':36}{middle:10.0f}{late:10.0f}{max(ms):10.0f}")


def taken(folder):
    """What was changed, and milliseconds to the whole answer: waited, and reckoned."""
    marked = {"x-eavewell-mark": "ours"}
    client = TestClient(pages(folder, mark="ours"), base_url="http://127.0.0.1", headers=marked)
    assert client.get("/sites/house").status_code == 200
    changes = []
    for row in range(EDITS):
        way = list(KINDS)[row % len(KINDS)]
        value = KINDS[way](row)
        shown = _shown(Path(folder, "house", "site.toml"), steps(way))
        start, busy = time.perf_counter(), time.process_time()
        answered = client.post(
            "/sites/house/change", data={"address": way, "value": value, **shown}
        )
        waited, reckoned = time.perf_counter() - start, time.process_time() - busy
        changes.append((way, 1000.0 * waited, 1000.0 * reckoned))
        assert answered.status_code == 200, answered.text[:1500]
        assert 'class="results stale"' not in answered.text, f"{way} = {value}: not whole"
    return changes


def _shown(file, way):
    """What the page sends along of the field as it stands."""
    text = file.read_text()
    raw = tomllib.loads(text)
    was, of = said(standing_at(raw, way), field_of(way)), part_named(raw, way)
    return {"was": was, "of": of, "version": version_of(text)}


if __name__ == "__main__":
    report()
