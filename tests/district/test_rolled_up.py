"""Roofs rolled up: sums by plain arithmetic, and no household known from what is told."""

import itertools
import json
import random
import shutil
from collections import defaultdict

import numpy as np
import polars
import pytest
from tests.district.made_district import folder_of

from eavewell.district.grouped import REST, few, grouped
from eavewell.district.rolled_up import places_at, roll_up
from eavewell.district.run import Hands, Sources, screen_district
from eavewell.district.squares import geojson, in_steps, squares_of
from eavewell.faults import BadRoofs

COUNT = 60


def screened(home, out="screened"):
    sources = Sources(home / "roofs.csv", home / "district.toml", home / "records")
    screen_district(sources, out=home / out, hands=Hands(1))
    return home / out


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    home = tmp_path_factory.mktemp("rolled") / "valley"
    folder_of(home, COUNT)
    lines = (home / "roofs.csv").read_text().splitlines()
    # three roofs of a ward of their own
    lines[1:4] = [line.rpartition(",")[0] + ",Mill Lane" for line in lines[1:4]]
    (home / "roofs.csv").write_text("\n".join(lines))
    return screened(home)


@pytest.fixture(scope="module")
def rows(folder):
    """Every roof at every size, put together by hand."""
    roofs = {
        one["row"]: one
        for path in folder.glob("roofs/*/*.parquet")
        for one in polars.read_parquet(path).to_dicts()
    }
    return [
        roofs[one["row"]] | one
        for path in folder.glob("sizes/*/*.parquet")
        for one in polars.read_parquet(path).to_dicts()
    ]


def test_all_roofs_together_at_every_size(folder, rows):
    found = roll_up(folder).whole
    assert found.roofs == COUNT
    assert [one.size_l for one in found.sizes] == sorted({row["size_l"] for row in rows})
    for one in found.sizes:
        mine = [row for row in rows if row["size_l"] == one.size_l]
        assert one.roofs == len(mine) == COUNT
        assert one.reaching == sum(row["reaches_goal"] for row in mine)
        for name, value in one.sums.items():
            assert value == pytest.approx(sum(row[name] for row in mine), rel=1e-12), name
        shares = sorted(row["supplied_share"] for row in mine)
        assert one.supplied_share == pytest.approx(sum(shares) / COUNT, rel=1e-12)
        # the sixth and the fifty-fourth of sixty
        assert one.share_low == int(shares[5] * 100) / 100
        assert one.share_high == int(shares[53] * 100) / 100
        # the thirtieth of sixty; what is longer than a year is told as 366
        runs = sorted(min(row["dry_days_in_worst_spell"], 366) for row in mine)
        assert one.half_run_days == runs[29]
        sets = defaultdict(int)
        for row in mine:
            sets[row["use_set"]] += 1
        assert dict(one.use_sets) == sets


def test_the_run_says_the_same_run_of_short_days_and_that_rain_is_invented(folder):
    run = json.loads((folder / "run.json").read_text())
    whole = roll_up(folder).whole
    assert [one["half_run_days"] for one in run["sizes"]] == [
        one.half_run_days for one in whole.sizes
    ]
    assert run["says"][-1].startswith("Some records are invented")


def test_a_ward_of_three_is_neither_told_nor_named(folder, rows):
    found = roll_up(folder)
    by_name = {line.name: line for line in found.districts}
    assert set(by_name) == {"Upper", "Lower", REST}
    assert found.few_districts == 1
    # the smaller of the two others goes with it into the rest, and is named
    told = {name: line.roofs for name, line in by_name.items() if line.told}
    count = {name: sum(row["district"] == name for row in rows) // 3 for name in by_name}
    smaller = min(("Upper", "Lower"), key=lambda name: count[name])
    assert not by_name[smaller].told
    assert told[REST] == found.rest == 3 + count[smaller]
    assert sum(told.values()) == COUNT


def test_lines_by_record_hold_what_they_say(folder, rows):
    found = roll_up(folder)
    assert sum(line.roofs for line in found.records) == COUNT
    for line in found.records:
        if line.name != REST:
            assert line.roofs <= sum(row["record"] == line.name for row in rows) // 3


def differences(counts, groups):
    """Every sum of roofs that lines added and taken from one another can tell."""
    cells = list(counts)
    lines = [set(one.cells) for one in (*groups.districts, *groups.records) if one.told]
    vectors = [np.array([cell in line for cell in cells], dtype=int) for line in lines]
    vectors.append(np.ones(len(cells), dtype=int))
    roofs = np.array([counts[cell] for cell in cells])
    for signs in itertools.product((-1, 0, 1), repeat=len(vectors)):
        held = sum(sign * vector for sign, vector in zip(signs, vectors, strict=True))
        if held.any() and set(held.tolist()) <= {0, 1}:
            yield int(roofs[held.astype(bool)].sum())


def test_no_difference_of_lines_tells_few_roofs():
    draw, seen = random.Random(11), 0
    for _ in range(300):
        counts = {
            (f"d{d}", f"r{r}"): draw.choice((1, 1, 2, 3, 4, 5, 9, 30))
            for d in range(draw.randint(1, 4))
            for r in range(draw.randint(1, 4))
            if draw.random() < 0.7
        }
        if not counts or few(sum(counts.values())):
            continue
        for roofs in differences(counts, grouped(counts)):
            assert not few(roofs), counts
            seen += 1
    assert seen > 5_000


def test_atoms_of_lines_are_never_few():
    draw = random.Random(12)
    for _ in range(300):
        counts = {
            (f"d{draw.randint(0, 30)}", f"r{draw.randint(0, 9)}"): draw.randint(1, 40)
            for _ in range(draw.randint(3, 120))
        }
        groups = grouped(counts)
        atoms = defaultdict(int)
        for cell, roofs in counts.items():
            held = [
                one.name
                for one in (*groups.districts, *groups.records)
                if one.told and cell in one.cells
            ]
            assert len(held) == 2
            atoms[tuple(held)] += roofs
        assert not any(few(roofs) for roofs in atoms.values())


def test_nothing_is_told_of_four_roofs(tmp_path):
    home = tmp_path / "four"
    folder_of(home, 4)
    found = roll_up(screened(home))
    assert not found.whole.told
    assert not any(line.told for line in (*found.districts, *found.records))


def test_no_results_are_told_in_a_sentence(tmp_path, folder):
    with pytest.raises(BadRoofs, match="holds no results"):
        roll_up(tmp_path)
    shutil.copy(folder / "run.json", tmp_path)
    with pytest.raises(BadRoofs, match="nothing to roll up"):
        roll_up(tmp_path)


def test_squares_hold_every_roof_once(folder, rows):
    size = rows[0]["size_l"]
    found = squares_of(places_at(folder, size_l=size), size_l=size)
    inside, left = defaultdict(list), 0
    for row in rows:
        if row["size_l"] != size:
            continue
        lat, lon = row["near_latitude"], row["near_longitude"]
        mine = [s for s in found.squares if s.west < lon < s.east and s.south < lat < s.north]
        assert len(mine) <= 1
        left += not mine
        if mine:
            inside[mine[0]].append(row["supplied_share"])
    assert set(inside) == set(found.squares)
    assert found.left_off == (in_steps(left) if left else "")
    for square, shares in inside.items():
        assert square.east - square.west == pytest.approx(found.side_deg, abs=1e-9)
        assert len(shares) >= 5
        mean = sum(shares) / len(shares)
        assert abs(square.supplied_share - mean) <= 0.025 + 1e-9
    # 2 km a hundredth of a degree and a half, less across by the cosine of 30.5 degrees
    assert found.high_km == pytest.approx(found.side_deg * 111.2, rel=1e-3)
    assert found.wide_km == pytest.approx(found.high_km * 0.862, rel=0.01)


def test_a_square_of_few_roofs_is_not_there():
    """Seventeen of twenty-one roofs are four of five, and need no wider square."""
    places = polars.DataFrame(
        {
            "near_latitude": [30.0, 30.5],
            "near_longitude": [-97.0, -97.0],
            "roofs": [17, 4],
            "supplied_share": [8.5, 4.0],
        }
    )
    found = squares_of(places, size_l=100.0)
    assert [(one.roofs, one.supplied_share) for one in found.squares] == [("10 to 19", 0.5)]
    assert found.squares[0].north < 30.4
    assert found.left_off == "fewer than 5"


def test_five_roofs_far_from_each_other_lie_in_one_square():
    places = polars.DataFrame(
        {
            "near_latitude": [30.0, 34.0, 38.0, 42.0, 46.0],
            "near_longitude": [-97.0, -91.0, -85.0, -79.0, -73.0],
            "roofs": [1] * 5,
            "supplied_share": [0.5] * 5,
        }
    )
    found = squares_of(places, size_l=100.0)
    assert [(one.roofs, one.supplied_share) for one in found.squares] == [("5 to 9", 0.5)]
    assert found.left_off == ""


def test_counts_are_told_in_steps():
    assert in_steps(4) == "fewer than 5"
    assert in_steps(5) == "5 to 9"
    assert in_steps(9) == "5 to 9"
    assert in_steps(10) == "10 to 19"
    assert in_steps(1234) == "1,000 to 1,999"
    assert in_steps(2_000_000) == "100,000 or more"


def test_the_map_is_geojson(folder, rows):
    size = rows[0]["size_l"]
    found = squares_of(places_at(folder, size_l=size), size_l=size)
    told = json.loads(geojson(found, name="valley", says=["modelled"]))
    assert told["type"] == "FeatureCollection"
    assert "crs" not in told
    for feature in told["features"]:
        assert feature["type"] == "Feature"
        (ring,) = feature["geometry"]["coordinates"]
        assert ring[0] == ring[-1]
        assert len(ring) == 5
        turns = sum(x * v - u * y for (x, y), (u, v) in itertools.pairwise(ring))
        assert turns > 0.0  # against the clock, RFC 7946 section 3.1.6
        assert all(-180 <= lon <= 180 and -90 <= lat <= 90 for lon, lat in ring)
        assert len(feature["properties"]["square_km"]) == 2


def test_the_end_of_a_range_is_never_one_roof(folder):
    """Nine of ten of fifty leave five beyond; of fewer roofs no range is told."""
    found = roll_up(folder)
    for line in (found.whole, *found.districts, *found.records):
        for one in line.sizes:
            assert (one.share_low is None) == (one.share_high is None) == (one.roofs < 50)
            assert (one.half_run_days is None) == (one.roofs < 50)


def test_the_records_of_run_json_tell_no_small_group(tmp_path):
    """Of 23 roofs two lie by the second record: neither it nor the first is told alone."""
    folder_of(tmp_path, 23, gauges=2)
    lines = (tmp_path / "roofs.csv").read_text().splitlines()
    places = ["30.30,-97.90"] * 21 + ["30.60,-97.50"] * 2
    for at, place in enumerate(places, 1):
        cells = lines[at].split(",")
        lines[at] = ",".join([cells[0], place, *cells[3:-1], "Upper"])
    (tmp_path / "roofs.csv").write_text("\n".join(lines))
    sources = Sources(
        tmp_path / "roofs.csv", tmp_path / "district.toml", tmp_path / "records", within_km=20.0
    )
    run = screen_district(sources, out=tmp_path / "out", hands=Hands(1)).run
    used = {one["record"]: one for one in run["records_used"]}
    assert run["screened"] == used[REST]["roofs"] == 23
    for name in ("Q0", "Q1"):
        assert [used[name][what] for what in ("roofs", "farthest_km", "highest_m")] == [None] * 3


def test_wards_are_told_in_the_order_of_their_numbers():
    counts = {(f"ward {at}", "Q0"): 10 + at for at in (1, 2, 10, 20, 3)}
    told = [one.name for one in grouped(counts).districts]
    assert told == ["ward 1", "ward 2", "ward 3", "ward 10", "ward 20"]
