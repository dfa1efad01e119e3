"""A gauge: what measures the system once it stands, and how its figures are to be read."""

from dataclasses import dataclass, field
from typing import Literal

from eavewell.site.share import Share

Measures = Literal[
    "level", "meter", "make-up", "rain", "pressure", "lamp hours", "filter loss", "temperature"
]
How = Literal[
    "stick",
    "sight tube",
    "float rod",
    "ultrasonic",
    "pressure sensor",
    "reed chain",
    "pulse counter",
    "register",
    "rain gauge",
    "pressure gauge",
    "hour counter",
    "thermometer",
    "unknown",
]

# beside the site file, where that does not say another place
LOG_FILE = "log.db"


@dataclass(frozen=True, slots=True)
class KnownLevel:
    """What the gauge said, in its own unit, while the water stood at a level known otherwise.

    level_m : above the tank's floor.
    """

    said: float
    level_m: float


@dataclass(frozen=True, slots=True)
class Feed:
    """Where a gauge's figures come from by themselves.

    topic : of the broker. at : the way to the figure in a JSON message, such as "tank.distance";
    "" for a plain number. scale, offset : figure of the gauge = message x scale + offset.
    time_at : the way to the time of measuring in a JSON message; "" counts the time of arrival.
    """

    topic: str
    at: str = ""
    scale: float = 1.0
    offset: float = 0.0
    time_at: str = ""


@dataclass(frozen=True, slots=True)
class Gauge:
    """One gauge of a site.

    of       : the tank, line, lamp or filter it stands at; "" for the whole site.
    unit     : of its bare figures, such as "in" or "gal"; "" where every figure carries its own.
    uses     : uses whose water a meter counts; () for all that its line serves.
    zero_m   : height of a stick's or sensor's zero above the tank's floor; an ultrasonic sensor
               looks down from its face, so there it is the face. None: known levels say it.
    known_levels : two or more of them calibrate a sensor.
    blind_m  : an ultrasonic sensor sees no water nearer to its face than this.
    reckons_at_c : air temperature for which an ultrasonic sensor turns time into distance, and
               does not correct; None where it corrects by itself or is no such sensor.
    air_gauge : name of the gauge that tells the air temperature above the water; "" for none.
    per_pulse_l : of a pulse counter. wraps_at : the figure after which a counter begins at 0 again.
    noise    : standard deviation of one reading, in the internal unit; None unknown.
    least, most : figures outside are no readings, in the internal unit; None for no limit.
    """

    name: str
    measures: Measures
    of: str = ""
    how: How = "unknown"
    unit: str = ""
    uses: tuple[str, ...] = ()
    zero_m: float | None = 0.0
    known_levels: tuple[KnownLevel, ...] = ()
    blind_m: float = 0.0
    reckons_at_c: float | None = None
    air_gauge: str = ""
    per_pulse_l: float | None = None
    wraps_at: float | None = None
    noise: float | None = None
    least: float | None = None
    most: float | None = None
    feed: Feed | None = None


@dataclass(frozen=True, slots=True)
class Tell:
    """Who is told of an alert, and by what; nothing is sent where nothing is stated.

    mail_to, mail_from, mail_server : of an e-mail; the server as host:port. A password is never in
    the site file: it is read from the environment. topic : of the broker, for a message.
    """

    mail_to: tuple[str, ...] = ()
    mail_from: str = ""
    mail_server: str = ""
    topic: str = ""


@dataclass(frozen=True, slots=True)
class Log:
    """How a site keeps its log.

    kept_in : "" for a file beside the site file, else the address of a shared database.
    zone    : time zone by its name in the IANA list, such as "America/Chicago"; "" unknown.
    broker  : host:port of the sensors' message broker; "" for none.
    readings_at : hour of the day at which a daily reading is usually taken, 0 to 24; None unknown.
    """

    kept_in: str = ""
    zone: str = ""
    broker: str = ""
    readings_at: float | None = None
    gauges: tuple[Gauge, ...] = ()
    tell: Tell = field(default_factory=Tell)
    share: Share = field(default_factory=Share)

    def gauge(self, name: str) -> Gauge:
        """The gauge of that name; KeyError where there is none."""
        return {one.name: one for one in self.gauges}[name]
