"""Two papers that differ by few roofs, or tell few otherwise, are never handed on together."""

import subprocess
import sys
from datetime import date

import numpy as np
import polars
import pytest
from tests.district.made_district import SETTINGS, folder_of

from eavewell.district.run import Hands, Sources, screen_district
from eavewell.district.told_before import (
    KEPT,
    figures_told,
    keep_told,
    nearly_told,
)

DAY = date(2026, 3, 2)
ROOFS = 24


def told(*, take=ROOFS, ward=(), water=(), money=(), first=0):
    """Roofs of two wards, the figures of some of them other than usual; ward : roofs moved."""
    ids = range(first, take)
    return polars.DataFrame(
        {
            "id": [f"r{at}" for at in ids],
            "district": ["Upper" if (at < 12) != (at in ward) else "Lower" for at in ids],
            "record": ["Q0"] * len(ids),
            "water@100.0": [at + 1000 * (at in water) for at in ids],
            "money@100.0": [7 + (at in money) for at in ids],
        },
        schema_overrides={"water@100.0": polars.UInt64, "money@100.0": polars.UInt64},
    )


EVERY = range(ROOFS)


@pytest.mark.parametrize(
    ("now", "cautioned"),
    [
        (told(), False),
        (told(take=ROOFS - 1), True),
        (told(take=ROOFS - 4), True),
        (told(take=ROOFS - 5), False),
        (told(take=ROOFS + 1), True),
        (told(water=[3]), True),
        (told(water=range(4)), True),
        (told(water=range(5)), False),
        # five otherwise, but three in the one ward and two in the other
        (told(water=range(9, 14)), True),
        (told(money=[3]), True),
        (told(money=EVERY), False),
        # the money of all hides nothing of the water of two
        (told(money=EVERY, water=[3, 4]), True),
        (told(water=EVERY, money=EVERY), False),
        (told(ward=[3]), True),
        (told(ward=range(5)), False),
        (told(ward=range(5), water=range(5)), False),
    ],
    ids=str,
)
def test_a_paper_that_tells_fewer_than_five_otherwise_is_cautioned(tmp_path, now, cautioned):
    keep_told(tmp_path, told(), day=DAY, digest="a0")
    says = nearly_told(tmp_path, now)
    assert bool(says) == cautioned
    assert ("2026-03-02" in says) == cautioned


def test_only_sizes_that_both_tell_are_set_against_each_other(tmp_path):
    keep_told(tmp_path, told(), day=DAY, digest="a0")
    other = told(water=[3]).rename({"water@100.0": "water@200.0", "money@100.0": "money@200.0"})
    assert nearly_told(tmp_path, other) == ""


def test_the_first_paper_has_none_before(tmp_path):
    assert nearly_told(tmp_path, told()) == ""
    (tmp_path / "told").mkdir()
    (tmp_path / "told" / "2026-01-01-a.parquet").write_bytes(b"\xff\xfe")
    assert nearly_told(tmp_path, told()) == ""


def test_a_paper_between_hides_no_earlier_one(tmp_path):
    keep_told(tmp_path, told(), day=DAY, digest="a0")
    keep_told(tmp_path, told(water=EVERY), day=date(2026, 3, 3), digest="a1")
    keep_told(tmp_path, told(), day=date(2026, 3, 4), digest="a0")
    assert len(list((tmp_path / "told").iterdir())) == 2
    assert "2026-03-02" in nearly_told(tmp_path, told(water=[3]))


def test_so_many_papers_are_remembered(tmp_path):
    for at in range(KEPT + 3):
        keep_told(tmp_path, told(), day=date(2026, 3, 1 + at), digest=f"a{at:02d}")
    days = sorted(one.name[:10] for one in (tmp_path / "told").iterdir())
    assert days == [f"2026-03-{at:02d}" for at in range(4, 16)]


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    """Sixty roofs, three of which alone are rationed."""
    home = tmp_path_factory.mktemp("told") / "valley"
    folder_of(home, 60, years=2)
    lines = (home / "roofs.csv").read_text().splitlines()
    for at, line in enumerate(lines[1:], 1):
        cells = line.split(",")
        cells[6] = "rationed" if at in (5, 6, 7) else "household"
        lines[at] = ",".join(cells)
    (home / "roofs.csv").write_text("\n".join(lines))
    return home


def figures(home, settings):
    (home / "district.toml").write_text(settings)
    sources = Sources(home / "roofs.csv", home / "district.toml", home / "records")
    screen_district(sources, out=home / "out", hands=Hands(1))
    return figures_told(home / "out")


def test_other_settings_of_a_small_use_set_are_found(home, tmp_path):
    """Only the three rationed roofs want more: water and the mains it costs, at every size."""
    first = figures(home, SETTINGS)
    head, _, tail = SETTINGS.rpartition('each = "20 gal/day"')
    other = figures(home, f'{head}each = "40 gal/day"{tail}')
    both = first.join(other, on="id", suffix=" now")
    assert both.height == 60
    kinds = [one for one in first.columns if "@" in one]
    assert len(kinds) == 2 * 3
    for kind in kinds:
        changed = both.filter(polars.col(kind) != polars.col(f"{kind} now"))["id"]
        rationed = {"roof 4", "roof 5", "roof 6"}
        # water that costs nothing more changes no money
        assert set(changed) == rationed if kind.startswith("water") else set(changed) <= rationed
    assert both["district"].equals(both["district now"])
    keep_told(tmp_path, first, day=DAY, digest="a0")
    assert nearly_told(tmp_path, first) == ""
    assert nearly_told(tmp_path, other) != ""
    # what is otherwise for everybody tells nobody
    assert "discount = 0.03" in SETTINGS
    every = figures(home, SETTINGS.replace("discount = 0.03", "discount = 0.05"))
    assert nearly_told(tmp_path, every) == ""


def test_alike_figures_have_alike_digests_and_no_others(home):
    """By the figures themselves: so many different digests as different rows."""
    found = figures(home, SETTINGS)
    out = home / "out"
    rows = polars.read_parquet(sorted(out.glob("sizes/*/*.parquet")), hive_partitioning=False)
    roofs = polars.read_parquet(sorted(out.glob("roofs/*/*.parquet")), hive_partitioning=False)
    money = [one for one in rows.columns if one.startswith(("first_cost", "yearly_cost"))]
    for (size_l,), some in rows.group_by("size_l"):
        joined = some.drop("id").join(roofs.select("row", "id"), on="row").sort("id")
        digests = found.sort("id")[f"money@{size_l}"].to_numpy()
        one = joined.select(money).to_numpy()
        assert len(np.unique(digests)) == len(np.unique(one, axis=0))


def test_the_command_says_so(home):
    """A roof less in the table."""
    said = [sys.executable, "-m", "eavewell", "district", "roofs.csv", "--records", "records"]
    whole = (home / "roofs.csv").read_text()
    (home / "district.toml").write_text(SETTINGS)
    answers = []
    for table in (whole, whole.rpartition("\n")[0]):
        (home / "roofs.csv").write_text(table)
        done = subprocess.run(
            [*said, "--out", "paper", "--paper"],
            cwd=home,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        answers.append(done.stdout)
    (home / "roofs.csv").write_text(whole)
    assert ["Hand on one of the two" in one for one in answers] == [False, True]
