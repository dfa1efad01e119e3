"""Pipes and collection pipes from their parts of the site file."""

from eavewell.files.site.parts import Part
from eavewell.site.pipe import Pipe, PipeRun
from eavewell.tables import rows

_ANY_BORE_MM = 100.0  # stands for one that could not be read; the fault is noted


def pipe_of(part: Part | None) -> Pipe | None:
    """A piece of pipe; None where the file has none."""
    return None if part is None else pipe_in(part)


def pipe_in(part: Part, *, length_m: float | None = None) -> Pipe:
    """The pipe that a part describes among its other fields.

    length_m : for a part without a field of that name.
    """
    return Pipe(
        bore_mm=bore_of(part),
        length_m=(part["length"] or 0.0) if length_m is None else length_m,
        material=part["material"] or "pvc",
        fittings=part["fittings"] or () if "fittings" in part.values else (),
    )


def bore_of(part: Part) -> float:
    """Inside diameter by the size's name or as measured; a fault where it is not one of the two."""
    bores = {row["called"]: float(row["bore_mm"]) for row in rows("standard_bores")}
    sold_mm: float = bores.get(part["size"] or "", _ANY_BORE_MM)
    measured_mm: float = part["bore"] or _ANY_BORE_MM
    return sold_mm if part.one_of("size", "bore") == "size" else measured_mm


def run_of(part: Part) -> PipeRun:
    """A collection pipe; faults where its levels cannot all be true."""
    start_m, low_m = part["start"], part["low"]
    if start_m is not None and low_m is not None and low_m > start_m:
        part.fault("its lowest point stands above the level where it starts.", "low")
    if part["held_full"] and "fall" in part.given:
        part.fault("a pipe that is held full has no fall: give its lowest point, low.", "fall")
    return PipeRun(
        name=part["name"] or "",
        carries=part["carries"] or (),
        to=part["to"] or "",
        pipe=pipe_in(part),
        held_full=bool(part["held_full"]),
        fall=part["fall"],
        from_m=start_m,
        to_m=part["end"],
        low_m=low_m,
        opening_m=part["opening"],
        drain_mm=part["drain"],
        cover_m=part["cover"],
        vented=part["vented"],
    )
