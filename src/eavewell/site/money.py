"""Prices, tariffs and what an owner wants money reckoned with; amounts in one currency."""

from dataclasses import dataclass
from typing import Literal

Unit = Literal["each", "m", "m2", "m3", "kg", "L", "kWh", "hour", "load", "test", "year"]


@dataclass(frozen=True, slots=True)
class Amount:
    """Money as somebody wrote it; currency is its ISO code, or "$" for any dollar."""

    value: float
    currency: str


@dataclass(frozen=True, slots=True)
class Price:
    """One row of a price book.

    size      : of the part in its own measure (L of a tank, mm of a pipe); None for any size.
    low, typical, high : for one `unit`, in `currency` of `year`.
    source    : where it was seen, or "from memory - check". life_years : until it is replaced;
                None for as long as the system.
    """

    part: str
    unit: Unit
    low: float
    typical: float
    high: float
    currency: str
    year: int
    source: str
    size: float | None = None
    life_years: float | None = None


@dataclass(frozen=True, slots=True)
class PriceBook:
    """Prices in the order of the file; the user's own rows come before the shipped ones."""

    currency: str
    prices: tuple[Price, ...]


@dataclass(frozen=True, slots=True)
class Tier:
    """One step of a mains price; up_to_l_month None for the last."""

    up_to_l_month: float | None
    per_m3: float


@dataclass(frozen=True, slots=True)
class Rebate:
    """Money a programme gives back: a fixed amount, or so much a litre of tank, up to a most."""

    name: str
    amount: float | None = None
    per_l: float | None = None
    most: float | None = None


@dataclass(frozen=True, slots=True)
class OtherWater:
    """Another way to water that the owner weighs: a drilled well, a mains extension.

    first_low, first_high : money to have it. yearly_low, yearly_high : money a year to keep it.
    fails_share : chance that it gives nothing, such as a dry hole.
    """

    name: str
    first_low: float
    first_high: float
    yearly_low: float = 0.0
    yearly_high: float = 0.0
    fails_share: float = 0.0


@dataclass(frozen=True, slots=True)
class Money:
    """How money is reckoned.

    prices   : the owner's price book, as seen from the site file; "" takes the shipped one alone.
    years    : of the reckoning. discount : a year, as a share. inflation : None for none.
    kwh      : price of a kWh. load : price of one hauled load. tiers, mains_month : mains water by
               steps and its fixed sum a month; () where there is no mains.
    tests_year : money for water tests a year; None takes the price book.
    have     : parts that are there already and cost nothing.
    """

    currency: str = "USD"
    prices: str = ""
    years: int = 20
    discount: float | None = None
    inflation: float | None = None
    kwh: float | None = None
    load: float | None = None
    tiers: tuple[Tier, ...] = ()
    mains_month: float = 0.0
    tests_year: float | None = None
    rebates: tuple[Rebate, ...] = ()
    others: tuple[OtherWater, ...] = ()
    have: tuple[str, ...] = ()
