"""Money and power from their parts of the site file."""

from eavewell.files.money_texts import agrees
from eavewell.files.site.parts import Part
from eavewell.site.money import Amount, Money, OtherWater, Rebate, Tier
from eavewell.site.power import Power


def money_of(part: Part | None) -> Money:
    """How money is reckoned; faults for an amount in another currency than the site's."""
    if part is None:
        return Money()
    currency = part["currency"] or "USD"
    tiers = tuple(
        Tier(one["up_to"], _in(one, "price", currency=currency) or 0.0) for one in part["tiers"]
    )
    _check_tiers(part, tiers)
    return Money(
        currency=currency,
        prices=part["prices"] or "",
        years=part["years"] or 20,
        discount=part["discount"],
        inflation=part["inflation"],
        kwh=_in(part, "kwh", currency=currency),
        load=_in(part, "load", currency=currency),
        tiers=tiers,
        mains_month=_in(part, "mains_month", currency=currency) or 0.0,
        tests_year=_in(part, "tests_year", currency=currency),
        rebates=tuple(_rebate(one, currency) for one in part["rebates"]),
        others=tuple(_other(one, currency) for one in part["others"]),
        have=part["have"] or (),
    )


def _in(part: Part, name: str, *, currency: str) -> float | None:
    amount: Amount | None = part[name]
    if amount is None:
        return None
    if not agrees(amount, currency):
        part.fault(
            f"{name} is in {amount.currency} and the site reckons in {currency}: write every "
            "amount in one currency.",
            name,
        )
    return amount.value


def _check_tiers(part: Part, tiers: tuple[Tier, ...]) -> None:
    """Steps rise, and only the last has no end."""
    ends = [tier.up_to_l_month for tier in tiers]
    known = [end for end in ends[:-1] if end is not None]
    if len(known) < len(ends[:-1]) or known != sorted(set(known)):
        part.fault("the steps must rise, and only the last may leave out up_to.", "tiers")
    elif ends and ends[-1] is not None:
        part.fault("the last step must leave out up_to: what is drawn beyond has a price too.")


def _rebate(part: Part, currency: str) -> Rebate:
    part.one_of("amount", "per_volume")
    per_m3 = _in(part, "per_volume", currency=currency)
    return Rebate(
        part["name"] or "",
        _in(part, "amount", currency=currency),
        None if per_m3 is None else per_m3 / 1000.0,
        most=_in(part, "most", currency=currency),
    )


def _other(part: Part, currency: str) -> OtherWater:
    figures = {
        name: _in(part, name, currency=currency) or 0.0
        for name in ("first_low", "first_high", "yearly_low", "yearly_high")
    }
    for what in ("first", "yearly"):
        if figures[f"{what}_high"] < figures[f"{what}_low"] and f"{what}_high" in part.given:
            part.fault(f"{what}_high is below {what}_low.", f"{what}_high")
    high = max(figures["yearly_high"], figures["yearly_low"])
    return OtherWater(
        part["name"] or "",
        **figures | {"yearly_high": high},
        fails_share=part["fails"] or 0.0,
    )


def power_of(part: Part | None) -> Power:
    """What feeds pumps and lamps; nothing known where the file has none."""
    if part is None:
        return Power()
    return Power(
        battery_kwh=part["battery"],
        surge_w=part["surge"],
        winter_kwh_day=part["winter_day"],
        controls_w=part["controls"],
        heat_trace_w=part["heat_trace"],
        heat_trace_days=part["heat_trace_days"],
    )
