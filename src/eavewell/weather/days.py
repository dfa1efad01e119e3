"""The weather of every day that the balance runs through, on one unbroken calendar."""

from dataclasses import dataclass

from eavewell.site.rain_record import DayArray, FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Days:
    """Rain, temperature and evaporation of each day, kept together in every resampled year.

    dates   : shape (day,), no gaps.
    rain_mm : water that reaches roofs and ground that day, after snow has waited and melted;
              shape (day,), no NaN.
    et0_mm  : reference evapotranspiration, shape (day,), no NaN.
    tmax_c, tmin_c : shape (day,), no NaN; None where the record has no temperatures.
    snow_melt_mm : the part of rain_mm that is melted snow, of which a roof catches its own share;
                   shape (day,), no NaN; None where no snow is reckoned.
    """

    dates: DayArray
    rain_mm: FloatArray
    et0_mm: FloatArray
    tmax_c: FloatArray | None = None
    tmin_c: FloatArray | None = None
    snow_melt_mm: FloatArray | None = None

    @property
    def count(self) -> int:
        """Number of days."""
        return int(self.rain_mm.size)
