"""Ultraviolet light: log credit of a validated dose, by the EPA table."""

from functools import cache

from eavewell.faults import OutOfRange
from eavewell.tables import rows


def organisms() -> tuple[str, ...]:
    """Organisms the table knows."""
    return tuple(_doses())


def log_credit(organism: str, validated_mj_cm2: float) -> float:
    """Logs that a validated dose earns; 0 below the first row, never more than the last.

    validated_mj_cm2 : dose that a stated document proves at flow and transmittance; a name plate or
    a listing is none, and earns 0 (pass 0).
    """
    if validated_mj_cm2 < 0.0:
        raise OutOfRange("A dose is never less than nothing.")
    earned = [log for log, dose in _of(organism) if dose <= validated_mj_cm2]
    return max(earned, default=0.0)


def dose_for_mj_cm2(organism: str, logs: float) -> float:
    """Validated dose for so many logs, the next row up; OutOfRange beyond the table's four."""
    for log, dose in _of(organism):
        if log >= logs - 1e-9:
            return dose
    raise OutOfRange(f"The table ends at 4 logs of {organism}, not {logs:g}.")


def _of(organism: str) -> tuple[tuple[float, float], ...]:
    if organism not in _doses():
        raise OutOfRange(f"{organism!r} is not in the table; it knows {', '.join(_doses())}.")
    return _doses()[organism]


@cache
def _doses() -> dict[str, tuple[tuple[float, float], ...]]:
    found: dict[str, list[tuple[float, float]]] = {}
    for row in rows("uv_dose"):
        pair = (float(row["log"]), float(row["dose_mj_cm2"]))
        found.setdefault(row["organism"], []).append(pair)
    return {name: tuple(pairs) for name, pairs in found.items()}
