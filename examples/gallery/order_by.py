"""By which day a household must order water, at every level of its tank.

    python examples/gallery/order_by.py

The house of the example whole-house on the first of May. Today's level goes on through every
year of the record, with rations and loads as its file states.
"""

from datetime import date
from pathlib import Path

import eavewell
from eavewell.logbook.ahead.answer import ahead_answer
from eavewell.logbook.ahead.basis import Asked, basis_on_record
from eavewell.logbook.ahead.look import look_ahead
from eavewell.logbook.ahead.standing import typed_standing

HOUSE = Path(__file__).parents[1] / "whole-house" / "site.toml"
TODAY = date(2027, 5, 1)
LEVELS = ("80 %", "60 %", "45 %", "35 %", "25 %", "15 %")


def main():
    """Print the day for each level: in the driest tenth of the years, and in the middle of them."""
    site, asked = eavewell.read_site(HOUSE), Asked()
    record = eavewell.record_of(site)
    basis = basis_on_record(site, record, beside=eavewell.beside_of(site), today=TODAY)
    print(f"{'in the tanks':14}{'without loads dry by':24}{'order by':18}in the middle years")
    for level in LEVELS:
        levels = {tank.name: level for tank in site.tanks}
        standing = typed_standing(site, levels, day=TODAY)
        found = ahead_answer(look_ahead(basis, standing, asked=asked), site, record=record)
        no_loads = next(way for way in found["ways"] if way["name"] == "no loads")
        order = found["orders"][0]["normal"]["order_by"]
        days = (no_loads["dry"]["driest_tenth"], order["driest_tenth"], order["middle"])
        first, by, middle = (str(day or "not in a year") for day in days)
        print(f"{level:14}{first:24}{by:18}{middle}")


if __name__ == "__main__":
    main()
