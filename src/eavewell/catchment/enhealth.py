"""The published monthly yield formula of enHealth."""

import numpy as np
from numpy.typing import ArrayLike

from eavewell.site.rain_record import FloatArray


def runoff_l_enhealth(
    rain_mm_month: ArrayLike, roof_m2: float, *, share: float, loss_mm: float
) -> FloatArray:
    """Water collected in each month: share x (rain - loss) x roof, never below 0.

    rain_mm_month : depth of each month, shape (month,).
    share         : 0.80 to 0.85 in the source (tables/catchment.csv, enhealth share).
    loss_mm       : wetting and evaporation in each month; 2 in the source (enhealth loss).
    Source enhealth_2011, appendix B. For whole months only; a daily record goes to `runoff_mm`.
    """
    wet_mm = np.maximum(np.asarray(rain_mm_month, dtype=np.float64) - loss_mm, 0.0)
    return share * wet_mm * roof_m2
