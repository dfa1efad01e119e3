"""Seattle daily weather carried by vega_datasets, against pandas (COMPUTED by another method)."""

import pandas as pd
import pytest
from vega_datasets import data

from eavewell.files.rain.readers import read_rain
from eavewell.weather.figures import rain_figures


def test_totals_and_windows_agree_with_pandas():
    path = data.seattle_weather.filepath
    record = read_rain(path, unit="mm")
    other = pd.read_csv(path)
    other.index = pd.to_datetime(other["date"])
    rain = other["precipitation"]
    assert record.days == len(rain)
    yearly = rain.groupby(rain.index.year).sum()
    figures = rain_figures(record)
    assert figures.mean_year_mm == pytest.approx(yearly.mean())
    for months, days in {1: 30, 3: 91, 6: 182, 12: 365}.items():
        sums = rain.rolling(days).sum()
        assert figures.driest[months].rain_mm == pytest.approx(sums.min(), abs=1e-9)
        assert figures.wettest[months].rain_mm == pytest.approx(sums.max(), abs=1e-9)
    assert record.tmax_c == pytest.approx(other["temp_max"].to_numpy())
