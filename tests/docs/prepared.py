"""What a page rests on and does not write itself, made in an empty folder; all of it invented."""

import csv
import io
import shutil
from datetime import datetime
from pathlib import Path

from eavewell.files.field.block import checksum
from eavewell.files.rain.written import write_rain
from eavewell.files.site.reader import read_site
from eavewell.logbook.entries.phone_text import FIRST, LAST
from eavewell.logbook.store import open_log
from eavewell.site.entry import Reading
from eavewell.weather.climates import climate_record

HOME = Path(__file__).parents[2]
METER = """
[log]
[[log.gauge]]
name = "house"
measures = "meter"
of = "house water"
"""
READINGS = "time,main (in),house (gal)\n2026-06-01 07:30,60,1000\n2026-06-08 07:30,55,1500\n"
ENTRY = ("entry: reading", "gauge: main", "said: 41", "at: 2026-07-04T07:30:05-06:00")
STATIONS = (("hill", 30.30, -97.90), ("creek", 30.60, -97.50))
ROOFS = [("id", "latitude", "longitude", "area_ft2", "people")] + [
    (f"r{row}", 30.30 + 0.03 * row, -97.90 + 0.04 * row, 900 + 150 * row, 1 + row % 4)
    for row in range(8)
]
GUESTS = [
    ("Name", "Town", "Roof", "What for"),
    ("Ada Wren", "Quailwater", "24 x 40 ft metal", "tomatoes"),
    ("Cleo Finch", "Quailwater", "unknown", ""),
]


def log_of_a_house(page):
    """The whole house with a meter, open in this folder, readings of a month, and a telephone's.

    Its log holds a night of its tank, and a stick that has another name by now.
    """
    shutil.copy(HOME / "examples/whole-house/site.toml", "site.toml")
    with Path("site.toml").open("a", encoding="utf-8") as site:
        site.write(METER)
    Path("june.csv").write_text(READINGS)
    told = [FIRST, "site: Quailwater hill house", "made: 2026-07-01 08:00", *ENTRY]
    Path("house log 2027-03-04.txt").write_text(
        "\n".join([*told, "", f"check: {checksum(told)}", LAST, ""])
    )
    with open_log(read_site(Path("site.toml"))) as log:
        log.add(
            Reading(gauge, datetime(2026, 6, *at).astimezone(), 1.2)
            for gauge, at in (("main", (10, 20, 0)), ("main", (11, 7, 30)), ("old stick", (1, 8)))
        )


def district_of_the_guide(page):
    """Roofs and two records, and the district's file that the guide to many roofs shows."""
    text = (HOME / "docs" / "district_file.md").read_text(encoding="utf-8")
    shown = text[text.index("## The district's file") :].split("```toml\n")[1].split("```")[0]
    Path("district.toml").write_text(shown, encoding="utf-8")
    _table("roofs.csv", ROOFS)
    _table("sign-in.csv", GUESTS)
    for name, *_ in STATIONS:
        write_rain(climate_record("dry-uplands", 30), Path("records", f"{name}.csv"))
    lines = [("file", "latitude", "longitude")]
    lines += [(f"{name}-invented.csv", *place) for name, *place in STATIONS]
    _table("records/stations.csv", lines)


def _table(name, rows):
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    Path(name).write_text(text.getvalue())


PREPARED = {
    "docs/log.md": log_of_a_house,
    "docs/district_file.md": district_of_the_guide,
    "README.md": district_of_the_guide,
}
