"""Electric power of a site that has little of it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Power:
    """Battery, sun and what hangs on them; None where unknown or where the grid feeds all.

    battery_kwh : what the battery gives until it is empty. surge_w : most it gives for a start.
    winter_kwh_day : what the sun brings on a winter day. controls_w : standby of controls and
    alarms. heat_trace_w, heat_trace_days : heating of pipes, and days a year that it runs.
    """

    battery_kwh: float | None = None
    surge_w: float | None = None
    winter_kwh_day: float | None = None
    controls_w: float | None = None
    heat_trace_w: float | None = None
    heat_trace_days: float | None = None
