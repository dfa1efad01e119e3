"""Write docs/logbook_proof.md from what the tests of the logbook count."""

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "logbook_proof.md"
PARTS = {
    "What the roof sheds, first flush and use": ("test_reconcile.py",),
    "Leaks": ("test_leaks.py", "test_night_and_shut.py"),
}
COUNT = re.compile(r"\| (.+?) \| (.+?) \|$")
HEAD = """# The logbook against a simulated truth

The engine is run day by day with what is known (what the roof sheds, first flush, use, a leak), the
gauges are read with noise, and the log must find again what was true. Rain, noise and sites are
invented; every run is seeded by its number, from 0 on. The noise, unless a row says otherwise:
level sd 1 % of the usable capacity, daily use CV 30 %, 2 % of the readings missing, one meter reset
a year, rain gauge CV 5 %, meter within 1 %. A stick of 5 mm is 25 gal in the four 8 ft tanks of
the whole-house example. The rows on a leak within 4 and 14 dry days have neither gaps nor resets,
but for the two that say so.

A false alarm is a day on which a leak is called that was not called the day before, the test being
made every day of the year. This page is written by `scripts/write_logbook_proof.py`.
"""


def main() -> None:
    """Run the tests part by part and write the page."""
    page = [HEAD]
    for words, files in PARTS.items():
        page.append(f"\n## {words}\n\n| what | counted |\n|---|---|")
        page += [f"| {what} | {says} |" for file in files for what, says in _counts(file)]
    PAGE.write_text("\n".join(page) + "\n", encoding="utf-8")


def _counts(file: str) -> list[tuple[str, str]]:
    tests = [sys.executable, "-m", "pytest", "-q", "-s", "-p", "no:cacheprovider"]
    ran = subprocess.run(
        [*tests, f"tests/logbook/{file}"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if ran.returncode:
        sys.exit(ran.stdout)
    return [
        (found[1], found[2]) for line in ran.stdout.splitlines() if (found := COUNT.search(line))
    ]


if __name__ == "__main__":
    main()
