"""Pumps from their parts of the site file: a generic one by name, or one by its own curve."""

from eavewell.files.site.generic_pumps import generic_pump
from eavewell.files.site.parts import Part
from eavewell.site.pump import Pump


def pump_of(part: Part) -> Pump | None:
    """The pump of a lift or a line; None where none is named."""
    named, own = part["pump"], part["own_pump"]
    if named and own is not None:
        part.fault("both pump and own_pump are given: keep one of them.", "own_pump")
    if own is not None:
        return _own(own)
    if not named:
        return None
    return generic_pump(named)


def _own(part: Part) -> Pump | None:
    if not part["curve"] or not part["kind"]:
        return None
    return Pump(
        name=part["name"] or "",
        kind=part["kind"],
        curve=part["curve"],
        input_w=part["input"],
        start_w=part["start"],
        motor_w=part["motor"],
        npsh_m=part["npsh"],
        solids_mm=part["solids"],
        least_l_s=part["least"] or 0.0,
    )
