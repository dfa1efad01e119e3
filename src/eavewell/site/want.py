"""What wants water: people, fixtures, animals, plants, washing, cooling."""

from dataclasses import dataclass

from eavewell.site.calendar import ALWAYS, Calendar


@dataclass(frozen=True, slots=True)
class People:
    """People by measured use. each_l_day is per person and day present."""

    count: float
    each_l_day: float
    calendar: Calendar = ALWAYS


@dataclass(frozen=True, slots=True)
class Fixture:
    """One fixture: how often a person uses it in a day and what a use takes."""

    name: str
    times_per_person_day: float
    each_l: float


@dataclass(frozen=True, slots=True)
class Household:
    """People by fixture: flushes, minutes times flow, loads."""

    people: float
    fixtures: tuple[Fixture, ...]
    calendar: Calendar = ALWAYS


@dataclass(frozen=True, slots=True)
class Animals:
    """A herd, a flock, pets or wild visitors.

    species    : a row name in tables/animals.csv.
    weight_kg  : of one animal; None takes the table's middle row.
    milk_kg_day: of one animal; None where it gives none.
    each_l_day : a measured figure that overrides the table; None where none.
    """

    species: str
    head: float
    weight_kg: float | None = None
    milk_kg_day: float | None = None
    each_l_day: float | None = None
    calendar: Calendar = ALWAYS


@dataclass(frozen=True, slots=True)
class Plants:
    """A planted area kept by a daily root-zone balance, so that it never waters just after rain.

    plant_factor     : share of reference evapotranspiration it needs.
    soil_water_mm_m  : water the soil holds between field capacity and wilting, per metre.
    depletion_share  : share of that water used before it is watered.
    efficiency       : share of the water given that reaches the root zone.
    """

    name: str
    area_m2: float
    plant_factor: float
    root_m: float
    soil_water_mm_m: float
    depletion_share: float
    efficiency: float
    calendar: Calendar = ALWAYS


@dataclass(frozen=True, slots=True)
class Washing:
    """Wash-down, events, filter backwash, flushes: a volume on each day of its calendar."""

    name: str
    each_l: float
    calendar: Calendar = ALWAYS


@dataclass(frozen=True, slots=True)
class Cooler:
    """An evaporative cooler: runs on days whose warmest hour passes a temperature."""

    each_l_day: float
    above_c: float
    calendar: Calendar = ALWAYS


Want = People | Household | Animals | Plants | Washing | Cooler
