"""A thousand roofs: what a tank of each size would do for a valley.

    python examples/gallery/thousand_roofs.py [FOLDER]

Roofs, records and the valley are invented. Results stay in FOLDER where one is named.
"""

import random
import sys
import tempfile
from pathlib import Path

import polars as pl

from eavewell.district.run import Hands, Sources, screen_district
from eavewell.files.rain.written import write_rain
from eavewell.weather.climates import climate_record

GAUGES = {"dry-uplands": (30.30, -97.90), "green-lowlands": (30.60, -97.50)}
FINISHES = ("metal", "asphalt shingle", "clay tile")
VALLEY = """
name = "Quailwater valley"
sizes = ["50 gal", "250 gal", "1,000 gal", "2,500 gal", "5,000 gal", "10,000 gal"]
show = "us"
[[set]]
name = "household"
goal = { indoor = { days_met = 0.9 } }
[[set.use]]
name = "indoor"
class = "indoor"
each = "28 gal/day"
fallback = "mains"
"""


def valley(home):
    """Write the valley's file, thirty years of rain at two gauges, and the roofs."""
    (home / "district.toml").write_text(VALLEY)
    gauges = ["file,latitude,longitude"]
    for name, (latitude, longitude) in GAUGES.items():
        written = write_rain(climate_record(name, 30), home / "records" / f"{name}.csv")
        gauges.append(f"{written.name},{latitude},{longitude}")
    (home / "records" / "stations.csv").write_text("\n".join(gauges))

    draw = random.Random(1)
    roofs = ["id,latitude,longitude,area_ft2,finish,people"]
    for row in range(1000):
        latitude, longitude = draw.choice(list(GAUGES.values()))
        at = f"{latitude + draw.uniform(-0.1, 0.1):.4f},{longitude + draw.uniform(-0.1, 0.1):.4f}"
        finish, people = draw.choice(FINISHES), draw.randint(1, 6)
        roofs.append(f"r{row},{at},{draw.uniform(600, 3500):.0f},{finish},{people}")
    (home / "roofs.csv").write_text("\n".join(roofs))


def screened(home):
    """Screen the roofs and tell of each size the middle roof, and how many reach their goal."""
    valley(home)
    sources = Sources(home / "roofs.csv", home / "district.toml", home / "records")
    screen_district(sources, out=home / "screened", hands=Hands(workers=1))
    return (
        pl.read_parquet(home / "screened" / "sizes" / "**" / "*.parquet")
        .group_by("size_l")
        .agg(
            pl.col("supplied_share").median().alias("middle"),
            pl.col("supplied_share").quantile(0.1).alias("tenth"),
            pl.col("reaches_goal").mean().alias("reach"),
        )
        .sort("size_l")
    )


def main():
    """Print a line for each size."""
    with tempfile.TemporaryDirectory() as folder:
        home = Path(sys.argv[1] if len(sys.argv) > 1 else folder)
        home.mkdir(parents=True, exist_ok=True)
        print(f"{'size':>10}{'middle roof':>14}{'worst tenth':>14}{'reach 90 % of days':>21}")
        for size_l, middle, tenth, reach in screened(home).iter_rows():
            print(f"{size_l / 3.785411784:6,.0f} gal{middle:14.1%}{tenth:14.1%}{reach:21.1%}")
    print("Modelled, not verified; invented rain.")


if __name__ == "__main__":
    main()
