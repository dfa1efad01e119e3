"""Wants that cannot be: every fault of a use at once."""

import math
from collections.abc import Iterator
from dataclasses import fields

from eavewell.faults import BadSite, Fault
from eavewell.site.use import Use
from eavewell.site.want import Fixture, Household, Plants, Want


def refuse_bad_use(use: Use) -> None:
    """Raise BadSite with every number of a use that cannot be water wanted."""
    found = [*_leak(use), *(fault for want in use.wants for fault in _faults(want))]
    if found:
        raise BadSite(Fault(says, where=f"use {use.name!r}") for says in found)


def _leak(use: Use) -> Iterator[str]:
    if not 0.0 <= use.leak_share < 1.0:
        yield f"leak share is {use.leak_share}: give a share from 0 to below 1 of the water drawn."


def _faults(want: Want) -> Iterator[str]:
    who = type(want).__name__.lower()
    parts = (want, *(want.fixtures if isinstance(want, Household) else ()))
    for name, number in (pair for part in parts for pair in _numbers(part)):
        if not (math.isfinite(number) and number >= 0.0):
            yield f"{who}: {name} is {number}; give a number of at least 0."
    if isinstance(want, Plants):
        yield from _plant_faults(want)


def _numbers(part: Want | Fixture) -> Iterator[tuple[str, float]]:
    # A cooler's start temperature may lie below 0 C.
    for name in (field.name for field in fields(part) if field.name != "above_c"):
        value = getattr(part, name)
        if isinstance(value, int | float):
            yield name, value


def _plant_faults(want: Plants) -> Iterator[str]:
    for name in ("depletion_share", "efficiency"):
        share = getattr(want, name)
        if not 0.0 < share <= 1.0:
            yield f"plants {want.name!r}: {name} is {share}; give a share above 0, at most 1."
    if want.root_m == 0.0 or want.soil_water_mm_m == 0.0:
        yield f"plants {want.name!r}: a root zone that holds no water cannot be balanced."
