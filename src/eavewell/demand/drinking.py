"""What one animal drinks, by its weight, its milk and the air around it."""

from dataclasses import dataclass
from functools import cache
from itertools import product

import numpy as np

from eavewell.faults import BadSite, BadTable
from eavewell.site.rain_record import FloatArray
from eavewell.tables import rows

_AXES = ("weight_kg", "milk_kg_day", "temperature_c")


@dataclass(frozen=True, slots=True, eq=False)
class DrinkingTable:
    """The published table of one species.

    weights_kg, milks_kg_day, temperatures_c : the points it was published at, rising; one NaN
                where the source does not tell them apart.
    each_l_day : shape (weight, milk, temperature).
    """

    species: str
    weights_kg: FloatArray
    milks_kg_day: FloatArray
    temperatures_c: FloatArray
    each_l_day: FloatArray

    @property
    def knows_temperature(self) -> bool:
        """True where the source gives more than one temperature."""
        return self.temperatures_c.size > 1

    @property
    def middle_weight_kg(self) -> float:
        """The middle row: the weight taken where none is stated."""
        return _middle(self.weights_kg)

    @property
    def middle_temperature_c(self) -> float:
        """The middle column: the temperature taken where the record has none."""
        return _middle(self.temperatures_c)

    def at(self, weight_kg: float | None, milk_kg_day: float | None) -> FloatArray:
        """Litres a day at each temperature of the table, shape (temperature,).

        Straight lines between the points; beyond the table's range its edge holds. No weight
        takes the middle row, no milk the row with least milk.
        """
        weight = self.middle_weight_kg if weight_kg is None else weight_kg
        milk = float(self.milks_kg_day[0]) if milk_kg_day is None else milk_kg_day
        by_weight = np.tensordot(_shares(self.weights_kg, weight), self.each_l_day, axes=1)
        return np.asarray(np.tensordot(_shares(self.milks_kg_day, milk), by_weight, axes=1))


def drinking_table(species: str) -> DrinkingTable:
    """The table of a species in tables/animals.csv; an unknown species is a fault."""
    known = tuple(dict.fromkeys(row["name"] for row in rows("animals")))
    if species not in known:
        raise BadSite(
            f"animals {species!r} are in no table of ours; known are {', '.join(known)}. "
            "Or give a measured figure, each_l_day."
        )
    return _read(species)


@cache
def _read(species: str) -> DrinkingTable:
    found = [row for row in rows("animals") if row["name"] == species]
    litres = {tuple(row[axis] for axis in _AXES): float(row["value"]) for row in found}
    points = [sorted({key[axis] for key in litres}, key=_number) for axis in range(3)]
    grid = [litres.get(key) for key in product(*points)]
    if None in grid or len(litres) != len(found):
        raise BadTable(f"tables/animals.csv: {species!r} has a missing or a doubled row.")
    weights, milks, warmths = (np.array([_number(text) for text in axis]) for axis in points)
    each = np.array(grid, dtype=np.float64).reshape(weights.size, milks.size, warmths.size)
    return DrinkingTable(species, weights, milks, warmths, each)


def _number(text: str) -> float:
    return float(text) if text else float("nan")


def _middle(points: FloatArray) -> float:
    return float(points[points.size // 2])


def _shares(points: FloatArray, at: float) -> FloatArray:
    # The share of each point in the straight line through a value; the edge holds outside.
    if points.size == 1:
        return np.ones(1)
    return np.array([np.interp(at, points, one) for one in np.eye(points.size)])
