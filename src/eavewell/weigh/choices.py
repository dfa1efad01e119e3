"""Every way in which an owner is ready to build."""

from collections.abc import Iterable
from itertools import product

import numpy as np

from eavewell.faults import BadSite
from eavewell.site.site import Site
from eavewell.site.weighing import Choice
from eavewell.storage.rebuilt import as_it_stands
from eavewell.storage.sizing import varied_store
from eavewell.tables import rows

MOST_CHOICES = 20_000
_SAME_SIZE = 0.02  # a sold size within this share of the present one is the present one


def tank_of(site: Site) -> str:
    """The store whose size is varied."""
    named = site.weighing.tank
    if not named:
        return site.tanks[varied_store(site)].name
    stores = [tank.name for tank in site.tanks if not tank.is_sump]
    if named not in stores:
        known = ", ".join(map(repr, stores))
        what = "a sump, which the report sizes" if named in _sumps(site) else "not there"
        raise BadSite(f"[weigh] tank {named!r} is {what}; what can be weighed: {known}.")
    return named


def _sumps(site: Site) -> list[str]:
    return [tank.name for tank in site.tanks if tank.is_sump]


def choices_of(site: Site, tank: str) -> tuple[Choice, ...]:
    """Every choice, the site as it stands first; each thing may also stay as it is."""
    present, asked = as_it_stands(site, tank), site.weighing
    axes = (
        tuple(dict.fromkeys(_tanks(site, present))),
        tuple(dict.fromkeys((present.roof_m2, *asked.roofs_m2))),
        tuple(dict.fromkeys((1.0, *asked.fixtures))),
        tuple(dict.fromkeys((1.0, *asked.gardens))),
        (True, False) if asked.rations else (True,),
    )
    count = int(np.prod([len(axis) for axis in axes]))
    if count > MOST_CHOICES:
        raise BadSite(
            f"[weigh] makes {count:,} choices, more than {MOST_CHOICES:,}: name fewer sizes, "
            "roofs, fixtures or gardens."
        )
    made = (
        Choice(tanks[0], tanks[1], roof_m2, fixtures, garden, rations)
        for tanks, roof_m2, fixtures, garden, rations in product(*axes)
    )
    return tuple(dict.fromkeys((present, *made)))


def _tanks(site: Site, present: Choice) -> Iterable[tuple[int, float]]:
    """Count and size of the tanks of every choice."""
    asked = site.weighing
    if asked.each_l or asked.counts:
        sizes, counts = asked.each_l or (present.each_l,), asked.counts or (present.count,)
        yield from product(counts, sizes)
        return
    yield from ((count, present.each_l) for count in range(1, 2 * present.count + 3))
    for row in rows("standard_tanks"):
        each_l = float(row["volume_l"])
        if row["system"] == site.place.show and abs(each_l / present.each_l - 1.0) > _SAME_SIZE:
            yield from ((count, each_l) for count in (1, present.count))
