"""The part of the report on the stores and the water account."""

from itertools import zip_longest
from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.report.blocks import GAP, Block, heading, paragraph, ruled
from eavewell.report.cautions import cautioned

Plain = dict[str, Any]
RULES = {
    "yas": "Yield after spillage: each day is filled and spilled before it is drawn from",
    "ybs": "Yield before spillage: each day is drawn from before it spills",
}
# Below this, water is not worth a line in the account.
A_DROP_L = 0.5
ROUNDING_L = 0.001  # what is less is left by the arithmetic, not by water


def stores_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """Sizes to the rim, usable and dead; the rule and the start; the account of a mean year."""
    storage = answer["storage"]
    rows = [
        (
            f"{store['count']} x {store['name']}" if store["count"] > 1 else store["name"],
            sizes.volume(store["capacity_l"]),
            sizes.volume(store["usable_l"]),
            sizes.volume(store["dead_l"]),
            sizes.volume(store["lowest_l"]),
        )
        for store in storage["stores"]
    ]
    return [
        heading("Stores"),
        ruled(("store", "to the rim", "usable", "dead", "lowest on record"), rows),
        GAP,
        paragraph(f"{RULES[storage['rule']]}; {storage['start']}."),
        cautioned(answer, "stores"),
        GAP,
        _account(storage, sizes),
        GAP,
        paragraph(_closing(storage, sizes)),
    ]


def _account(storage: Plain, sizes: Sizes) -> Block:
    came = _lines(
        storage,
        {
            "from the roofs": "inflow_l_per_year",
            "hauled": "hauled_l_per_year",
            "from the mains": "make_up_l_per_year",
        },
    )
    went = _lines(
        storage,
        {
            "drawn by the uses": "supplied_l_per_year",
            "straight to uses": "make_up_to_uses_l_per_year",
            "spilled": "spilled_l_per_year",
            "evaporated": "lost_l_per_year",
        },
    )
    rows = [
        (into, sizes.volume(litres) if into else "", out, sizes.volume(left) if out else "")
        for (into, litres), (out, left) in zip_longest(came, went, fillvalue=("", 0.0))
    ]
    return ruled(("came in a mean year", "", "went", ""), rows, names=(0, 2))


def _lines(storage: Plain, keys: dict[str, str]) -> list[tuple[str, float]]:
    lines = [(words, storage[key]) for words, key in keys.items()]
    return [lines[0], *(line for line in lines[1:] if line[1] > A_DROP_L)]


def _closing(storage: Plain, sizes: Sizes) -> str:
    error_l = abs(storage["balance_error_l"])
    closes = f"{error_l:.3f} L" if error_l >= ROUNDING_L else f"less than {ROUNDING_L:g} L"
    return (
        f"Spilled: {sizes.share(storage['spilled_share'])} of what came. Held at the start "
        f"{sizes.volume(storage['start_l'])}, at the end {sizes.volume(storage['end_l'])}; over "
        f"the whole record the account closes to {closes}."
    )
