"""Pipes: a length of pipe with its fittings, and the runs that bring roof water to a store."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Pipe:
    """A length of one bore.

    material : a row name in tables/pipe_materials.csv.
    fittings : names in tables/fittings.csv with their count.
    """

    bore_mm: float
    length_m: float
    material: str = "pvc"
    fittings: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class PipeRun:
    """A collection pipe from downspouts to a store.

    carries   : names of the roofs whose water it brings; their roofs name the store.
    to        : the store it enters, or the run it joins.
    held_full : True for a wet pipe, which dips below its inlet and stays full; False for a dry
                pipe, which falls all the way and drains itself.
    fall      : metres per metre of a dry pipe; None where it follows from its levels or is unknown.
    from_m, to_m : invert where it starts and where it lets the water go, above the datum.
    low_m     : lowest invert; opening_m: lowest opening at its upper end (leaf head, first-flush
                tee); None where it is the lowest eave of the roofs it carries.
    drain_mm  : bore of the drain at its low point; None where unknown, 0 for none.
    cover_m   : soil over it; 0 for a pipe in the open, None unknown.
    vented    : True where its high points let air out.
    """

    name: str
    carries: tuple[str, ...]
    to: str
    pipe: Pipe
    held_full: bool = False
    fall: float | None = None
    from_m: float | None = None
    to_m: float | None = None
    low_m: float | None = None
    opening_m: float | None = None
    drain_mm: float | None = None
    cover_m: float | None = None
    vented: bool | None = None
