"""What stands beside the daily rain record: a neighbour, a table of storms, storms of a donor."""

from dataclasses import dataclass

from eavewell.site.rain_record import RainRecord, StepRain
from eavewell.site.storm_table import StormTable


@dataclass(frozen=True, slots=True, eq=False)
class Beside:
    """Records that help the daily one; None for each that the site does not name.

    neighbour : a second daily record that fills gaps or extends the first.
    storms    : depths by duration and return period.
    donor     : rain in short steps whose days lend their shape to the site's days.
    """

    neighbour: RainRecord | None = None
    storms: StormTable | None = None
    donor: StepRain | None = None
