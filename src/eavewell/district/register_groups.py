"""Built systems together, by town and by age: only where enough are added up."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from eavewell.district.grouped import NO_NAME, REST, few, grouped
from eavewell.district.shared_site import SharedSite
from eavewell.district.used_water import Peaks, UsedWater, peaks_of
from eavewell.tables import rows

NO_AGE, WHOLE = "age not told", "all"
_YEAR_DAYS = 365.25
BY_TOWN, BY_AGE = ("standing", "cared", "tests"), ("standing", "metered", "verified", "modelled")
Sites = Sequence[SharedSite]
# figure -> group -> its sites
Told = Mapping[str, Mapping[str, list[SharedSite]]]


@dataclass(frozen=True, slots=True)
class Standing:
    """How many work; unknown : of which nothing was heard, or that could not be read."""

    sites: int
    working: int
    stopped: int
    unknown: int

    @property
    def share_low(self) -> float:
        """Share that works, where none of the unknown does."""
        return self.working / self.sites

    @property
    def share_high(self) -> float:
        """Share that works, where all of the unknown do."""
        return (self.working + self.unknown) / self.sites


@dataclass(frozen=True, slots=True)
class Metered:
    """What meters counted in the year before, of the sites that share it."""

    sites: int
    metered_l: float
    expected_l: float
    rain_l: float
    peaks: Peaks

    @property
    def share(self) -> float | None:
        """Metered over expected; None where nothing was expected."""
        return self.metered_l / self.expected_l if self.expected_l else None


@dataclass(frozen=True, slots=True)
class Cost:
    """Yearly cost of all of them, over the rain that those of them use that work.

    per_m3 : None where none works. working : how many do.
    """

    sites: int
    working: int
    currency: str
    per_m3: float | None


@dataclass(frozen=True, slots=True)
class Cared:
    """Sites with something over its day, tasks over their day, and tasks done again too soon."""

    sites: int
    behind: int
    overdue: int
    again: int


@dataclass(frozen=True, slots=True)
class Tests:
    """Sites whose water is held back by a failed test, and those with tests out of date."""

    sites: int
    failed: int
    expired: int


@dataclass(frozen=True, slots=True)
class Together:
    """Some sites together; None for what too few of them share.

    verified, modelled : cost by meters, and by the designs.
    """

    name: str
    standing: Standing | None
    metered: Metered | None
    verified: Cost | None
    modelled: Cost | None
    cared: Cared | None
    tests: Tests | None


@dataclass(frozen=True, slots=True)
class InGroups:
    """All sites, those of each town, and those of each age."""

    whole: Together
    towns: tuple[Together, ...]
    ages: tuple[Together, ...]


def in_groups(sites: Sites, *, day: date) -> InGroups:
    """The sites of a register in groups.

    Each figure has groups of its own, of those who share it: none of fewer sites than
    tables/district.csv allows is told, nor can one be found from the others. So that no town is
    set against an age, each figure but the standing, which is told of every site, is told by one
    of them: water and money by age, care and tests by town.
    """
    towns = {one.name: one.share.town for one in sites}
    ages = {one.name: age_of(one, day=day) for one in sites}
    found = {name: list(some) for name, some in _contributors(sites).items()}
    by_town = {name: _told(some, towns) for name, some in found.items() if name in BY_TOWN}
    by_age = {name: _told(some, ages) for name, some in found.items() if name in BY_AGE}
    whole = {name: {WHOLE: [] if few(len(some)) else some} for name, some in found.items()}
    order = [row["name"] for row in rows("ages")]
    return InGroups(
        _together(WHOLE, whole),
        tuple(_together(one, by_town) for one in sorted(_names(by_town), key=_rest_last)),
        tuple(_together(one, by_age) for one in sorted(_names(by_age), key=_in(order))),
    )


def _names(told: Told) -> Iterable[str]:
    """Groups of which anything is told, or that stand with the rest."""
    return dict.fromkeys(name for groups in told.values() for name in groups)


def _rest_last(name: str) -> tuple[bool, bool, str]:
    return name == REST, name == NO_NAME, name


def _in(order: Sequence[str]) -> Callable[[str], tuple[bool, int]]:
    return lambda name: (name == REST, order.index(name) if name in order else len(order))


def age_of(site: SharedSite, *, day: date) -> str:
    """The row of tables/ages.csv of a site's age."""
    if site.first_use is None or site.first_use > day:
        return NO_AGE
    years = (day - site.first_use).days / _YEAR_DAYS
    return [row["name"] for row in rows("ages") if float(row["from_years"]) <= years][-1]


def _contributors(sites: Sites) -> Mapping[str, Iterable[SharedSite]]:
    """Who adds to each figure; money is added up in the currency of most sites."""
    said = Counter(one.money.currency for one in sites if one.money)
    currency = said.most_common(1)[0][0] if said else ""
    priced = [one for one in sites if one.money and one.money.currency == currency]
    return {
        "standing": sites,
        "metered": (one for one in sites if one.used),
        "verified": (one for one in priced if one.used and one.used.every_use),
        "modelled": priced,
        "cared": (one for one in sites if one.service),
        "tests": (one for one in sites if one.tests),
    }


def _told(sites: list[SharedSite], names: Mapping[str, str]) -> dict[str, list[SharedSite]]:
    """The sites of each group; none where it may not be told. names : site -> group.

    A group that is too small is not there, as its name alone would tell that somebody is.
    """
    counts = Counter((names[one.name], "") for one in sites)
    return {
        group.name: [one for one in sites if (names[one.name], "") in group.cells]
        if group.told
        else []
        for group in grouped(counts).districts
        if not group.few
    }


def _together(name: str, told: Told) -> Together:
    def mine(figure: str) -> list[SharedSite]:
        return told.get(figure, {}).get(name, [])

    return Together(
        name,
        standing=_standing(found) if (found := mine("standing")) else None,
        metered=_metered(found) if (found := mine("metered")) else None,
        verified=_verified(found) if (found := mine("verified")) else None,
        modelled=_modelled(found) if (found := mine("modelled")) else None,
        cared=_cared(found) if (found := mine("cared")) else None,
        tests=_tests(found) if (found := mine("tests")) else None,
    )


def _standing(sites: Sites) -> Standing:
    count = Counter(one.status for one in sites)
    working, stopped = count["working"], count["stopped"]
    return Standing(len(sites), working, stopped, len(sites) - working - stopped)


def _metered(sites: Sites) -> Metered:
    used = [one.used for one in sites if one.used]
    return Metered(
        len(used),
        metered_l=sum(one.metered_l for one in used),
        expected_l=sum(one.expected_l for one in used),
        rain_l=sum(one.rain_l for one in used),
        peaks=peaks_of(used),
    )


def _verified(sites: Sites) -> Cost:
    return _cost(sites, lambda one: _by_meter_l(one.used))


def _by_meter_l(used: UsedWater | None) -> float:
    return used.rain_l_year if used else 0.0


def _modelled(sites: Sites) -> Cost:
    return _cost(sites, lambda one: one.money.modelled_l_year if one.money else 0.0)


def _cost(sites: Sites, litres: Callable[[SharedSite], float]) -> Cost:
    """All were paid for; only those that work give water."""
    working = [one for one in sites if one.status == "working"]
    yearly = sum(one.money.yearly for one in sites if one.money)
    year_l = sum(litres(one) for one in working)
    currency = next((one.money.currency for one in sites if one.money), "")
    per_m3 = 1000.0 * yearly / year_l if year_l > 0.0 else None
    return Cost(len(sites), len(working), currency, per_m3)


def _cared(sites: Sites) -> Cared:
    found = [one.service for one in sites if one.service]
    over = [len(one.overdue) for one in found]
    return Cared(
        len(found), sum(bool(one) for one in over), sum(over), sum(one.again for one in found)
    )


def _tests(sites: Sites) -> Tests:
    found = [one.tests for one in sites if one.tests]
    return Tests(
        len(found), sum(bool(one.failed) for one in found), sum(bool(one.expired) for one in found)
    )
