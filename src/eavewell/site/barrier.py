"""What a thing in the line does against germs, grit and taste: cartridge, lamp, chlorine."""

from dataclasses import dataclass
from typing import Literal

Rating = Literal["absolute", "nominal", "unknown"]
Listing = Literal["class A", "class B", "none", "unknown"]


@dataclass(frozen=True, slots=True)
class Cartridge:
    """A filter or carbon cartridge; the thing in the line carries its passage.

    listed   : listing in words, e.g. "NSF/ANSI 53 cyst"; "" for none known.
    life_l   : water it passes until it is due; life_days: time until it is due whatever it passed.
    """

    rating: Rating = "unknown"
    listed: str = ""
    life_l: float | None = None
    life_days: float | None = None


@dataclass(frozen=True, slots=True)
class Lamp:
    """An ultraviolet lamp.

    validated_mj_cm2 : dose that a document proves; None where there is none, then it earns no logs.
    document         : that document, in words. validated_l_s, validated_transmittance : flow and
                       transmittance (share over 10 mm at 254 nm) at which the dose holds.
    at_end           : True where the dose holds for a lamp at the end of its life.
    listing          : as the maker states it; shown, never turned into logs.
    shut_valve       : True where a valve stays closed unless lamp power or sensor opens it.
    sensor           : True where it measures its own light. input_w : power; life_h : of the lamp.
    """

    validated_mj_cm2: float | None = None
    document: str = ""
    validated_l_s: float | None = None
    validated_transmittance: float | None = None
    at_end: bool | None = None
    listing: Listing = "unknown"
    shut_valve: bool | None = None
    sensor: bool | None = None
    input_w: float | None = None
    life_h: float | None = None


@dataclass(frozen=True, slots=True)
class Dosing:
    """Chlorine fed into the line.

    dose_mg_l : chlorine added. strength : trade per cent of the product as a share; None unknown.
    stabilised : True where the product holds a stabiliser. by_flow : fed in proportion to the flow.
    """

    dose_mg_l: float
    strength: float | None = None
    stabilised: bool | None = None
    by_flow: bool | None = None


@dataclass(frozen=True, slots=True)
class ContactTank:
    """A tank that gives chlorine its time.

    least_l : least water in it at peak flow; None unknown.
    baffle  : share of the plug-flow time that the first water stays; None unknown.
    residual_mg_l : free chlorine measured at its outlet; None unknown.
    """

    least_l: float | None = None
    baffle: float | None = None
    residual_mg_l: float | None = None


Works = Cartridge | Lamp | Dosing | ContactTank
