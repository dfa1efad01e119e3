"""From what somebody says, or the log tells, to the answer: what the command and the pages call."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from eavewell.faults import BadLog
from eavewell.logbook.ahead.answer import ahead_answer
from eavewell.logbook.ahead.basis import Asked, Basis, Standing, basis_on_record
from eavewell.logbook.ahead.from_log import asked_of_log, day_of, logged
from eavewell.logbook.ahead.look import look_ahead
from eavewell.logbook.ahead.said import (
    chance_said,
    day_said,
    levels_said,
    loads_said,
    rains_said,
    uses_said,
)
from eavewell.logbook.ahead.standing import typed_standing
from eavewell.logbook.entries.renamed import with_gone
from eavewell.logbook.kept import Kept
from eavewell.logbook.store import open_log
from eavewell.site.beside import Beside
from eavewell.site.rain_record import RainRecord
from eavewell.site.site import Site


@dataclass(frozen=True, slots=True)
class Said:
    """What was typed, as it was typed; levels empty: the log's."""

    levels: Sequence[str] = ()
    uses: Sequence[str] = ()
    rains: Sequence[str] = ()
    loads: Sequence[str] = ()
    reach: str = ""
    chance: str = ""
    read_on: str = ""


def answered(
    site: Site, record: RainRecord, *, beside: Beside, said: Said, now: datetime
) -> dict[str, Any]:
    """The look ahead of a site on its record, from typed levels or else from its log.

    now : with its offset. Raises BadLog, BadQuantity, BadSite or BadRecord in sentences.
    """
    today = day_of(site, now)
    asked = asked_of(said, site, today=today)
    if said.read_on and not said.levels:
        raise BadLog("--read-on is the day of typed levels: say --level as well.")
    if said.levels:
        standing = typed(said, site, today=today)
    else:
        with open_log(site, make=False) as kept, with_gone(site, kept):
            standing, asked = by_log(site, kept, said=said, asked=asked, now=now)
    basis = basis_on_record(site, record, beside=beside, today=today)
    return answer_of(basis, standing, asked=asked, record=record)


def asked_of(said: Said, site: Site, *, today: date) -> Asked:
    """Forecast, loads and the day to reach, as they were typed."""
    return Asked(
        rain_mm=rains_said(said.rains, today=today),
        loads=loads_said(said.loads, site, today=today),
        reach=day_said(said.reach, today=today) if said.reach else None,
        chance=chance_said(said.chance),
    )


def typed(said: Said, site: Site, *, today: date) -> Standing:
    """Levels as they were typed."""
    return typed_standing(
        site,
        levels_said(said.levels),
        day=today,
        read_on=day_said(said.read_on, today=today) if said.read_on else None,
        week_l_day=uses_said(said.uses, site),
    )


def by_log(
    site: Site, kept: Kept, *, said: Said, asked: Asked, now: datetime
) -> tuple[Standing, Asked]:
    """Levels and use of the log; a typed use stands in place of the log's."""
    standing, known = asked_of_log(site, kept, found=logged(site, kept, now=now), asked=asked)
    use = uses_said(said.uses, site)
    return (replace(standing, week_l_day=use) if use else standing), known


def answer_of(
    basis: Basis, standing: Standing, *, asked: Asked, record: RainRecord
) -> dict[str, Any]:
    """Look ahead and say so."""
    found = look_ahead(basis, standing, asked=asked)
    return ahead_answer(found, basis.site, record=record, asked=asked)
