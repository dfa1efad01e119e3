"""Today's figures as plain data; every key stands in tables/answers/today.csv."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from importlib.metadata import version
from typing import Any

from eavewell.logbook.ahead.answered import answer_of
from eavewell.logbook.ahead.basis import Asked, Basis, basis_on_record
from eavewell.logbook.ahead.from_log import asked_of_log, day_of, logged
from eavewell.logbook.entries.renamed import with_gone
from eavewell.logbook.kept import Kept
from eavewell.logbook.store import open_log
from eavewell.logbook.today import TankToday, Today, Usual, today
from eavewell.site.beside import Beside
from eavewell.site.rain_record import RainRecord
from eavewell.site.site import Site
from eavewell.storage.balance import EveryDay
from eavewell.storage.drawn import as_drawn

Plain = dict[str, Any]
SCHEMA = "eavewell-today/1"


@dataclass(frozen=True, slots=True)
class TodayAndAhead:
    """Today's figures, and the look ahead with the first month that the water does not reach."""

    today: Plain
    ahead: Plain


def today_answered(
    site: Site, record: RainRecord, *, beside: Beside, now: datetime
) -> TodayAndAhead:
    """Today of a site by its own log, on its record; `now` with its offset.

    Raises BadLog, BadSite or BadRecord in sentences.
    """
    with open_log(site, make=False) as kept, with_gone(site, kept):
        basis = basis_on_record(site, record, beside=beside, today=day_of(site, now))
        every_day = as_drawn(basis.site, basis.water).every_day
        figures = today_of(basis, every_day, kept=kept, now=now)
        log, asked = logged(site, kept, now=now), Asked(reach_next=True)
        standing, known = asked_of_log(site, kept, found=log, asked=asked)
    return TodayAndAhead(figures, answer_of(basis, standing, asked=known, record=record))


def today_of(basis: Basis, every_day: EveryDay, *, kept: Kept, now: datetime) -> Plain:
    """Today by a log, against the design's own balance of the record."""
    found = logged(basis.site, kept, now=now)
    figures = today(basis, every_day, log=found.daily, latest=found.latest, day=found.day)
    return today_answer(figures, basis.site)


def today_answer(found: Today, site: Site) -> Plain:
    """What stands in the tanks, what was used and caught, in SI units."""
    return {
        "schema": SCHEMA,
        "site": site.name,
        "eavewell": version("eavewell"),
        "show": site.place.show,
        "day": found.day.isoformat(),
        "read_on": found.read_on.isoformat(),
        "days_since_reading": (found.day - found.read_on).days,
        "held_l": found.held_l,
        "since_yesterday_l": _together([one.since_yesterday_l for one in found.tanks]),
        "since_week_l": _together([one.since_week_l for one in found.tanks]),
        "usual_held": _usual(found.usual_held_l, "l"),
        "tanks": [_tank(one, site) for one in found.tanks],
        "metered_l_per_day": found.use_metered_l_day,
        "meters": [
            {"name": one.meter, "l_per_day": one.l_day, "days": one.days} for one in found.meters
        ],
        "by_level_l_per_day": found.use_by_level_l_day,
        "dry_days": found.dry_days,
        "rain_is_gauged": found.rain_gauged,
        "usual_use": _usual(found.usual_use_l_day, "l_per_day"),
        "rain_mm": found.rain_mm,
        "rain_days": found.rain_days,
        "week_days": found.week_days,
        "caught_l": found.caught_l,
        "usual_caught": _usual(found.usual_caught_l, "l"),
        "make_up_l": found.make_up_l,
        "hauled_l": found.hauled_l,
    }


def _tank(one: TankToday, site: Site) -> Plain:
    return {
        "name": one.name,
        "held_l": one.held_l,
        "held_sd_l": one.sd_l,
        "total_l": one.total_l,
        "full_l": site.tank(one.name).full_l,
        "level_m": one.level_m,
        "since_yesterday_l": one.since_yesterday_l,
        "since_week_l": one.since_week_l,
    }


def _together(changes: Sequence[float | None]) -> float | None:
    """The sum; None where one of them is not known."""
    known = [one for one in changes if one is not None]
    return sum(known) if len(known) == len(changes) else None


def _usual(one: Usual, unit: str) -> Plain:
    return {f"mean_{unit}": one.mean, f"low_{unit}": one.low, f"high_{unit}": one.high}
