"""What one built system lets the register know: no more than its owner agreed to."""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any, Literal

from eavewell.cost.reckoned import reckon_on_record
from eavewell.design import Design, design
from eavewell.district.used_water import UsedWater, used_water
from eavewell.faults import EavewellFault
from eavewell.files.record import authority_of, beside_of, record_of
from eavewell.files.site.reader import read_site
from eavewell.hydraulics.gravity import run_line
from eavewell.hydraulics.tank_connections import connect
from eavewell.logbook.kept import Kept
from eavewell.logbook.nothing_kept import NothingKept, log_if_any
from eavewell.logbook.readings.midnights import zone_of
from eavewell.logbook.reconciled.account import expected_of
from eavewell.logbook.upkeep.care import care_of, care_without_rain
from eavewell.logbook.upkeep.noted import Noted
from eavewell.logbook.upkeep.service import due_of
from eavewell.logbook.upkeep.serviced import Due, Serviced, serviced
from eavewell.site.entry import Reading
from eavewell.site.share import Share
from eavewell.site.site import Site
from eavewell.storage.arrangement import MAINS
from eavewell.storage.doubts import doubts
from eavewell.storage.drawn import as_drawn
from eavewell.storage.first_fill import first_fill
from eavewell.storage.sizing import size_system
from eavewell.storage.too_coarse import too_coarse
from eavewell.storage.within_day import sumps_reckoned
from eavewell.stormwater.before_after import before_and_after
from eavewell.structure.screening import carry
from eavewell.tables import table
from eavewell.weather.within_day import rain_within_days

Status = Literal["working", "stopped", "not heard of", "no log", "not readable"]
_QUOTED = re.compile(r"'[^']*'")
BACKFLOW = "test the backflow device"
# stages of a design of which a register tells nothing
_OTHER_STAGES: frozenset[Callable[..., Any]] = frozenset(
    (size_system, doubts, first_fill, connect, run_line, carry, too_coarse, before_and_after)
)
_FOR_MONEY: frozenset[Callable[..., Any]] = frozenset(
    (rain_within_days, as_drawn, reckon_on_record)
)


@dataclass(frozen=True, slots=True)
class ServiceShared:
    """What is due. again : tasks entered twice on one thing within some weeks, in the last year."""

    due: tuple[Due, ...]
    again: int

    @property
    def overdue(self) -> tuple[Due, ...]:
        """What is over its day."""
        return tuple(one for one in self.due if one.overdue_days)


@dataclass(frozen=True, slots=True)
class TestsShared:
    """How many planned water tests failed or are not yet clear again, ran out, were never taken."""

    failed: int
    expired: int
    open: int


@dataclass(frozen=True, slots=True)
class MoneyShared:
    """Even yearly cost over the life, in `currency`; modelled_l_year : rain used by the design."""

    yearly: float
    currency: str
    modelled_l_year: float


@dataclass(frozen=True, slots=True)
class SupplyShared:
    """second : whether mains water is one. backflow : when its device is tested; None for none."""

    second: bool
    backflow: date | None
    backflow_overdue_days: int = 0


@dataclass(frozen=True, slots=True)
class SharedSite:
    """A built system as the register knows it; None for what its owner did not agree to.

    name : of its folder. says : why it is not readable, or what keeps a figure from being told.
    used : None as well where no meter tells; use_shared says whether it was agreed to.
    invented : whether its use or its money rests on rain that no gauge measured.
    """

    name: str
    status: Status
    last_reading: date | None
    show: str = "us"
    share: Share = field(default_factory=Share)
    says: tuple[str, ...] = ()
    first_use: date | None = None
    service: ServiceShared | None = None
    tests: TestsShared | None = None
    used: UsedWater | None = None
    money: MoneyShared | None = None
    supply: SupplyShared | None = None
    invented: bool = False


def shared_site(folder: Path, *, now: datetime) -> SharedSite:
    """Read the site in a folder with its log, as of an instant with its offset.

    A site that cannot be read stands there as such, with no path in its reason.
    """
    try:
        site = read_site(folder / "site.toml")
        with log_if_any(site) as kept:
            return _shared(folder.name, site, kept=kept, now=now)
    except EavewellFault as refused:
        says = tuple(_told(one.says, folder) for one in refused.faults)
        return SharedSite(folder.name, "not readable", None, says=says)
    except OSError as refused:
        says = (f"It cannot be read: {refused.strerror or 'the disk gave no reason'}.",)
        return SharedSite(folder.name, "not readable", None, says=says)


def _told(says: str, folder: Path) -> str:
    """A reason without the path, and without what stands in the file."""
    return _QUOTED.sub("'...'", says.replace(f"{folder}/", ""))


def _shared(name: str, site: Site, *, kept: Kept, now: datetime) -> SharedSite:
    agreed = set(site.log.share.agreed)
    says: list[str] = []
    made = _design(site, now=now, says=says) if agreed & {"use", "money"} else None
    care = care_of(made) if made else care_without_rain(site, authority_of(site))
    read = serviced(care, kept, now=now)
    last = _last_day(site, kept, now=now)
    due = due_of(read) if agreed & {"service", "supply"} else ()
    return SharedSite(
        name=name,
        status=_status(kept, read, last=last),
        last_reading=last,
        show=site.place.show,
        share=site.log.share,
        says=tuple(says),
        first_use=site.permission.use if "age" in agreed else None,
        service=ServiceShared(due, _again(read)) if "service" in agreed else None,
        tests=_tests(read) if "tests" in agreed else None,
        used=_used(made, kept, now=now, says=says) if made and "use" in agreed else None,
        money=_money(made) if made and "money" in agreed else None,
        supply=_supply(site, due) if "supply" in agreed else None,
        invented=made is not None and made.rain.record.invented,
    )


def _design(site: Site, *, now: datetime, says: list[str]) -> Design | None:
    """As much of the design as is shared; None where its record cannot be designed on."""
    try:
        day = now.astimezone(zone_of(site.log.zone)).date()
        left_out = _not_shared(site)
        beside = beside_of(_without_donor(site) if rain_within_days in left_out else site)
        stage = partial(_stage, left_out)
        return design(site, record_of(site), beside=beside, today=day, stage=stage)
    except EavewellFault as refused:
        says += [_told(one.says, Path(site.folder)) for one in refused.faults]
        return None


def _not_shared(site: Site) -> frozenset[Callable[..., Any]]:
    """Stages of which nothing is read: without money no tank is run, without sumps no hour."""
    if "money" not in site.log.share.agreed:
        return _OTHER_STAGES | _FOR_MONEY
    return _OTHER_STAGES if sumps_reckoned(site) else _OTHER_STAGES | {rain_within_days}


def _without_donor(site: Site) -> Site:
    """A site that names no storms of a donor, its own or those of an invented climate."""
    return replace(site, storm=replace(site.storm, donor=""), rain=replace(site.rain, climate=""))


def _stage(
    left_out: frozenset[Callable[..., Any]],
    function: Callable[..., Any],
    /,
    *inputs: Any,
    **named: Any,
) -> Any:
    return None if function in left_out else function(*inputs, **named)


def _last_day(site: Site, kept: Kept, *, now: datetime) -> date | None:
    """Day of the last reading of any gauge, not later than now."""
    if isinstance(kept, NothingKept):
        return None
    store: Any = kept
    found: Iterable[Reading | None] = (store.last(name) for name in store.gauges())
    zone = zone_of(site.log.zone)
    days = [one.at.astimezone(zone).date() for one in found if one is not None]
    return min(max(days), now.astimezone(zone).date()) if days else None


def _status(kept: Kept, read: Serviced, *, last: date | None) -> Status:
    if any(one.ended is None and one.began <= read.now for one in read.noted.outages):
        return "stopped"
    if last is None:
        return "no log" if isinstance(kept, NothingKept) else "not heard of"
    within = timedelta(days=table("register")["heard within"].value)
    return "working" if read.today - last <= within else "not heard of"


def _again(read: Serviced) -> int:
    """Tasks done again on the same thing within some weeks, and before half their time was over."""
    within = timedelta(days=table("register")["visited again within"].value)
    half = {one.task: timedelta(days=one.every_days / 2) for one in due_of(read) if one.every_days}
    days = dict[tuple[str, str], set[date]]()
    for task, thing, day in _done_lately(read.noted, read.today):
        days.setdefault((task, thing), set()).add(day)
    return sum(
        after - before <= min(within, half.get(task, within))
        for (task, _), mine in days.items()
        for before, after in pairwise(sorted(mine))
    )


def _done_lately(noted: Noted, today: date) -> list[tuple[str, str, date]]:
    found = [(one.task, one.thing, noted.day(one.at)) for one in noted.done if one.until is None]
    return [one for one in found if today - timedelta(days=365) < one[2] <= today]


def _tests(read: Serviced) -> TestsShared:
    states = [one.result.state for one in read.results.found]
    return TestsShared(
        failed=len(read.results.held_back),
        expired=states.count("expired"),
        open=states.count("open") + states.count("proves nothing"),
    )


def _used(made: Design, kept: Kept, *, now: datetime, says: list[str]) -> UsedWater | None:
    try:
        return used_water(made.site, kept, expected=expected_of(made), now=now)
    except EavewellFault as refused:
        says += [_told(one.says, Path(made.site.folder)) for one in refused.faults]
        return None


def _money(made: Design) -> MoneyShared | None:
    """None where nothing of the system has a price."""
    found = made.reckoned
    if not found.priced.rows:
        return None
    return MoneyShared(found.life.yearly.typical, found.money.currency, found.water.used_l)


def _supply(site: Site, due: tuple[Due, ...]) -> SupplyShared:
    mains = any(lift.source == MAINS for lift in site.lifts)
    mine = [one for one in due if one.task == BACKFLOW]
    first = min(mine, key=lambda one: one.due, default=None)
    return SupplyShared(
        mains or any(use.fallback == "mains" for use in site.uses),
        first.due if first else None,
        first.overdue_days if first else 0,
    )
