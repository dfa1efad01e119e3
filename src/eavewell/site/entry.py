"""What is written in a log: one thing that was read, brought, done, found or noticed."""

from dataclasses import dataclass
from datetime import datetime

from eavewell.site.water import WaterTest


@dataclass(frozen=True, slots=True)
class Reading:
    """One figure of one gauge.

    at    : when, with its offset from universal time. zone : the time zone's name, "" unknown.
    value : as the gauge said it, in the internal unit of what it measures (a level as the stick's
            or sensor's own depth or distance in m, a meter or pulse counter in L, rain in mm,
            pressure in m of water, hours of a lamp in h); what it means for the tank is reckoned
            from the gauge as it is described now, so that a better calibration mends old readings.
    said  : the words or figure as they came. who : by whom; "" a machine or unknown.
    how   : how measured where it is not the gauge's usual way.
    """

    gauge: str
    at: datetime
    value: float
    said: str = ""
    zone: str = ""
    who: str = ""
    how: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Load:
    """One load of hauled water that came, or that is ordered (came None).

    volume_l : of the load. price : in the site's currency; None unknown. to : the tank.
    paper : what certifies it as drinking water, in words; chlorine_mg_l : measured on arrival.
    """

    to: str
    ordered: datetime | None
    came: datetime | None
    volume_l: float
    price: float | None = None
    paper: str = ""
    chlorine_mg_l: float | None = None
    who: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Done:
    """A task that was done, or put off until a day (snoozed).

    task : as the due list calls it. thing : what it was done to; "" the whole system.
    until : the day to which it was put off; None where it was done.
    """

    task: str
    at: datetime
    thing: str = ""
    until: datetime | None = None
    found: str = ""
    who: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Outage:
    """A time in which something did not run: "power", or the name of a lamp or pump.

    ended : None while it lasts.
    """

    of: str
    began: datetime
    ended: datetime | None = None
    who: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Tested:
    """A water test, as a laboratory or a person found it."""

    at: datetime
    test: WaterTest
    who: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """Anything else that somebody noticed."""

    at: datetime
    says: str
    about: str = ""
    who: str = ""


Entry = Reading | Load | Done | Outage | Tested | Note
