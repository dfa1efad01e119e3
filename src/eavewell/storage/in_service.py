"""The long-run balance: a system that has been in use for some time before the record starts."""

import numpy as np

from eavewell.site.site import Site
from eavewell.storage.balance import Balance, run
from eavewell.storage.lanes import Arrangement
from eavewell.tables import table


def warm_up_years() -> int:
    """A new tank starts empty; the long-run figures start from where these years leave it."""
    return int(table("sizing")["warm-up"].value)


def run_in_service(
    site: Site,
    arrangement: Arrangement,
    *,
    keep_lane: int | None = None,
    threads: int | None = None,
) -> Balance:
    """Run the arrangement as a system already in service; arguments as for `run`.

    A store whose start is stated starts there. Every other store starts at the level that the
    first three years of the same days, run from empty, leave in it.
    """
    stated = np.array([tank.start_share is not None for tank in site.tanks])
    if stated.all():
        return run(arrangement, keep_lane=keep_lane, threads=threads)
    days = min(arrangement.day_row.shape[0], warm_up_years() * 365)
    before = run(
        arrangement._replace(
            day_row=arrangement.day_row[:days], new_year=arrangement.new_year[:days]
        ),
        threads=threads,
    )
    start = np.where(stated[:, None], arrangement.start_l, before.end_l)
    return run(arrangement._replace(start_l=start), keep_lane=keep_lane, threads=threads)


def start_in_words(site: Site) -> str:
    """Which start level the long-run figures assume."""
    if all(tank.start_share is not None for tank in site.tanks):
        return "the stores start as stated in the site file"
    return (
        "every store whose start is not stated starts as the record's first "
        f"{warm_up_years()} years, run from empty, leave it"
    )
