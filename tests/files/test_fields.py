"""The fields tables and the reader are equal: each field is read, and nothing else is."""

import subprocess
import sys
from pathlib import Path

import pytest

from eavewell.faults import BadQuantity
from eavewell.files.site.field_values import value_of
from eavewell.files.site.fields import fields
from eavewell.files.site.new_site import STARTERS, starter_text
from eavewell.files.site.parts import Part
from eavewell.files.site.reader import site_of_text
from eavewell.units import quantities

ROOT = Path(__file__).parents[2]
EVERY = [one for known in fields().values() for one in known.values()]
# what no starter has: each of these sections is opened once
MORE = """
[[tank]]
name = "cone"
backflow_device = "reduced pressure, listed"
listed = "NSF/ANSI/CAN 61"
diameter = "1 m"
height = "2 m"
cone = "1 m"
fire_reserve = { keep = "1 L", held_by = "float" }
[[tank]]
name = "box"
length = "1 m"
width = "1 m"
height = "1 m"
[[tank]]
name = "measured"
table = [["0 m", "0 L"], ["1 m", "9 L"]]
[[roof]]
name = "p"
finish = "metal"
plane = [
  { area = '1 m2' },
  { plan = "1 m x 1 m" },
  { corners = [[0, 0], [1, 0], [1, 1]], corners_unit = "m" },
]
snow = { drained = [1] }
first_flush = { depth = "1 mm" }
screens = [{ name = "s", kept = 0.9 }]
[[use]]
name = "everything"
class = "outdoor"
draws_from = ["main"]
people = 1
fixtures = [{ name = "bath", times = 1 }]
guests = [{ count = 1, each = "1 L/day" }]
animals = [{ species = "sheep", head = 1 }]
washing = [{ name = "w", each = "1 L" }]
cooler = { kind = "no purge" }
when = { months = [1] }
reserve = { keep = "1 %", held_by = "float" }
ration = [{ below = "1 %", share = 0.5, held_by = "float" }]
[[use.plants]]
name = "tabled"
area = "1 m2"
kind = "vegetables"
soil = "loam"
method = "hose"
[[use.plants]]
name = "told"
area = "1 m2"
factor = 0.3
root = "1 m"
soil_water = "2 in/ft"
depletion = 0.5
efficiency = 0.5
[[roof]]
name = "drained"
area = "20 m2"
finish = "metal"
slope = "4 in 12"
[[roof.gutter]]
name = "g"
shape = "half-round"
width = "5 in"
length = "20 ft"
spout_bore = "3 in"
[[roof]]
name = "snowy"
area = "20 m2"
finish = "metal"
first_flush = { depth = "1 mm", bore = "4 in" }
snow = { guards = true }
[[pipe]]
name = "down"
carries = ["drained"]
to = "cone"
size = "4 in"
length = "20 ft"
[[pipe]]
name = "wet"
carries = ["drained"]
to = "down"
bore = "4 in"
length = "20 ft"
held_full = true
fittings = { "90 elbow" = 2 }
[[tank]]
name = "fitted"
diameter = "1 m"
height = "1 m"
overflow_pipe = { size = "4 in" }
link = { size = "2 in", length = "1 m" }
floors = ["0 ft"]
stands_on = { kind = "slab" }
burial = { cover = "1 ft" }
[[tank]]
name = "open"
each = "9 L"
overflow_pipe = { weir = "1 m" }
[[lift]]
name = "own"
from = "cone"
to = "box"
riser = { size = "2 in", length = "3 m" }
own_pump = { name = "p", kind = "sump", curve = [["0 L/s", "5 m"], ["1 L/s", "2 m"]] }
[[line]]
name = "yard"
from = "cone"
size = "1 in"
length = "50 m"
suction = { size = "1 in", length = "1 m" }
pressure_tank = { size = "20 gal" }
in_line = [
  { name = "f", kind = "filter", flow = "10 gal/min", clean = "2 psi" },
  { name = "c", kind = "chlorine", chlorine = "2 mg/L" },
  { name = "t", kind = "contact tank", holds = "80 gal" },
  { name = "l", kind = "lamp", flow = "10 gal/min", clean = "2 psi" },
]
outlets = [{ name = "tap", fixture = "hose", branch = { size = "1/2 in", length = "1 m" } }]
troughs = [{ name = "t", volume = "90 gal" }]
[[line.laterals]]
name = "row"
plants = 9
emitter = "1 gal/h"
emitter_at = "15 psi"
spacing = "1 ft"
size = "1/2 in poly line"
feed = { bore = "13 mm", length = "1 m" }
[storm]
city = "Birmingham, AL"
[money]
tiers = [{ up_to = "1,000 gal", price = "$3 per 1,000 gal" }, { price = "$5 per 1,000 gal" }]
rebates = [{ name = "valley", per_volume = "$0.50 per gal", most = "$500" }]
others = [{ name = "a well", first_low = "$9,000", first_high = "$30,000" }]
[power]
battery = "5 kWh"
[water]
ph = 6.1
tests = [{ of = "E. coli", found = "absent", on = 2027-05-02, tap = "kitchen", by = "lab" }]
[rules]
papers = [{ name = "site plan", done = 2027-03-01, by = "county" }]
[weigh]
counts = [1, 2]
[[use]]
name = "cooled"
class = "indoor"
draws_from = ["main"]
cooler = { each = "1 L/day" }
[plan]
unit = "ft"
north = 12
property = [[-20, -20], [90, -20]]
tank = [{ of = "main", x = -9, y = 12.5 }]
pipe = [{ of = "house main", way = [[0, 0], [-9, 12.5]] }]
tree = [{ name = "oak", x = 40, y = -12, across = "20 ft" }]
[log]
zone = "America/Chicago"
broker = "barn:1883"
gauge = [
  { name = "eye", measures = "level", of = "main", feed = { topic = "t" } , unit = "in" },
]
tell = { topic = "alerts" }
share = { agreed = ["age"], town = "Tallgrass" }
"""


def test_every_field_is_read_and_every_field_read_is_in_the_table(monkeypatch):
    read = set()
    plain = Part.__getitem__

    def noting(part, name):
        read.add((part.section, name))
        return plain(part, name)

    monkeypatch.setattr(Part, "__getitem__", noting)
    for like in STARTERS:
        site_of_text(starter_text(like))
    drought = "drought = [" + ", ".join(f'{{ month = {m}, rain = "0 mm" }}' for m in range(1, 13))
    # what the starter says of water, rules, money and weighing is said in full below
    text = (
        starter_text("whole-house")
        .split("\n[water]")[0]
        .replace('climate = "dry', drought + ']\nclimate = "dry')
    )
    site_of_text(text + MORE)
    assert read == {(one.section, one.name) for one in EVERY}


@pytest.mark.parametrize("field", EVERY, ids=lambda one: f"{one.section} {one.name}")
def test_a_row_is_whole(field):
    assert field.label
    assert field.meaning.endswith(".")
    assert not field.inner or field.inner == "goals" or field.inner in fields()
    if field.otherwise:
        assert not field.required
    if field.low is not None and field.high is not None:
        assert field.low < field.high
    if field.quantity in quantities() and field.high is not None:
        with pytest.raises(BadQuantity, match=r"too large|more than the whole"):
            value_of(f"{field.high * 1.001 + 1:.3f} {quantities()[field.quantity].internal}", field)


def test_the_page_of_fields_is_fresh():
    script = ROOT / "scripts" / "write_field_docs.py"
    assert subprocess.run([sys.executable, script, "--check"], check=False).returncode == 0, (
        "run scripts/write_field_docs.py"
    )
