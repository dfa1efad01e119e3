"""Rules of thumb: tank sizes from yearly totals, to set beside the daily balance.

None of them has seen a drought. Coefficients are arguments; the published values are rows of
tables/rules_of_thumb.csv.
"""

from dataclasses import dataclass

from eavewell.faults import OutOfRange
from eavewell.tables import table


def tank_l_five_percent_bs8515(yield_l_year: float, demand_l_year: float, *, share: float) -> float:
    """Rule of thumb: a share of the lesser of a year's yield and a year's demand.

    share : 0.05 in the source. Source bs8515_2009, intermediate approach.
    """
    return share * min(yield_l_year, demand_l_year)


def tank_l_six_percent_din1989(yield_l_year: float, demand_l_year: float, *, share: float) -> float:
    """Rule of thumb: a share of the lesser of a year's yield and a year's demand.

    share : 0.06 in the source. Source din1989_1_2001, short method.
    """
    return share * min(yield_l_year, demand_l_year)


def tank_l_one_third_nm_ose(harvest_l_year: float, *, share: float) -> float:
    """Rule of thumb: a share of a normal year's harvest.

    share : one third, recalled. Source nm_ose_2009, chapter 3.
    """
    return share * harvest_l_year


def tank_l_gould_botswana(runoff_l_year: float, *, share: float) -> float:
    """Rule of thumb: a share of the mean yearly runoff, for the long dry season of Botswana.

    share : 0.40 in the source. Source gould_1987.
    """
    return share * runoff_l_year


def named_rules(yield_l_year: float, demand_l_year: float) -> dict[str, float]:
    """What each rule with published shares would give, by name, to set beside the balance."""
    share = {name: row.value for name, row in table("rules_of_thumb").items()}
    five, six, third = "five percent, bs 8515", "six percent, din 1989", "one third"
    return {
        five: tank_l_five_percent_bs8515(yield_l_year, demand_l_year, share=share[five]),
        six: tank_l_six_percent_din1989(yield_l_year, demand_l_year, share=share[six]),
        third: tank_l_one_third_nm_ose(yield_l_year, share=share[third]),
    }


@dataclass(frozen=True, slots=True)
class OntarioShares:
    """Coefficients of the Ontario rule.

    annual, storm : runoff coefficients of a year and of the design storm.
    filter_kept   : share that the filter passes.
    of_year       : share of a year's yield and demand that is compared.
    low, high     : ratios of yield to demand at which the rule changes.
    """

    annual: float
    storm: float
    filter_kept: float
    of_year: float
    low: float
    high: float


def ontario_shares() -> OntarioShares:
    """The coefficients as published, from tables/rules_of_thumb.csv."""
    names = (
        "annual coefficient",
        "storm coefficient",
        "filter",
        "share",
        "low ratio",
        "high ratio",
    )
    return OntarioShares(*(table("rules_of_thumb")[f"ontario {name}"].value for name in names))


def tank_l_ontario_step(
    roof_m2: float,
    rain_mm_year: float,
    *,
    storm_mm: float,
    demand_l_year: float,
    shares: OntarioShares,
) -> float:
    """Rule of thumb: the design storm, and 5 % of a year's yield where use keeps less pace.

    storm_mm : depth of the storm to be held.
    Below the low ratio of yield to demand the tank holds the storm; up to the high ratio the
    5 % yield is added; above it the pages read give nothing, and OutOfRange says so.
    Source step_rainwater, sizing and modeling.
    """
    yield_l = roof_m2 * rain_mm_year * shares.annual * shares.filter_kept * shares.of_year
    storm_l = roof_m2 * storm_mm * shares.storm * shares.filter_kept
    ratio = yield_l / (demand_l_year * shares.of_year) if demand_l_year > 0.0 else float("inf")
    if ratio < shares.low:
        return storm_l
    if ratio < shares.high:
        return storm_l + yield_l
    raise OutOfRange(
        f"The Ontario rule is read up to a yield of {shares.high} of the demand; here it is "
        f"{ratio:.2f}. Size on the daily balance instead."
    )
