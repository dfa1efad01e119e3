"""Mains water by steps of the month."""

from eavewell.site.money import Money

MONTHS = 12


def mains_year(l_year: float, money: Money) -> float | None:
    """What so much mains water costs a year, spread evenly over the months.

    None where the site states no mains price. The fixed sum is paid as long as there is mains.
    """
    if not money.tiers:
        return None
    return MONTHS * (_month(l_year / MONTHS, money) + money.mains_month)


def _month(l_month: float, money: Money) -> float:
    cost, below_l = 0.0, 0.0
    for tier in money.tiers:
        end_l = l_month if tier.up_to_l_month is None else min(l_month, tier.up_to_l_month)
        cost += max(end_l - below_l, 0.0) / 1000.0 * tier.per_m3
        below_l = max(end_l, below_l)
    return cost
