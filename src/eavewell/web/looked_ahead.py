"""The look ahead of a site by its log, on the design that lies on the desk."""

from dataclasses import replace
from typing import Any

from eavewell.logbook.ahead.answered import Said, answer_of, asked_of, by_log, typed
from eavewell.logbook.ahead.basis import basis_of
from eavewell.logbook.ahead.from_log import day_of
from eavewell.web.logged import Logged

Plain = dict[str, Any]


def looked_ahead(log: Logged, said: Said, *, cut_years: bool = True) -> Plain:
    """What lies ahead, from the log's last levels or from those that were typed.

    Where no day to reach was typed, the first month that is not reached is asked for.
    cut_years : run every cut through the years as well.

    Raises BadLog, BadQuantity or BadSite in sentences.
    """
    design, site = log.design, log.site
    today = day_of(site, log.now)
    asked = asked_of(said, site, today=today)
    asked = replace(asked, reach_next=True, cut_years=cut_years)
    if said.levels:
        standing = typed(said, site, today=today)
    else:
        standing, asked = by_log(site, log.store, said=said, asked=asked, now=log.now)
    return answer_of(basis_of(design), standing, asked=asked, record=design.rain.record)
