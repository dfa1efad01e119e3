"""The whole system as it is described by a site file."""

from dataclasses import dataclass, field
from datetime import date

from eavewell.site.gauge import Log
from eavewell.site.goal import Goal
from eavewell.site.ground import Ground
from eavewell.site.hauling import Hauling
from eavewell.site.lift import Lift
from eavewell.site.line import Line
from eavewell.site.money import Money
from eavewell.site.permission import Permission
from eavewell.site.pipe import PipeRun
from eavewell.site.place import Place
from eavewell.site.power import Power
from eavewell.site.rain import Rain
from eavewell.site.roof import Roof
from eavewell.site.storm import Storm
from eavewell.site.tank import Tank
from eavewell.site.traced import Traced
from eavewell.site.use import Use
from eavewell.site.water import Water
from eavewell.site.weighing import Weighing


@dataclass(frozen=True, slots=True)
class Site:
    """Roofs, stores, lifts and uses at one place.

    rule      : "yas" (yield after spillage) or "ybs" (yield before spillage).
    start_day : when a new system is first used; only month and day matter; None unknown.
    water     : what is known of the stored water. permission : papers and permits.
    money     : how money is reckoned. power : what feeds pumps and lamps.
    weighing : what may be built otherwise.
    log : gauges and how the log is kept.
    traced : where things stand, as surveyed; None where nothing was.
    datum     : what the levels are measured from, in words.
    folder    : where the site file lies; record paths are read from there.
    """

    name: str
    place: Place
    rain: Rain
    roofs: tuple[Roof, ...]
    tanks: tuple[Tank, ...]
    uses: tuple[Use, ...]
    lifts: tuple[Lift, ...] = ()
    hauling: tuple[Hauling, ...] = ()
    goals: tuple[Goal, ...] = ()
    rule: str = "yas"
    start_day: date | None = None
    folder: str = ""
    storm: Storm = field(default_factory=Storm)
    runs: tuple[PipeRun, ...] = ()
    lines: tuple[Line, ...] = ()
    ground: Ground = field(default_factory=Ground)
    datum: str = ""
    water: Water = field(default_factory=Water)
    permission: Permission = field(default_factory=Permission)
    money: Money = field(default_factory=Money)
    power: Power = field(default_factory=Power)
    weighing: Weighing = field(default_factory=Weighing)
    traced: Traced | None = None
    log: Log = field(default_factory=Log)

    def tank(self, name: str) -> Tank:
        """The tank or sump of that name; KeyError where there is none."""
        return {tank.name: tank for tank in self.tanks}[name]

    def fed_from(self, name: str) -> frozenset[str]:
        """The store of that name and every store that lifts fill from it, in turn."""
        fed, before = {name}, set[str]()
        while fed != before:
            before = set(fed)
            fed |= {lift.target for lift in self.lifts if lift.source in fed}
        return frozenset(fed)

    def use(self, name: str) -> Use:
        """The use of that name; KeyError where there is none."""
        return {use.name: use for use in self.uses}[name]
