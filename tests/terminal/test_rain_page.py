"""A record looked at, and stations listed: figures worked out here, not taken from the page."""

from datetime import date
from io import StringIO

import numpy as np
from rich.console import Console

from eavewell.answers.shown import Sizes
from eavewell.files.rain.station import Station
from eavewell.report.rain_record import rain_page
from eavewell.report.stations import station_page
from eavewell.site.rain_record import Mark, RainRecord
from eavewell.terminal.page import laid_out

# Rain of each day in mm; 2003 was not read at all. None of the years is a leap year but 2004.
DAILY_MM = {2001: 2.0, 2002: 1.0, 2003: None, 2004: 3.0, 2005: 4.0}


def printed(page, width=100):
    paper = StringIO()
    Console(file=paper, width=width, color_system=None, highlight=False).print(laid_out(page))
    return paper.getvalue()


def record():
    days = [
        np.full((date(year + 1, 1, 1) - date(year, 1, 1)).days, np.nan if mm is None else mm)
        for year, mm in DAILY_MM.items()
    ]
    rain_mm = np.concatenate(days)
    marks = np.where(np.isnan(rain_mm), Mark.MISSING, Mark.MEASURED).astype(np.uint16)
    return RainRecord("Long Meadow", date(2001, 1, 1), rain_mm, marks)


def test_years_stand_with_their_totals_and_what_is_missing():
    text = " ".join(printed(rain_page(record(), Sizes("metric"))).split())
    # 365 days of 1, 2 and 4 mm; 366 of 3 mm are 1,098, which three figures make 1,100.
    assert "Driest whole years: 2002 365 mm, 2001 730 mm, 2004 1,100 mm, 2005 1,460 mm." in text
    assert "Wettest whole years: 2005 1,460 mm, 2004 1,100 mm, 2001 730 mm, 2002 365 mm." in text
    assert "No reading at all in 2003." in text
    # 365 mm are 14.4 in.
    assert "2002 14.4 in" in printed(rain_page(record(), Sizes("us")))


def test_the_page_of_a_record_keeps_its_width():
    for system in ("us", "metric"):
        lines = printed(rain_page(record(), Sizes(system)), width=72).splitlines()
        assert max(len(line.rstrip()) for line in lines) <= 72


def test_stations_are_listed_in_miles_and_kilometres():
    station = Station("XX000000001", "LONG MEADOW", 30.0, -98.0, None, 16.09344, None, 1948, 2020)
    text = printed(station_page([station]))
    # 16.09344 km are 10 miles.
    assert "10 mi" in text
    assert "16.1 km" in text
    assert "1948 to 2020" in text
    assert "No station" in printed(station_page([]))
