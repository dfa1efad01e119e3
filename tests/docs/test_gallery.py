"""The scripts of the gallery run as they stand; what they print is held against another way."""

import runpy
import sys
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

from eavewell.weather.climates import climate_record

GALLERY = Path(__file__).parents[2] / "examples" / "gallery"
SCRIPTS = sorted(GALLERY.glob("*.py"))


def _printed(name, capsys, monkeypatch, *words):
    monkeypatch.setattr(sys, "argv", [name, *map(str, words)])
    runpy.run_path(str(GALLERY / name), run_name="__main__")
    return capsys.readouterr().out.splitlines()


def test_there_are_five():
    assert len(SCRIPTS) == 5


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda script: script.stem)
def test_its_first_lines_say_what_it_does_and_how_it_is_run(script):
    lines = script.read_text(encoding="utf-8").splitlines()
    assert lines[0].startswith('"""') and lines[0].endswith(".")
    assert lines[2].strip().startswith(f"python examples/gallery/{script.name}")
    assert len(lines) <= 90


def test_worst_dry_spells_day_by_day(capsys, monkeypatch):
    """The longest spell again, counted one day after the other."""
    record, run, longest, last = climate_record("dry-uplands"), 0, 0, None
    for row, rain in enumerate(record.rain_mm):
        run = run + 1 if rain < 1.0 else 0
        if run > longest:
            longest, last = run, record.first_day + timedelta(days=row)
    told = _printed("worst_dry_spells.py", capsys, monkeypatch)
    first = last - timedelta(days=longest - 1)
    assert told[1] == f"{longest:4} days below 1 mm   {first} to {last}"


def test_worst_dry_spells_of_a_file(capsys, monkeypatch, tmp_path):
    """A year in which it rains 3 mm on each tenth day: nine days lie between."""
    days = [date(2001, 1, 1) + timedelta(days=row) for row in range(400)]
    rows = [f"{day},{3.0 if row % 10 == 0 else 0.0}" for row, day in enumerate(days)]
    (tmp_path / "tenth.csv").write_text("\n".join(["date,rain (mm)", *rows]))
    told = _printed("worst_dry_spells.py", capsys, monkeypatch, tmp_path / "tenth.csv")
    assert told[1].split()[0] == "9"
    assert [line.split()[:4] for line in told if line.startswith("  30")] == [
        ["30", "days", "with", "9"]
    ]


def test_larger_sumps_lift_more(capsys, monkeypatch):
    told = _printed("sump_and_pump.py", capsys, monkeypatch)
    for line in told[1:-1]:
        shares = [float(cell.rstrip("%")) for cell in line.split() if cell.endswith("%")]
        assert len(shares) == 4
        assert shares == sorted(shares)
        assert shares[0] > 0.0 and shares[-1] <= 100.0


def test_less_water_is_ordered_earlier(capsys, monkeypatch):
    told = _printed("order_by.py", capsys, monkeypatch)[1:]
    days = [line[38:].split("  ")[0].strip() for line in told]
    assert len(days) == 6
    assert days == sorted(days, reverse=True)
    assert "2027-05-01" <= days[-1] < "2027-05-08"


def test_larger_tanks_never_supply_less_on_a_thousand_roofs(capsys, monkeypatch, tmp_path):
    told = _printed("thousand_roofs.py", capsys, monkeypatch, tmp_path / "valley")[1:-1]
    rows = np.array([[float(cell.strip("%")) for cell in line.split()[2:]] for line in told])
    assert rows.shape == (6, 3)
    assert (np.diff(rows, axis=0) >= 0.0).all()
    assert (tmp_path / "valley" / "screened" / "run.json").is_file()


def test_ranges_hold_their_low_end_below_their_high_one(capsys, monkeypatch):
    told = _printed("sizes_with_ranges.py", capsys, monkeypatch)[:5]
    ends = np.array(
        [[float(x.strip("%")) for x in line.split() if x.endswith("%")] for line in told]
    )
    assert (ends[:, 0] < ends[:, 1]).all()
    assert (np.diff(ends, axis=0) > 0.0).all()
