"""The purchase that gains most for its price, from where the owner stands."""

from dataclasses import dataclass

from eavewell.weigh.weights import Weight


@dataclass(frozen=True, slots=True)
class Step:
    """One purchase from where the owner stands: a single thing changed.

    price : money to have it. days_year, loads_year : short days and loads fewer in a mean year.
    """

    weight: Weight
    what: str
    price: float
    days_year: float
    loads_year: float


def best_step(weights: list[Weight]) -> Step | None:
    """The single purchase that gains most for its price, from the first of the weights.

    Gains are short days a mean year fewer; where no purchase gains a day, loads a mean year fewer.
    Its price is what the changed site costs to have beyond the present one: a larger tank stands in
    place of the present one, more equal tanks stand beside it. A change that costs nothing, such as
    a smaller garden, is no purchase.
    """
    present = weights[0]
    steps = [step for one in weights[1:] if (step := _step(present, one)) is not None]
    for gains in ([one.days_year for one in steps], [one.loads_year for one in steps]):
        gaining = [
            (gain / step.price, -step.price, at)
            for at, (gain, step) in enumerate(zip(gains, steps, strict=True))
            if gain > 1e-9
        ]
        if gaining:
            return steps[max(gaining)[2]]
    return None


def _step(present: Weight, one: Weight) -> Step | None:
    changed = [
        what
        for what, names in _THINGS.items()
        if any(getattr(one.choice, name) != getattr(present.choice, name) for name in names)
    ]
    price = one.first.typical - present.first.typical
    if len(changed) != 1 or price <= 0.0:
        return None
    return Step(
        one,
        changed[0],
        price,
        present.cut_days_year - one.cut_days_year,
        present.loads_year - one.loads_year,
    )


_THINGS = {
    "tank": ("count", "each_l"),
    "roof": ("roof_m2",),
    "fixtures": ("fixtures",),
    "garden": ("garden",),
    "rations": ("rations",),
}
