"""Gridded daily rain as NetCDF and Zarr gives what the same days of one cell give as a csv."""

import csv
import warnings

import numpy as np
import polars as pl
import pytest
import xarray
from tests.district.made_district import CLIMATES, folder_of

from eavewell.district.grid import cell_record, cells_of, open_grid
from eavewell.district.run import Hands, Sources, screen_district
from eavewell.faults import BadRoofs
from eavewell.weather.climates import climate_record

LATITUDES, LONGITUDES = (30.9, 30.6, 30.3), (262.1, 262.5, 262.8)  # north first, east of Greenwich


def gridded(years=6, unit="kg m-2 s-1", each=1.0 / 86_400.0):
    """Nine cells: three climates by row, a tenth more in each column to the east."""
    found = [climate_record(name, years) for name in CLIMATES]
    days = min(one.days for one in found)
    more = np.array([1.0, 1.1, 1.2])
    rain = np.stack([one.rain_mm[:days] for one in found], axis=1)[:, :, None] * more
    warm, cold = (
        np.stack([getattr(one, name)[:days] for one in found], axis=1)[:, :, None]
        + 273.15
        + 0 * more
        for name in ("tmax_c", "tmin_c")
    )
    dims = ("time", "lat", "lon")
    return xarray.Dataset(
        {
            "pr": (dims, rain * each, {"units": unit}),
            "tasmax": (dims, warm, {"units": "K"}),
            "tasmin": (dims, cold, {"units": "K"}),
        },
        coords={
            "time": found[0].dates[:days].astype("datetime64[ns]"),
            "lat": list(LATITUDES),
            "lon": list(LONGITUDES),
        },
    )


def written(data, path):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        if path.suffix == ".nc":
            as_usual = "pr" in data and data["pr"].ndim == 3
            together = {"pr": {"chunksizes": (100, 2, 2)}} if as_usual else {}
            data.to_netcdf(path, engine="h5netcdf", encoding=together)
        else:
            data.to_zarr(path)
    return path


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    home = tmp_path_factory.mktemp("grid")
    folder_of(home, 60)
    return home


@pytest.mark.parametrize("name", ["rain.nc", "rain.zarr"])
@pytest.mark.filterwarnings("ignore")
def test_a_grid_gives_what_the_same_days_give_as_csv(home, name):
    records = written(gridded(), home / name)
    by_grid = screened(home, records, home / f"by {name}")
    by_csv = screened(home, as_csv(home / f"cells {name}"), home / f"by csv {name}")
    assert by_grid.height == by_csv.height == 180
    for column in ("supplied_share", "days_met_share", "kept_l_year", "yearly_cost"):
        assert by_grid[column].to_numpy() == pytest.approx(by_csv[column].to_numpy(), rel=1e-6)
    assert (by_grid["dry_days_in_worst_spell"] == by_csv["dry_days_in_worst_spell"]).all()


def screened(home, records, out):
    sources = Sources(home / "roofs.csv", home / "district.toml", records, 60.0)
    screen_district(sources, out=out, hands=Hands(workers=1))
    return pl.read_parquet(sorted((out / "sizes").glob("*/*.parquet"))).sort("row", "size_l")


def as_csv(folder):
    """Every cell as a csv with its place, each number in full."""
    folder.mkdir(exist_ok=True)
    data = gridded(unit="mm", each=1.0)
    lines = ["file,latitude,longitude"]
    for row, latitude in enumerate(LATITUDES):
        for column, longitude in enumerate(LONGITUDES):
            name = f"c{row}{column}.csv"
            lines.append(f"{name},{latitude},{longitude - 360.0}")
            cell = data.isel(lat=row, lon=column)
            with (folder / name).open("w", newline="") as opened:
                write = csv.writer(opened)
                write.writerow(("date", "rain_mm", "tmax_c", "tmin_c"))
                dates = cell["time"].values.astype("datetime64[D]")
                warm, cold = (cell[one].values - 273.15 for one in ("tasmax", "tasmin"))
                write.writerows(zip(dates, cell["pr"].values, warm, cold, strict=True))
    (folder / "stations.csv").write_text("\n".join(lines))
    return folder


@pytest.mark.filterwarnings("ignore")
def test_cells_are_read_one_by_one_and_missing_days_are_missing(home):
    data = gridded().isel(time=[*range(10), *range(12, 800)])
    path = written(data, home / "gap.nc")
    from eavewell.district.roof_rows import read_roofs
    from eavewell.district.settings import read_district

    roofs = read_roofs(home / "roofs.csv", read_district(home / "district.toml")).roofs
    cells = cells_of(path, roofs)
    assert {cell.cell for cell in cells} == {(2, 0), (1, 1), (0, 2)}
    record = cell_record(cells[0])
    assert np.flatnonzero(record.missing).tolist() == [10, 11]
    assert not open_grid(str(path)).data["pr"]._in_memory


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (lambda data: data.rename(pr="wind"), "No variable tells the daily rain"),
        (lambda data: data.assign_attrs().rename(lat="up"), "No variable tells the latitude"),
        (lambda data: data.assign(pr=data["pr"].assign_attrs(units="K")), "The unit of the rain"),
        (lambda data: data.expand_dims(member=2), "The rain stands on"),
    ],
)
@pytest.mark.filterwarnings("ignore")
def test_a_grid_of_another_kind_is_refused_in_a_sentence(tmp_path, spoil, says):
    path = written(spoil(gridded(years=2)), tmp_path / "other.nc")
    with pytest.raises(BadRoofs, match=says):
        open_grid(str(path))


def test_what_is_no_grid_is_refused_in_a_sentence(tmp_path):
    (tmp_path / "x.nc").write_text("no grid")
    with pytest.raises(BadRoofs, match="cannot be opened"):
        open_grid(str(tmp_path / "x.nc"))
