"""The storms that gutters, pipes and sumps must carry."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Storm:
    """Where a site's design storms and its rain within the day come from.

    table   : file of a precipitation-frequency table; city : a row of tables/city_storms.csv.
    donor   : file of a 5-minute or hourly record whose storms shape the site's days.
    donor_name, donor_km, donor_climate : which place that is, how far, and its climate in words.
    rules   : the set of rules for gutters and downspouts, a row of
              tables/roof_drainage_methods.csv; "" the usual one.
    manure  : True where roof water is kept away from manure, which asks for the larger storm.
    """

    table: str = ""
    city: str = ""
    donor: str = ""
    donor_name: str = ""
    donor_km: float | None = None
    donor_climate: str = ""
    manure: bool = False
    rules: str = ""
