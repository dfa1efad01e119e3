"""Roofs that lie far from their gauge, or far above it, are counted where their rain is told."""

from datetime import date

import pytest
from tests.district.made_district import folder_of

from eavewell.district.programme import programme
from eavewell.district.run import Hands, Sources, screen_district

ROOFS = 20
# the gauges stand at 900 to 902 ft; 500 ft above them is far
LOW_FT, HIGH_FT = 1000, 1450


def screened(home, high):
    folder_of(home, ROOFS)
    head, *lines = (home / "roofs.csv").read_text().splitlines()
    for at, line in enumerate(lines):
        cells = line.split(",")
        cells[7] = str(HIGH_FT if at < high else LOW_FT)
        lines[at] = ",".join(cells)
    (home / "roofs.csv").write_text("\n".join((head, *lines)) + "\n")
    sources = Sources(home / "roofs.csv", home / "district.toml", home / "records")
    run = screen_district(sources, out=home / "screened", hands=Hands(1)).run
    told = programme(sources, home / "screened", day=date(2027, 3, 1)).told
    return [
        [one for one in says if "may be another" in one] for says in (run["says"], told["says"])
    ]


@pytest.mark.parametrize(
    ("high", "roofs"), [(0, ""), (4, "Fewer than 5 roofs"), (7, "7 roofs"), (20, "20 roofs")]
)
def test_they_are_counted_by_run_and_paper(tmp_path, high, roofs):
    by_run, by_paper = screened(tmp_path, high)
    assert by_run == by_paper
    says = f"{roofs} lie more than 15 mi from their gauge, or 500 ft above or below it: "
    assert by_run == ([f"{says}their rain may be another."] if roofs else [])
