"""Choices of a whole house in one batch beside a loop of single runs; its parts and money."""

import statistics
import time
from dataclasses import replace

import numpy as np

from benchmarks.hydraulics import HOUSE
from eavewell.cost.parts import take_off
from eavewell.cost.reckoned import reckon
from eavewell.cost.separable import Pricing, separable
from eavewell.design import design
from eavewell.files.price_book import price_book
from eavewell.files.site.reader import read_site
from eavewell.site.beside import Beside
from eavewell.site.rain_record import RainRecord
from eavewell.site.weighing import Weighing
from eavewell.storage.choices import run_choices
from eavewell.weigh import weigh
from eavewell.weigh.choices import choices_of

YEARS, SINGLE, TIMES = 80, 40, 5
ASKED = Weighing(
    tank="main",
    each_l=tuple(np.linspace(4_000.0, 40_000.0, 25)),
    counts=(1, 2, 3, 4, 6),
    roofs_m2=(300.0, 500.0, 600.0, 700.0),
    fixtures=(0.8,),
    gardens=(0.5,),
    rations=True,
)


def record():
    """80 years of daily rain, invented."""
    rng, days = np.random.default_rng(1), round(YEARS * 365.25)
    rain_mm = np.where(rng.random(days) < 0.2, rng.gamma(0.7, 12.0, days), 0.0)
    return RainRecord("invented", _first_day(), rain_mm.round(1), np.zeros(days, np.uint16))


def _first_day():
    return np.datetime64("1940-01-01").item()


def measured():
    """What was timed -> milliseconds; how many choices; batch and single runs agree."""
    site, rain = replace(read_site(HOUSE), weighing=ASKED), record()
    beside = Beside(prices=price_book(None, currency="USD"))
    drawn = design(site, rain, beside=beside)
    moved, water, listed = drawn.moved.site, drawn.moved.water, choices_of(site, "main")
    l_day = {run.line.name: run.l_day for run in drawn.served if run.l_day}
    pricing = Pricing("main", beside.prices, drawn.reckoned.energy, l_day)
    some = listed[:: len(listed) // SINGLE][:SINGLE]

    def batch():
        return run_choices(moved, water, choices=listed, tank="main")

    def loop():
        return [run_choices(moved, water, choices=[one], tank="main") for one in some]

    def money():
        parts = take_off(site)
        return reckon(
            site,
            parts,
            book=beside.prices,
            water=drawn.reckoned.water,
            energy=drawn.reckoned.energy,
            l_day=l_day,
        )

    _agree(batch(), loop(), listed=listed, some=some)
    return len(listed), {
        "design alone": _ms(lambda: design(site, rain, beside=beside)),
        "weigh, design and all": _ms(lambda: weigh(site, rain, beside=beside)),
        "the batch": _ms(batch),
        "prices as a sum of changes": _ms(lambda: separable(site, listed, pricing=pricing)),
        "a loop of single runs, each": _ms(loop) / len(some),
        "parts and money, one site": _ms(money, times=25),
    }


def _agree(batch, singles, *, listed, some):
    for one, single in zip(some, singles, strict=True):
        together = batch.sums.supplied_l[:, listed.index(one)]
        np.testing.assert_allclose(together, single.sums.supplied_l[:, 0], rtol=1e-9)


def _ms(function, times=TIMES):
    seconds = []
    for _ in range(times):
        start = time.perf_counter()
        function()
        seconds.append(time.perf_counter() - start)
    return 1000.0 * statistics.median(seconds)


def report():
    """Print every line, and the batch beside the loop."""
    choices, ms = measured()
    print(f"whole house, {choices:,} choices, {YEARS} years")
    for what, milliseconds in ms.items():
        print(f"{what:36}{milliseconds:10,.1f} ms")
    beyond = ms["weigh, design and all"] - ms["design alone"]
    ratio = choices * ms["a loop of single runs, each"] / ms["the batch"]
    print(f"{'weighing beyond the design':36}{beyond:10,.1f} ms")
    print(f"{'the batch beside the loop':36}{ratio:10,.1f} times as fast")


if __name__ == "__main__":
    report()
