"""A pump on its curve: head at a flow, flow at a head, other speeds, power and energy."""

from dataclasses import replace
from itertools import pairwise

import numpy as np

from eavewell.faults import OutOfRange
from eavewell.hydraulics.friction import GRAVITY_M_S2
from eavewell.site.pump import Pump


def head_at_m(pump: Pump, flow_l_s: float) -> float:
    """Head of a pump at a flow, straight between the points of its curve.

    Raises OutOfRange below no flow and beyond the last point.
    """
    flows, heads = _points(pump)
    if not 0.0 <= flow_l_s <= flows[-1]:
        raise OutOfRange(
            f"pump {pump.name!r}: its curve runs from 0 to {flows[-1]:.3g} L/s; it does not "
            f"tell the head at {flow_l_s:.3g} L/s."
        )
    return float(np.interp(flow_l_s, flows, heads))


def flow_at_l_s(pump: Pump, head_m: float) -> float:
    """Flow of a pump against a head, straight between the points of its curve.

    Below the head of the last point the pump is held to its last flow. Raises OutOfRange above
    the shut-off head, where it moves no water at all.
    """
    flows, heads = _points(pump)
    if head_m > heads[0]:
        raise OutOfRange(
            f"pump {pump.name!r} reaches {heads[0]:.3g} m of head at no flow: against "
            f"{head_m:.3g} m it moves no water."
        )
    return float(np.interp(-head_m, -np.array(heads), flows))


def at_speed(pump: Pump, speed_ratio: float) -> Pump:
    """A pump at another speed by the affinity laws: flow as speed, head squared, power cubed.

    speed_ratio : new speed over old, 0.5 to 2. Raises OutOfRange outside, where the laws drift.
    """
    if not 0.5 <= speed_ratio <= 2.0:
        raise OutOfRange(f"The affinity laws hold for half to twice the speed, not {speed_ratio}.")
    curve = tuple((flow * speed_ratio, head * speed_ratio**2) for flow, head in pump.curve)
    return replace(
        pump,
        curve=curve,
        input_w=_cubed(pump.input_w, speed_ratio),
        motor_w=_cubed(pump.motor_w, speed_ratio),
        start_w=None,
    )


def water_power_w(flow_l_s: float, head_m: float) -> float:
    """Power that the lifted water itself takes, with 1 kg a litre.

    In US units this is gpm x ft / 3,960 horsepower (exact for water of 8.338 lb/gal).
    """
    return flow_l_s * GRAVITY_M_S2 * head_m


def wire_to_water(flow_l_s: float, head_m: float, *, input_w: float) -> float:
    """Share of the electric power that ends as lifted water."""
    if input_w <= 0.0:
        raise OutOfRange(f"A pump that runs takes more than {input_w:g} W.")
    return water_power_w(flow_l_s, head_m) / input_w


def energy_kwh_m3(flow_l_s: float, input_w: float) -> float:
    """Electric energy for each cubic metre pumped (kWh a 1,000 L)."""
    if flow_l_s <= 0.0:
        raise OutOfRange("A pump that moves no water has no energy per volume.")
    return input_w / 3600.0 / flow_l_s


def _cubed(power_w: float | None, speed_ratio: float) -> float | None:
    return None if power_w is None else power_w * speed_ratio**3


def _points(pump: Pump) -> tuple[tuple[float, ...], tuple[float, ...]]:
    flows, heads = zip(*pump.curve, strict=True)
    rising = all(low < high for low, high in pairwise(flows))
    falling = all(high > low for high, low in pairwise(heads))
    if len(flows) < 2 or flows[0] != 0.0 or not (rising and falling):
        raise OutOfRange(
            f"pump {pump.name!r}: a curve begins at no flow; flow rises and head falls from "
            "point to point."
        )
    return flows, heads
