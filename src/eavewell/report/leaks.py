"""The leak tests as a page: what was found first, then what each test can show."""

from collections.abc import Iterator
from itertools import groupby
from typing import Any

from eavewell.answers.shown import Sizes, day, days_in_words, listed
from eavewell.report.blocks import GAP, Block, heading, marked, one_line, paragraph, ruled
from eavewell.site.place import Show
from eavewell.units import show

Plain = dict[str, Any]
HEAD = ("dry days", "more than\naccounted", "range", "limit", "limit at\ntwice noise")


def leaks_page(answer: Plain, *, system: Show) -> list[Block]:
    """The whole page; system is "us" or "metric"."""
    title = one_line(f"{answer['site']}: leaks, {day(answer['day'])}", style="bold")
    return [GAP, title, *leaks_sections(answer, system=system)]


def leaks_sections(answer: Plain, *, system: Show) -> list[Block]:
    """The same without its title."""
    sizes = Sizes(system)
    return [
        heading("Found"),
        *findings_of(answer["findings"]),
        *(paragraph(one) for one in answer["refused"]),
        *_tests(answer["tests"], sizes),
        *_shut(answer["shut_test"], sizes),
    ]


def findings_of(found: list[Plain]) -> Iterator[Block]:
    """Each finding with its way out."""
    for one in found:
        way = f" Way out: {one['fix']}." if one["fix"] else ""
        where = one["where"][:1].upper() + one["where"][1:]
        yield marked(one["level"], f"{where}: {days_in_words(one['says'])}{way}", margin=5)


def _tests(tests: list[Plain], sizes: Sizes) -> Iterator[Block]:
    """One table for each group of tanks."""
    for tanks, here in groupby(tests, lambda one: one["tanks"]):
        rows = [
            (
                _over(one),
                sizes.daily(one["fall_l_per_day"]),
                f"{sizes.daily(one['low_l_per_day'])} to {sizes.daily(one['high_l_per_day'])}",
                sizes.daily(one["limit_l_per_day"]),
                sizes.daily(one["limit_at_twice_the_noise_l_per_day"]),
            )
            for one in here
        ]
        names = listed(f"'{name}'" for name in tanks)
        yield heading(f"The tests of {'tank' if len(tanks) == 1 else 'tanks'} {names}")
        yield ruled(HEAD, rows)
    if tests:
        last = max(one["until"] for one in tests)
        yield paragraph(
            f"Up to {day(last)}. The limit is the least leak that such days show 95 times of 100."
        )


def _over(one: Plain) -> str:
    """Over how many days; a season has wet ones as well."""
    return f"{one['days']}, wet and dry" if one["stretch"] == "season" else str(one["days"])


def _shut(plans: list[Plain], sizes: Sizes) -> Iterator[Block]:
    if not plans:
        return
    yield heading("Valves shut overnight")
    rows = [
        (
            one["tank"],
            f"{one['hours']:g} h",
            str(one["times"]),
            show(one["limit_m"] * 1000.0, "bore", system=sizes.system),
            sizes.daily(one["limit_l_per_day"]),
        )
        for one in plans
    ]
    yield ruled(("tank", "shut for", "readings\neach time", "least fall", "a leak of"), rows)
