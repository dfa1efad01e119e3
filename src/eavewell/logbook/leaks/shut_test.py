"""The overnight test of one tank with its valves shut: two readings and what they can show."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from eavewell.faults import BadLog
from eavewell.site.place import Show
from eavewell.site.tank import Tank
from eavewell.tables import table
from eavewell.units import show

HOURS_A_DAY = 24.0


class BadShutTest(BadLog):
    """Readings of a shut tank that say nothing."""


@dataclass(frozen=True, slots=True)
class ShutTest:
    """What a shut tank lost, L/day, low to high its range.

    limit_l_day : the least leak that these readings find 95 times of 100; at twice the noise twice.
    leaks : True where the fall is beyond chance.
    """

    tank: str
    hours: float
    fall_m: float
    l_day: float
    low_l_day: float
    high_l_day: float
    limit_l_day: float
    leaks: bool


@dataclass(frozen=True, slots=True)
class ShutPlan:
    """What a test of so many hours can show, each level being the middle of so many readings.

    limit_m : least fall that is found 95 times of 100. limit_l_day : the leak it stands for.
    """

    tank: str
    hours: float
    times: int
    limit_m: float
    limit_l_day: float


def shut_plan(
    tank: Tank, *, level_m: float, noise_m: float, hours: float = 12.0, times: int = 3
) -> ShutPlan:
    """What the overnight test of a tank can show before it is made.

    level_m : above the floor. noise_m : standard deviation of one reading. times : readings each
    time, whose mean is taken.
    """
    beyond = table("leaks")["alarm"].value + table("leaks")["found"].value
    limit_m = beyond * noise_m * math.sqrt(2.0 / times)
    litres = l_per_m(tank, level_m) * limit_m
    return ShutPlan(tank.name, hours, times, limit_m, litres * HOURS_A_DAY / hours)


def hours_for(tank: Tank, leak_l_day: float, *, level_m: float, noise_m: float) -> float:
    """How long a shut tank must stand until three readings at each end find such a leak."""
    one_day = shut_plan(tank, level_m=level_m, noise_m=noise_m, hours=HOURS_A_DAY)
    return HOURS_A_DAY * one_day.limit_l_day / leak_l_day


def shut_test(
    tank: Tank,
    before_m: Sequence[float],
    *,
    after_m: Sequence[float],
    hours: float,
    noise_m: float,
    alone: bool = False,
) -> ShutTest:
    """Judge the levels of a shut tank.

    before_m, after_m : levels above the floor, read once or more each time.
    hours : from the first time to the second. noise_m : standard deviation of one reading.
    alone : True where one tank of a row stood shut off from the others.
    Raises BadShutTest where there is no reading, no time between or no shape.
    """
    _refuse(tank, before_m, after_m=after_m, hours=hours)
    first, second = (sum(one) / len(one) for one in (before_m, after_m))
    per_m = l_per_m(tank, (first + second) / 2.0) / (tank.count if alone else 1)
    to_day = per_m * HOURS_A_DAY / hours
    error_m = noise_m * math.sqrt(1.0 / len(before_m) + 1.0 / len(after_m))
    figures = table("leaks")
    alarm, found = figures["alarm"].value, figures["found"].value
    half = table("reconcile")["range"].value * error_m * to_day
    l_day = (first - second) * to_day
    return ShutTest(
        tank=tank.name,
        hours=hours,
        fall_m=first - second,
        l_day=l_day,
        low_l_day=l_day - half,
        high_l_day=l_day + half,
        limit_l_day=(alarm + found) * error_m * to_day,
        leaks=first - second > alarm * error_m,
    )


def which_leaks(tests: Sequence[ShutTest], *, system: Show) -> str:
    """What the tests of tanks, each shut off from the others, say together, in a sentence.

    The names of the tests tell the tanks apart: a row's tanks are named as they were tested.
    """
    leaking = [one for one in tests if one.leaks]
    limit = show(max(one.limit_l_day for one in tests), "daily", system=system)
    if not leaking:
        return (
            f"None of the {len(tests)} fell by more than its readings can be off: a leak of "
            f"{limit} or more lies behind the outlets, or it does not run now."
        )
    named = ", ".join(
        f"'{one.tank}' ({show(one.l_day, 'daily', system=system)})" for one in leaking
    )
    rest = f"; the others lose less than {limit}" if len(leaking) < len(tests) else ""
    return f"It is {named}{rest}."


def _refuse(
    tank: Tank, before_m: Sequence[float], *, after_m: Sequence[float], hours: float
) -> None:
    if not before_m or not after_m:
        raise BadShutTest(f"tank {tank.name!r}: read it once before and once after at least.")
    if not hours > 0.0:
        raise BadShutTest(f"tank {tank.name!r}: {hours:g} hours between the readings are none.")
    if tank.shape is None:
        raise BadShutTest(
            f"tank {tank.name!r}: its shape is not known, so that a fall says no litres; give its "
            f"diameter and height, or a table of depths and volumes."
        )


def l_per_m(tank: Tank, level_m: float, *, over_m: float = 0.05) -> float:
    """Litres in a metre of depth about a level, the whole row together."""
    if tank.shape is None:
        raise BadShutTest(f"tank {tank.name!r}: its shape is not known.")
    low = min(max(level_m - over_m / 2.0, 0.0), tank.shape.height_m - over_m)
    volumes = (tank.shape.volume_l(depth) for depth in (low, low + over_m))
    bottom, top = volumes
    return tank.count * (top - bottom) / over_m
