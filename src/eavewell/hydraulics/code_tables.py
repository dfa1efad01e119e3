"""Storm drainage tables of plumbing codes, held as printed with their edition, never fitted."""

from dataclasses import dataclass
from functools import cache

from eavewell.faults import OutOfRange
from eavewell.hydraulics.roof_area import roof_flow_l_s
from eavewell.tables import rows

_MM_PER_IN, _M2_PER_FT2, _L_S_PER_GAL_MIN = 25.4, 0.09290304, 3.785411784 / 60.0
_INCHES_PER_FOOT = 12.0
# A real bore counts as a nominal size down to this share of it (5 in schedule 40 is 5.05 in).
_NOMINAL = 0.96


@dataclass(frozen=True, slots=True)
class CodeRow:
    """One size of a code table with the flow it may carry; fall in m per m, 0 for none."""

    bore_mm: float
    fall: float
    flow_l_s: float


def leader_l_s_code(bore_mm: float, edition: str) -> float:
    """Flow of a vertical leader by tables/code_leaders.csv; a bore between two takes the less."""
    return _largest(_table("code_leaders", edition), bore_mm, edition=edition)


def drain_l_s_code(bore_mm: float, fall: float, *, edition: str) -> float:
    """Flow of a horizontal storm drain by tables/code_drains.csv; bore and fall round down."""
    return _largest(_at_fall("code_drains", edition, fall=fall), bore_mm, edition=edition)


def gutter_l_s_code(width_mm: float, fall: float, *, edition: str) -> float:
    """Flow of a semicircular gutter by tables/code_gutters.csv; width and fall round down."""
    return _largest(_at_fall("code_gutters", edition, fall=fall), width_mm, edition=edition)


def size_mm_by_area_alone(area_m2: float, *, what: str, edition: str) -> float:
    """Bore that an old table by roof area alone asks for; it holds for the storms of its town.

    what : "leader" or "gutter". Raises OutOfRange for an area that it leaves out.
    """
    for row in rows("roof_area_tables"):
        low, high = (float(row[key]) * _M2_PER_FT2 for key in ("least_ft2", "most_ft2"))
        if (row["edition"], row["what"]) == (edition, what) and low <= area_m2 <= high + 1e-9:
            return float(row["bore_in"]) * _MM_PER_IN
    raise OutOfRange(f"{edition}: no {what} is listed for {area_m2:g} m2 of roof.")


@cache
def _table(name: str, edition: str) -> tuple[CodeRow, ...]:
    found = [row for row in rows(name) if row["edition"] == edition]
    if not found:
        known = sorted({row["edition"] for row in rows(name)})
        raise OutOfRange(f"No table of edition {edition!r}; known are {', '.join(known)}.")
    return tuple(
        CodeRow(
            float(row["bore_in"]) * _MM_PER_IN,
            float(row.get("fall_in_per_ft", "0")) / _INCHES_PER_FOOT,
            _flow_l_s(row.get("flow_gal_min", ""), row.get("area_ft2_at_1_in_h", "")),
        )
        for row in found
    )


def _flow_l_s(gal_min: str, area_ft2: str) -> float:
    if gal_min:
        return float(gal_min) * _L_S_PER_GAL_MIN
    return roof_flow_l_s(float(area_ft2) * _M2_PER_FT2, _MM_PER_IN)


def _at_fall(name: str, edition: str, *, fall: float) -> tuple[CodeRow, ...]:
    every = _table(name, edition)
    steepest = max((row.fall for row in every if row.fall <= fall + 1e-9), default=None)
    if steepest is None:
        least = min(row.fall for row in every)
        raise OutOfRange(f"{edition}: the table begins at a fall of {least:.4f}, not {fall:.4f}.")
    return tuple(row for row in every if row.fall == steepest)


def _largest(found: tuple[CodeRow, ...], bore_mm: float, *, edition: str) -> float:
    sized = [row for row in found if _NOMINAL * row.bore_mm <= bore_mm]
    if not sized:
        least = min(row.bore_mm for row in found)
        raise OutOfRange(f"{edition}: the table begins at {least:.0f} mm, not {bore_mm:.0f} mm.")
    return max(sized, key=lambda row: row.bore_mm).flow_l_s
