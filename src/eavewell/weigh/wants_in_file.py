"""What a use wants, scaled in the text of its site file."""

from collections.abc import Iterator, Mapping
from typing import Any

from eavewell.tables import rows, table
from eavewell.units import read
from eavewell.weigh.sized import sized

Raw = Mapping[str, Any]
Told = tuple[tuple[str | int, ...], object]

# in each list of a use, the field that its water goes with
_GOES_WITH = {
    "guests": ("each", "daily"),
    "plants": ("area", "area"),
    "washing": ("each", "volume"),
}


def scaled(use: Raw, share: float, *, system: str) -> Iterator[Told]:
    """Every want of a use at a share of itself; addresses count from the use."""
    if "each" in use:
        yield ("each",), sized(read(use["each"], "daily") * share, "daily", system=system)
    for row, one in enumerate(use.get("fixtures", ())):
        yield _fixture(one, row, share=share)
    for name, (field, quantity) in _GOES_WITH.items():
        for row, one in enumerate(use.get(name, ())):
            value = sized(read(one[field], quantity) * share, quantity, system=system)
            yield (name, row, field), value
    for row, one in enumerate(use.get("animals", ())):
        yield ("animals", row, "head"), one["head"] * share
    if "cooler" in use:
        yield from _cooler(use["cooler"], share, system=system)


def _fixture(one: Raw, row: int, *, share: float) -> Told:
    if "minutes" in one:
        minutes = read(one["minutes"], "minutes") * share
        return ("fixtures", row, "minutes"), sized(minutes, "minutes", system="us")
    usual = next((told for told in rows("fixtures") if told["name"] == one["name"]), {})
    times = one["times"] if "times" in one else float(usual["times_per_person_day"])
    return ("fixtures", row, "times"), times * share


def _cooler(one: Raw, share: float, *, system: str) -> Iterator[Told]:
    kind = one.get("kind")
    l_day = table("cooler")[kind].value if kind else read(one["each"], "daily")
    yield ("cooler", "each"), sized(l_day * share, "daily", system=system)
    if kind:
        yield ("cooler", "kind"), None
