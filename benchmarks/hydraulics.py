"""All hydraulics of a house with four tanks, 20 outlets and 60 emitters, stage by stage."""

import statistics
import time
from dataclasses import replace
from pathlib import Path

from eavewell.design import call, design
from eavewell.files.record import beside_of, record_of
from eavewell.files.site.reader import read_site

HOUSE = Path(__file__).parents[1] / "examples" / "whole-house" / "site.toml"
STAGES = (
    "site_storms",
    "drain_roofs",
    "first_flushes",
    "convey",
    "lift_duty",
    "connect",
    "run_line",
    "serve",
    "carry",
)
OUTLETS, TIMES = 20, 5


def house():
    """The example, with outlets added until the pumped line has twenty."""
    site = read_site(HOUSE)
    lines = tuple(_filled(line) if line.pump else line for line in site.lines)
    return replace(site, lines=lines)


def _filled(line):
    first = line.outlets[0]
    more = tuple(
        replace(first, name=f"tap {k}", at_m=None) for k in range(OUTLETS - len(line.outlets))
    )
    return replace(line, outlets=(*line.outlets, *more))


def measured():
    """Milliseconds of each stage, the median of several designs."""
    site = house()
    record, beside = record_of(site), beside_of(site)
    runs = []
    for _ in range(TIMES):
        spent = dict.fromkeys(STAGES, 0.0)

        def noting(function, *inputs, _spent=spent, **named):
            start = time.perf_counter()
            found = call(function, *inputs, **named)
            if function.__name__ in _spent:
                _spent[function.__name__] += time.perf_counter() - start
            return found

        design(site, record, beside=beside, stage=noting)
        runs.append(spent)
    return {name: 1000.0 * statistics.median(run[name] for run in runs) for name in STAGES}


def report():
    """Print the table."""
    found = measured()
    print(f"| hydraulics of a house, {OUTLETS} outlets, 60 emitters | ms |\n|---|---:|")
    for name, spent_ms in found.items():
        print(f"| {name} | {spent_ms:.1f} |")
    print(f"| all | {sum(found.values()):.0f} |")
