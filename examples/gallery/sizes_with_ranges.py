"""A curve of sizes with ranges: what each tank supplies, and how sure that is.

    python examples/gallery/sizes_with_ranges.py [SITE]

The range is the middle nine tenths of 200 traces drawn from the record's own years, in blocks that
keep a drought whole. SITE is a site file; left out, the barrels of the examples.
"""

import sys
from pathlib import Path

import numpy as np

import eavewell
from eavewell.design import design
from eavewell.storage.arrangement import lanes_as_drawn, with_store
from eavewell.storage.ensembles import ensemble, fullest_month
from eavewell.storage.sizing import varied_store
from eavewell.units import show

BARRELS = Path(__file__).parents[1] / "barrels" / "site.toml"
TIMES = (0.5, 1.0, 2.0, 4.0, 8.0)
WIDTH = 60


def main():
    """Print a bar for each size: ===| to the low end, and dashes to the high one."""
    site = eavewell.read_site(sys.argv[1] if len(sys.argv) > 1 else BARRELS)
    found = design(site, eavewell.record_of(site), beside=eavewell.beside_of(site))
    month = fullest_month(found.drawn.every_day.level_l, found.water)
    store = varied_store(site)
    for times in TIMES:
        size_l = np.array([times * site.tanks[store].usable_l])
        lanes = with_store(lanes_as_drawn(site), store, usable_l=size_l)
        share = ensemble(site, found.water, first_month=month, lanes=lanes).supplied_share
        low, high = round(WIDTH * share.low), round(WIDTH * share.high)
        bar = "=" * low + "-" * (high - low)
        size = show(float(size_l[0]), "volume", system=site.place.show)
        print(f"{size:>10} {bar:{WIDTH}} {share.low:.1%} to {share.high:.1%}")
    print("Of the water wanted, in nine of ten traces.")
    worst = found.drawn.reliability.worst
    print(f"Worst spell on record, as drawn: {worst.first} to {worst.last}.")


if __name__ == "__main__":
    main()
