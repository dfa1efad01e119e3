"""What was taken for granted in a demand, in sentences for the reader."""

from collections.abc import Iterator

from eavewell.demand.drinking import DrinkingTable, drinking_table
from eavewell.demand.livestock import mean_temperature_c
from eavewell.site.rain_record import FloatArray
from eavewell.site.use import Use
from eavewell.site.want import Animals, Cooler, Plants, Want
from eavewell.units import show
from eavewell.weather.days import Days


def assumptions(use: Use, days: Days) -> tuple[str, ...]:
    """Sentences on what was assumed where a use or the record does not tell; no doubles."""
    said = [sentence for want in use.wants for sentence in _of(want, days)]
    if use.leak_share > 0.0:
        said.append(f"{100.0 * use.leak_share:.3g} % of the water drawn is taken to leak.")
    return tuple(dict.fromkeys(said))


def left_out(uses: tuple[Use, ...]) -> tuple[str, ...]:
    """What a house often draws beside its uses and what is counted only where it is entered."""
    if not any(use.end_use in ("drinking", "indoor") for use in uses):
        return ()
    return (
        "Counted only where entered: reverse-osmosis reject, softener and filter backwash, flushes "
        "after filter changes and of the first draw, water run until the shower is warm, guests, "
        "leaks.",
    )


def _of(want: Want, days: Days) -> Iterator[str]:
    if isinstance(want, Animals) and want.each_l_day is None:
        yield from _of_animals(want, days)
    elif isinstance(want, Plants):
        yield (
            f"Plants {want.name!r}: roots start at field capacity; no run-off and no groundwater; "
            "watered back to field capacity, never on a day whose rain covers its use; a watering "
            "missed because the tank was dry is not made up later."
        )
    elif isinstance(want, Cooler) and days.tmax_c is None:
        yield "No temperatures in the record: the cooler runs on every day of its calendar."


def _of_animals(want: Animals, days: Days) -> Iterator[str]:
    drinking = drinking_table(want.species)
    name = want.species.capitalize()
    yield from _of_weight(want, drinking)
    if not drinking.knows_temperature:
        yield f"{name}: the source gives no temperatures, so hot days raise nothing."
        return
    air_c = mean_temperature_c(days)
    if air_c is None:
        yield (
            f"No temperatures in the record: {want.species} drink as at "
            f"{_warmth(drinking.middle_temperature_c)}."
        )
    else:
        yield from _of_heat(name, drinking.temperatures_c, air_c=air_c)


def _of_weight(want: Animals, drinking: DrinkingTable) -> Iterator[str]:
    name, low, high = want.species.capitalize(), *drinking.weights_kg[[0, -1]]
    if want.weight_kg is None and drinking.weights_kg.size > 1:
        yield f"{name}: weight not stated, taken as {_weight(drinking.middle_weight_kg)}."
    elif want.weight_kg is not None and low < high and not low <= want.weight_kg <= high:
        edge = min(max(want.weight_kg, low), high)
        yield f"{name}: {_weight(want.weight_kg)} is outside the table, taken as {_weight(edge)}."
    most = float(drinking.milks_kg_day[-1])
    if want.milk_kg_day is not None and want.milk_kg_day > most:
        yield f"{name}: the table ends at {most:.3g} kg of milk a day, and more is taken as that."
    if want.milk_kg_day and drinking.milks_kg_day.size == 1:
        yield f"{name}: the source does not tell milk apart, so the milk given raises nothing."


def _of_heat(name: str, points_c: FloatArray, *, air_c: FloatArray) -> Iterator[str]:
    hot, cold = int((air_c > points_c[-1]).sum()), int((air_c < points_c[0]).sum())
    if hot:
        yield f"{name}: the table ends at {_warmth(points_c[-1])}; {hot:,} days are warmer."
    if cold:
        yield f"{name}: the table starts at {_warmth(points_c[0])}; {cold:,} days are colder."


def _warmth(temperature_c: float) -> str:
    return _both(temperature_c, "temperature")


def _weight(weight_kg: float) -> str:
    return _both(weight_kg, "weight")


def _both(value: float, quantity: str) -> str:
    return f"{show(value, quantity, system='us')} ({show(value, quantity, system='metric')})"
