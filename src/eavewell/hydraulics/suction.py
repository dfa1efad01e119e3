"""What pushes water into a pump: the air's weight, less lift, friction and the vapour's pull."""

from eavewell.tables import table
from eavewell.units import read
from eavewell.weather.air import air_pressure_kpa, saturation_kpa

KPA_A_METRE = 9.80665
FOOT_M = 0.3048


def air_head_m(elevation_m: float) -> float:
    """Head of the air at a height above the sea, -500 to 9,000 m; fao56 eq. 7."""
    return float(air_pressure_kpa(elevation_m)) / KPA_A_METRE


def vapour_head_m(water_c: float) -> float:
    """Head at which water boils, up to 60 C; fao56 eq. 11."""
    return float(saturation_kpa(water_c)) / KPA_A_METRE


def npsh_available_m(over_m: float, *, lost_m: float, air_m: float, vapour_m: float) -> float:
    """Net positive suction head at the eye of a pump.

    over_m : level of the water above the eye, below 0 for a lift. lost_m : in the suction pipe.
    """
    return air_m + over_m - lost_m - vapour_m


def practical_lift_m(elevation_m: float) -> float:
    """Most lift of a jet pump in practice: far below the air's head, and less with height."""
    rule = table("service")
    lost_ft = rule["suction lift lost"].value * max(elevation_m, 0.0) / FOOT_M / 1000.0
    return read(f"{rule['practical suction lift'].value:g} ft", "length") - lost_ft * FOOT_M
