"""What a storm drain laid to a fall carries when it runs full, by Manning.

The code tables, each with its edition, stand in `code_tables.drain_l_s_code`.
"""

import math

from eavewell.faults import OutOfRange
from eavewell.hydraulics.code_tables import drain_l_s_code
from eavewell.hydraulics.roof_methods import Method
from eavewell.tables import table


def drain_l_s_manning(bore_mm: float, fall: float, *, roughness_n: float) -> float:
    """Full pipe by Manning: Q = A R^(2/3) S^(1/2) / n with R = d/4.

    bore_mm : 10 to 3000; fall : above 0 to 0.5 m per m; roughness_n : 0.007 to 0.05.
    """
    if not 10.0 <= bore_mm <= 3000.0 or not 0.0 < fall <= 0.5 or not 0.007 <= roughness_n <= 0.05:
        raise OutOfRange(
            f"A drain of {bore_mm:g} mm at a fall of {fall:g} with n {roughness_n:g} is no drain."
        )
    bore_m = bore_mm / 1000.0
    speed_m_s = (bore_m / 4.0) ** (2 / 3) * math.sqrt(fall) / roughness_n
    return float(1000.0 * math.pi / 4.0 * bore_m**2 * speed_m_s)


def drain_l_s(bore_mm: float, fall: float, *, method: Method, material: str = "pvc") -> float:
    """Full drain by the edition that a set of rules names, by Manning where it names none."""
    if method.drain:
        return drain_l_s_code(bore_mm, fall, edition=method.drain)
    return drain_l_s_manning(bore_mm, fall, roughness_n=manning_n(material))


def manning_n(material: str) -> float:
    """Manning's n of a pipe material; OutOfRange for one the table does not know."""
    known = table("pipe_manning")
    if material not in known:
        raise OutOfRange(f"{material!r} is not in the table; it knows {', '.join(known)}.")
    return known[material].value
