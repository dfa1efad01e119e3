"""What a CAD program reads of an example is what its site file says, to a millimetre.

The site file is read here by itself, as text, so that no reader of ours stands between.
"""

import csv
import io
import re
import tomllib
from functools import cache
from pathlib import Path

import ezdxf
import pytest
from tests.drawings.every_sheet import EXAMPLES, NAMES, sheets_of

from eavewell.drawings.dxf import dxf

LAYERS = Path(__file__).parents[2] / "src" / "eavewell" / "tables" / "layers.csv"
M = {"ft": 0.3048, "in": 0.0254, "m": 1.0, "mm": 0.001}
TO_1_MM = 0.001


def metres(text):
    """A length in words, such as 6 ft 10 in or 33 1/2 in."""
    below = text.startswith("-")
    total = 0.0
    for whole, share, unit in re.findall(r"([\d.]+)(?: (\d+/\d+))? (ft|in|mm|m)\b", text):
        top, bottom = share.split("/") if share else (0, 1)
        total += (float(whole) + float(top) / float(bottom)) * M[unit]
    return -total if below else total


@cache
def stores(name):
    """Tanks and sumps of a site file, in metres."""
    file = tomllib.loads((EXAMPLES / name / "site.toml").read_text(encoding="utf-8"))
    wanted = ("diameter", "length", "height", "base", "outlet", "overflow")
    return [
        {key: metres(one[key]) for key in wanted if key in one} | {"count": one.get("count", 1)}
        for one in (*file.get("tank", ()), *file.get("sump", ()))
    ]


@cache
def cad(name, sheet):
    return ezdxf.read(io.StringIO(dxf(sheets_of(name)[sheet])))


@pytest.mark.parametrize("name", NAMES)
def test_the_section_gives_diameter_floor_and_rim_of_every_tank(name):
    drawn = []
    for line in cad(name, "section").modelspace().query('LWPOLYLINE[layer=="TANK"]'):
        across, up = zip(*(point[:2] for point in line.get_points()), strict=True)
        drawn.append((max(across) - min(across), min(up), max(up)))
    assert stores(name)
    for one in stores(name):
        size = (
            one.get("diameter", one.get("length")),
            one["base"],
            one["base"] + one["height"],
        )
        found = [tank for tank in drawn if tank == pytest.approx(size, abs=TO_1_MM)]
        assert len(found) >= min(one["count"], 2), size


@pytest.mark.parametrize("name", NAMES)
def test_the_section_has_a_sign_at_every_level_of_a_tank(name):
    signs = cad(name, "section").modelspace().query('INSERT[name=="LEVEL" & layer=="LEVEL"]')
    levels = [sign.dxf.insert.y for sign in signs]
    for one in stores(name):
        for level in (0.0, one["height"], one["outlet"], one["overflow"]):
            there = one["base"] + level
            assert any(found == pytest.approx(there, abs=TO_1_MM) for found in levels), there


@pytest.mark.parametrize("name", NAMES)
def test_the_plan_gives_the_diameter_of_every_round_tank(name):
    circles = cad(name, "plan").modelspace().query('CIRCLE[layer=="TANK"]')
    across = [2 * circle.dxf.radius for circle in circles]
    for one in stores(name):
        if "diameter" in one:
            found = [d for d in across if d == pytest.approx(one["diameter"], abs=TO_1_MM)]
            assert len(found) >= min(one["count"], 2)


@pytest.mark.parametrize("name", NAMES)
def test_a_dimension_of_the_plan_measures_what_it_says(name):
    measured = cad(name, "plan").modelspace().query("DIMENSION")
    assert len(measured) >= 2
    for one in measured:
        # shown to an inch
        assert one.get_measurement() == pytest.approx(metres(one.dxf.text), abs=0.0128)


@pytest.mark.parametrize("name", NAMES)
def test_every_sheet_is_in_metres_on_the_layers_of_the_table(name):
    with LAYERS.open(encoding="utf-8", newline="") as file:
        table = {row["layer"].upper(): row for row in csv.DictReader(file)}
    for sheet in sheets_of(name):
        doc = cad(name, sheet)
        assert (doc.header["$INSUNITS"], doc.header["$MEASUREMENT"]) == (6, 1)
        audit = doc.audit()
        assert (audit.errors, audit.fixes) == ([], [])
        used = {entity.dxf.layer for entity in doc.modelspace()}
        assert used <= {*table, "0", "Defpoints"}
        for called, row in table.items():
            layer = doc.layers.get(called)
            assert "#{:02x}{:02x}{:02x}".format(*layer.rgb) == row["ink"].lower()
            # the format knows some widths only, none farther off than 0.02 mm here
            assert layer.dxf.lineweight == pytest.approx(100 * float(row["width_mm"]), abs=2)
            assert (layer.dxf.linetype != "Continuous") == bool(row["dash_mm"])
