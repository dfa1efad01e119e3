"""Axes of a chart in the reader's units."""

from dataclasses import dataclass
from typing import Any

from eavewell.site.place import Show
from eavewell.units import convert

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True, slots=True)
class Volumes:
    """Volumes on an axis: all in one unit, chosen by the largest."""

    unit: str

    def of(self, litres: float) -> float:
        """A volume as the number that stands on the axis."""
        return convert(litres, "volume", unit=self.unit)


def volumes(largest_l: float, *, system: Show) -> Volumes:
    """The unit of an axis that reaches so far."""
    metric = "m3" if largest_l >= 10_000.0 else "L"
    return Volumes("gal" if system == "us" else metric)


def plain_numbers(axis: Any) -> None:
    """Numbers with a comma before three figures; a fifth of the axis at most between two."""
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    axis.set_major_locator(MaxNLocator(nbins=5, steps=[1, 2, 2.5, 5, 10]))
    axis.set_major_formatter(FuncFormatter(lambda number, _: f"{number:,.10g}"))


def per_cent(axis: Any) -> None:
    """Shares as per cent."""
    from matplotlib.ticker import FuncFormatter, MaxNLocator

    axis.set_major_locator(MaxNLocator(nbins=5, steps=[1, 2, 2.5, 5, 10]))
    axis.set_major_formatter(FuncFormatter(lambda share, _: f"{100.0 * share:.10g} %"))
