"""Sump size by pump size: the share of a roof's water that is lifted into the tank.

    python examples/gallery/sump_and_pump.py

The barn of the example low-eaves: its gutters are lower than the tank's inlet. The record's days
run through the sump in short steps; what the pump cannot keep up with leaves by the spillway.
"""

from pathlib import Path

import eavewell
from eavewell.design import design
from eavewell.units import show

BARN = Path(__file__).parents[1] / "low-eaves" / "site.toml"


def main():
    """Print the table, the pumps by what they move from the deepest water up."""
    site = eavewell.read_site(BARN)
    found = design(site, eavewell.record_of(site), beside=eavewell.beside_of(site))
    sizes = eavewell.answer(found)["hydraulics"]["lifts"][0]["sizes"]

    sumps_l = sorted({one["sump_l"] for one in sizes})
    print(f"{'pump':36}" + "".join(f"{show(sump, 'volume'):>11}" for sump in sumps_l))
    for pump in dict.fromkeys(one["pump"] for one in sizes):
        share = {one["sump_l"]: one["captured_share"] for one in sizes if one["pump"] == pump}
        print(f"{pump:36}" + "".join(f"{share[sump]:11.1%}" for sump in sumps_l))
    print("Share of the sump's water; rain of an invented climate.")


if __name__ == "__main__":
    main()
