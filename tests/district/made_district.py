"""An invented district in the Quailwater valley: records, a table of roofs and its file."""

import random

from eavewell.files.rain.written import write_rain
from eavewell.weather.climates import climate_record

CLIMATES = ("dry-uplands", "green-lowlands", "dry-summer-coast")
FINISHES = ("metal", "asphalt shingle", "clay tile", "gravel", "thatch")
PLACES = ((30.30, -97.90), (30.60, -97.50), (30.85, -97.20))
SETTINGS = """
name = "Quailwater valley"
sizes = ["2,500 gal", "100 gal", "700 gal"]
[roof]
first_flush = { depth = "0.5 mm" }
screens = [{ name = "leaf screen", kept = 0.95 }]
[money]
tiers = [{ up_to = "2,000 gal", price = "$3 per 1,000 gal" }, { price = "$6 per 1,000 gal" }]
mains_month = "$12"
discount = 0.03
rebates = [{ name = "valley", per_volume = "$0.50 per gal", most = "$300" }]
[[set]]
name = "household"
goal = { indoor = { days_met = 0.6 } }
[[set.use]]
name = "indoor"
class = "indoor"
each = "20 gal/day"
fallback = "mains"
[[set]]
name = "house and garden"
goal = { house = { dry_days_in_worst_spell = 60 }, garden = { supplied_share = 0.3 } }
[[set.use]]
name = "garden"
class = "outdoor"
priority = 2
[[set.use.plants]]
name = "beds"
area = "300 ft2"
kind = "vegetables"
soil = "loam"
method = "drip"
[[set.use]]
name = "house"
class = "drinking"
each = "12 gal/day"
when = { weekdays = ["Fri", "Sat", "Sun"] }
[[set]]
name = "rationed"
goal = { indoor = { supplied_share = 0.5 } }
[[set.use]]
name = "indoor"
class = "indoor"
each = "20 gal/day"
fallback = "mains"
reserve = { keep = "10 %", held_by = "outlet height" }
ration = [{ below = "40 %", share = 0.5, held_by = "timer" }]
"""


def records(folder, *, years=6, gauges=3):
    """Daily records of invented climates, and the list of where they were measured."""
    folder.mkdir(parents=True, exist_ok=True)
    files = [write_rain(climate_record(name, years), folder / f"{name}.csv") for name in CLIMATES]
    lines = ["file,station,latitude,longitude,elevation_ft"]
    for at in range(gauges):
        latitude, longitude = PLACES[at % 3]
        turn = 0.01 * (at // 3)
        lines.append(f"{files[at % 3].name},Q{at},{latitude + turn},{longitude},{900 + at}")
    (folder / "stations.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return folder


def roofs_csv(path, count, *, seed=7, sets=("household", "house and garden", "rationed")):
    """A table of random roofs; every one lies near a gauge."""
    draw = random.Random(seed)
    lines = ["id,latitude,longitude,area_ft2,finish,people,use_set,elevation_ft,district"]
    for row in range(count):
        latitude, longitude = draw.choice(PLACES)
        cells = (
            f"roof {row}",
            round(latitude + draw.uniform(-0.1, 0.1), 6),
            round(longitude + draw.uniform(-0.1, 0.1), 6),
            round(draw.uniform(200, 4000), 2),
            draw.choice(FINISHES),
            draw.choice((0.5, 1, 2, 3, 4, 7)),
            draw.choice(sets),
            draw.randint(700, 1500),
            draw.choice(("Upper", "Lower")),
        )
        lines.append(",".join(str(cell) for cell in cells))
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def folder_of(home, count, *, years=6, gauges=3, settings=SETTINGS):
    """Everything a screening starts from, in one folder."""
    home.mkdir(parents=True, exist_ok=True)
    (home / "district.toml").write_text(settings, encoding="utf-8")
    records(home / "records", years=years, gauges=gauges)
    return roofs_csv(home / "roofs.csv", count)
