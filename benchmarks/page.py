"""Changing a value on the page of the whole house on 80 years of rain, and the first page."""

import random
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
import tomllib
from pathlib import Path

from fastapi.testclient import TestClient

from benchmarks.whole_process import SITE, _on_a_record
from eavewell.files.site.toml_splices import standing_at
from eavewell.web.addresses import field_of, part_named, steps
from eavewell.web.app import pages
from eavewell.web.forms import said
from eavewell.web.site_folders import version_of

EDITS = 60
# what is changed, and what it may say: roofs, tanks, uses, rain, ground, money, words
KINDS = {
    "roof/0/eave": ("9 ft", "9 ft 2 in", "9 ft 4 in"),
    "roof/0/plan": ("60 ft x 44 ft", "62 ft x 44 ft", "64 ft x 44 ft"),
    "tank/0/base": ("0 in", "1 in", "2 in"),
    "tank/0/count": ("3", "4", "5"),
    "use/0/people": ("2", "3", "4"),
    "place/elevation": ("1,400 ft", "1,480 ft", "1,500 ft"),
    "money/currency": ("USD", "EUR"),
    "name": ("Hill house", "Hill house again"),
    "datum": ("the slab", "the sill"),
}
FIRST = """
import sys, time
start = time.perf_counter()
from fastapi.testclient import TestClient
from eavewell.web.app import pages
page = TestClient(pages(sys.argv[1]), base_url="http://127.0.0.1").get("/")
assert page.status_code == 200
print(time.perf_counter() - start)
"""


def report():
    """Print median and 95th of a hundred over edits of many kinds, and the cold start."""
    print(f"{'page':36}{'median ms':>10}{'p95 ms':>10}{'most ms':>10}")
    with tempfile.TemporaryDirectory() as folder:
        site = Path(folder, "house")
        shutil.copytree(SITE.parent, site)
        _on_a_record(str(site))
        waits = _waits(folder)
        middle, late = statistics.median(waits), statistics.quantiles(waits, n=20)[-1]
        print(f"{'change a value':36}{middle:10.0f}{late:10.0f}{max(waits):10.0f}")
        started = subprocess.run(
            [sys.executable, "-c", FIRST, folder], capture_output=True, text=True, check=True
        )
        print(f"{'cold start to first page':36}{1000.0 * float(started.stdout):10.0f}")


def _waits(folder):
    """Milliseconds from asking to the whole answer, of every change that was taken."""
    marked = {"x-eavewell-mark": "ours"}
    client = TestClient(pages(folder, mark="ours"), base_url="http://127.0.0.1", headers=marked)
    assert client.get("/sites/house").status_code == 200
    rng, waits, last, turned_down = random.Random(1), [], {}, {}
    for row in range(EDITS):
        way = list(KINDS)[row % len(KINDS)]
        value = rng.choice([one for one in KINDS[way] if one != last.get(way)])
        shown = _shown(Path(folder, "house", "site.toml"), steps(way))
        start = time.perf_counter()
        answered = client.post(
            "/sites/house/change", data={"address": way, "value": value, **shown}
        )
        waits.append(1000.0 * (time.perf_counter() - start))
        last[way] = value
        if answered.status_code != 200:
            turned_down[way] = answered.status_code, answered.text[:1500]
    if turned_down:
        print(f"turned down: {turned_down}")
    return waits


def _shown(file, way):
    """What the page sends along of the field as it stands."""
    text = file.read_text()
    raw = tomllib.loads(text)
    was, of = said(standing_at(raw, way), field_of(way)), part_named(raw, way)
    return {"was": was, "of": of, "version": version_of(text)}


if __name__ == "__main__":
    report()
