"""What an outlet, a downspout and the pipe below it carry."""

import math

from eavewell.faults import OutOfRange
from eavewell.hydraulics.code_tables import leader_l_s_code
from eavewell.hydraulics.gutters import depth_of_mm
from eavewell.hydraulics.roof_area import roof_flow_l_s
from eavewell.hydraulics.roof_methods import Method
from eavewell.site.gutter import Downspout, Gutter
from eavewell.tables import table

_MM_PER_IN, _M2_PER_FT2, _L_S_PER_GAL_MIN = 25.4, 0.09290304, 3.785411784 / 60.0
SEVEN_24THS = 7.0 / 24.0


def downspout_l_s(downspout: Downspout, method: Method) -> float:
    """What one downspout carries by a set of rules; a rectangular one as the round of its area."""
    return _by(method, math.sqrt(4.0 / math.pi * area_mm2(downspout)))


def transition_l_s(downspout: Downspout, method: Method) -> float | None:
    """What the round pipe below a downspout carries while it still falls; None where none is."""
    return None if downspout.into_mm is None else _by(method, downspout.into_mm)


def outlet_l_s(gutter: Gutter, downspout: Downspout) -> float:
    """What the hole in the gutter's floor lets through, by the outlets of EN 12056-3.

    Round or rectangular; the water stands at half the depth of the gutter over it.
    """
    share = table("eave_figures")["head at outlet"].value
    head_mm = share * depth_of_mm(gutter)
    if downspout.outlet_mm is not None:
        return outlet_l_s_en_12056(
            head_mm,
            area_mm2=math.pi / 4.0 * downspout.outlet_mm**2,
            rim_mm=math.pi * downspout.outlet_mm,
        )
    return outlet_l_s_en_12056(head_mm, area_mm2=area_mm2(downspout), rim_mm=_rim_mm(downspout))


def outlet_l_s_en_12056(head_mm: float, *, area_mm2: float, rim_mm: float) -> float:
    """Outlet with a sharp edge by EN 12056-3: a weir under low water, then an orifice.

    For a round outlet Q = D h^1.5 / 7500 up to h = D/2, then D^2 h^0.5 / 15000; other shapes by
    their rim and area. head_mm : 0 to 300.
    """
    if not 0.0 <= head_mm <= 300.0 or area_mm2 <= 0.0 or rim_mm <= 0.0:
        raise OutOfRange(f"An outlet under {head_mm:g} mm of water is beyond the standard.")
    figures = table("eave_figures")
    weir = rim_mm / math.pi * head_mm**1.5 / figures["en outlet weir"].value
    orifice = 4.0 / math.pi * area_mm2 * head_mm**0.5 / figures["en outlet orifice"].value
    return float(min(weir, orifice))


def downspout_l_s_wyly_eaton(bore_mm: float, filled: float = SEVEN_24THS) -> float:
    """Vertical leader by Wyly and Eaton, Q = 27.8 r^(5/3) d^(8/3) in gal/min and inches.

    bore_mm : 25 to 400; filled : share of the section that water takes, 0.2 to 1/3.
    """
    _within(bore_mm, filled)
    constant = table("eave_figures")["wyly-eaton"].value
    bore_in = bore_mm / _MM_PER_IN
    return float(constant * filled ** (5 / 3) * bore_in ** (8 / 3) * _L_S_PER_GAL_MIN)


def downspout_l_s_en_12056(bore_mm: float, filled: float | None = None) -> float:
    """Downpipe by EN 12056-3, Q = 2.5e-4 kb^(-1/6) d^(8/3) f^(5/3) in L/s and mm.

    bore_mm : 25 to 400; filled : 0.20 to 0.33, the latter where left out.
    """
    figures = table("eave_figures")
    filled = figures["en downpipe filled"].value if filled is None else filled
    _within(bore_mm, filled)
    rough = figures["en downpipe roughness"].value ** (-1 / 6)
    constant = figures["en downpipe"].value
    return float(constant * rough * bore_mm ** (8 / 3) * filled ** (5 / 3))


def downspout_l_s_sheet_metal(bore_mm: float) -> float:
    """Sheet-metal rule: each square inch drains 1,200 ft2 at 1 in/h."""
    _within(bore_mm, SEVEN_24THS)
    square_inches = math.pi / 4.0 * (bore_mm / _MM_PER_IN) ** 2
    drained_ft2 = table("eave_figures")["roof per square inch"].value * square_inches
    return roof_flow_l_s(drained_ft2 * _M2_PER_FT2, _MM_PER_IN)


def area_mm2(downspout: Downspout) -> float:
    """Inside area of a round or rectangular downspout; OutOfRange where it has no size."""
    if downspout.bore_mm is not None:
        return math.pi / 4.0 * downspout.bore_mm**2
    if downspout.width_mm is None or downspout.depth_mm is None:
        raise OutOfRange("the size of the downspout is unknown")
    return downspout.width_mm * downspout.depth_mm


def _rim_mm(downspout: Downspout) -> float:
    if downspout.bore_mm is not None:
        return math.pi * downspout.bore_mm
    return 2.0 * ((downspout.width_mm or 0.0) + (downspout.depth_mm or 0.0))


def _by(method: Method, bore_mm: float) -> float:
    if method.leader == "sheet metal":
        return downspout_l_s_sheet_metal(bore_mm)
    if method.leader == "EN 12056-3":
        return downspout_l_s_en_12056(bore_mm)
    if method.leader == "Wyly-Eaton":
        return downspout_l_s_wyly_eaton(bore_mm)
    return leader_l_s_code(bore_mm, method.leader)


def _within(bore_mm: float, filled: float) -> None:
    if not 25.0 <= bore_mm <= 400.0:
        raise OutOfRange(f"Downspouts from 25 to 400 mm are known, not {bore_mm:g} mm.")
    if not 0.2 <= filled <= 1 / 3 + 1e-9:
        raise OutOfRange(f"A downspout runs 0.20 to 1/3 full of water, not {filled:g}.")
