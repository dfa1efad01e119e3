"""A gauge's figures as they are written, in the internal unit of what it measures."""

from dataclasses import dataclass

from eavewell.faults import BadQuantity
from eavewell.site.gauge import Gauge
from eavewell.site.place import Show
from eavewell.tables import rows
from eavewell.units import convert, quantities, read


@dataclass(frozen=True, slots=True)
class Scale:
    """An internal figure is figure x factor + offset; unit : of the bare figure, in words."""

    factor: float
    offset: float
    unit: str


def scale_of(gauge: Gauge, unit: str = "") -> Scale | None:
    """What a bare figure of a gauge means in a unit, its own where none is given.

    None where nobody says the unit. Raises BadQuantity for a unit that is not of what it measures.
    """
    if not unit and gauge.per_pulse_l is not None:
        return Scale(gauge.per_pulse_l, 0.0, "pulses")
    said = unit or gauge.unit
    if gauge.known_levels and (not said or not _is_unit(said, quantity_asked(gauge))):
        return Scale(1.0, 0.0, said)  # the known levels say what it means
    if not said:
        return None
    quantity = quantity_asked(gauge)
    zero = read(f"0 {said}", quantity)
    return Scale(read(f"1 {said}", quantity) - zero, zero, said)


def fits(gauge: Gauge, unit: str) -> bool:
    """Whether a gauge's figures could be in a unit; "" fits every one."""
    return not unit or _is_unit(unit, quantity_asked(gauge))


def quantity_of(gauge: Gauge) -> str:
    """Which quantity of tables/quantities.csv a gauge measures."""
    return next(row["quantity"] for row in rows("gauge_measures") if row["name"] == gauge.measures)


def quantity_asked(gauge: Gauge) -> str:
    """The quantity as which its figures are read: a stick's may lie below its zero."""
    quantity = quantity_of(gauge)
    return "level" if quantity == "length" else quantity


def in_own_unit(gauge: Gauge, value: float) -> str:
    """A figure as it stands on the gauge."""
    if gauge.per_pulse_l is not None:
        return f"{value / gauge.per_pulse_l:,.10g} pulses"
    quantity = quantity_asked(gauge)
    if gauge.unit and _is_unit(gauge.unit, quantity):
        return f"{convert(value, quantity, unit=gauge.unit):,.6g} {gauge.unit}"
    if gauge.known_levels:
        return f"{value:,.6g} {gauge.unit}".strip()
    return f"{value:,.6g} {quantities()[quantity].internal}"


def usual_unit(gauge: Gauge, show: Show) -> str:
    """The unit in which a gauge of its kind is usually read."""
    row = next(row for row in rows("gauge_measures") if row["name"] == gauge.measures)
    return str(row[show])


def in_usual_unit(gauge: Gauge, value: float, *, show: Show) -> str:
    """A figure as it stands on the gauge; of one without a unit in the usual one of its kind."""
    if gauge.unit or gauge.known_levels or gauge.per_pulse_l is not None:
        return in_own_unit(gauge, value)
    unit = usual_unit(gauge, show)
    return f"{convert(value, quantity_asked(gauge), unit=unit):,.6g} {unit}"


def _is_unit(unit: str, quantity: str) -> bool:
    try:
        read(f"1 {unit}", quantity)
    except BadQuantity:
        return False
    return True
