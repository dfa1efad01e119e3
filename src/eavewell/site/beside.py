"""What stands beside the daily rain record: neighbour, storms, donor, authority, prices."""

from dataclasses import dataclass

from eavewell.site.authority import Authority
from eavewell.site.money import PriceBook
from eavewell.site.rain_record import RainRecord, StepRain
from eavewell.site.storm_table import StormTable


@dataclass(frozen=True, slots=True, eq=False)
class Beside:
    """Files that stand beside the daily record; None for each that the site does not name.

    neighbour : a second daily record that fills gaps or extends the first.
    storms    : depths by duration and return period.
    donor     : rain in short steps whose days lend their shape to the site's days.
    authority : the rules of the place. prices : the price book.
    """

    neighbour: RainRecord | None = None
    storms: StormTable | None = None
    donor: StepRain | None = None
    authority: Authority | None = None
    prices: PriceBook | None = None
