"""Any pipes at all, with anything unknown: sentences, never a fault; every site is invented."""

import json
import random
from io import StringIO

import pytest
from rich.console import Console

from eavewell.answers.conveyance import conveyance_answer, first_flush_answer
from eavewell.answers.shown import Sizes
from eavewell.findings.conveyance import pipes_carry
from eavewell.hydraulics.first_flush_pipe import flush_pipes
from eavewell.report.conveyance import conveyance_section
from eavewell.site.first_flush import FirstFlush
from eavewell.site.ground import Ground
from eavewell.site.pipe import Pipe, PipeRun
from eavewell.terminal.page import laid_out

NAMES = ("one", "two", "three")


def some(rng, *values):
    return rng.choice((None, *values))


def a_run(rng, name):
    return PipeRun(
        name,
        carries=tuple(rng.sample(("north", "south"), rng.randrange(3))),
        to=rng.choice(("tank", "nowhere", *NAMES)),
        pipe=Pipe(rng.choice((20.0, 100.0, 400.0)), rng.choice((0.0, 0.01, 30.0, 900.0))),
        held_full=rng.random() < 0.5,
        fall=some(rng, 0.0, 1e-9, 0.01, 1.0, -0.1),
        from_m=some(rng, -2.0, 2.0, 5.0),
        to_m=some(rng, -3.0, 1.0, 4.0),
        low_m=some(rng, -3.0, 0.0),
        opening_m=some(rng, -1.0, 3.0),
        drain_mm=some(rng, 0.0, 25.0),
        cover_m=some(rng, 0.0, 0.3, 2.0),
        vented=some(rng, True, False),
    )


def a_roof(rng, p, name):
    flush = some(
        rng,
        FirstFlush(
            depth_mm=rng.choice((0.0, 0.5, 5.0)),
            bore_mm=some(rng, 100.0),
            drain_l_h=some(rng, 0.0, 0.1, 5.0),
        ),
    )
    screens = rng.choice(((), (p.SCREEN,)))
    area_m2 = rng.choice((0.0, 50.0, 3000.0))
    return p.roof(name, area_m2, some(rng, -1.0, 2.5, 4.0), first_flush=flush, screens=screens)


def a_site(rng, p):
    return p.site(
        *(a_run(rng, name) for name in NAMES),
        roofs=tuple(a_roof(rng, p, name) for name in ("north", "south")),
        tanks=(p.tank(base_m=some(rng, -4.0, 0.0), shape=rng.choice((p.tank().shape, None))),),
        ground=Ground(
            frost_m=some(rng, 0.0, 0.6), coldest_c=some(rng, -8.0, 3.0), level_m=some(rng, 0.0)
        ),
    )


@pytest.mark.parametrize("seed", range(60))
def test_any_site(seed, made_up_pipes):
    rng = random.Random(seed)
    site, mm_h = a_site(rng, made_up_pipes), some(rng, 1.0, 100.0, 400.0)
    flushes = flush_pipes(site, gap_days=some(rng, 0.5, 4.0))
    result = made_up_pipes.conveyed(site, mm_h, flushes=flushes)
    for finding in pipes_carry(site, result):
        assert finding.says.endswith((".", "!"))
        assert (finding.level == "note") == finding.says.startswith("Not checked")
        assert finding.level == "note" or finding.fix
    plain = {"conveyance": conveyance_answer(result), "first_flush": first_flush_answer(result)}
    json.dumps(plain, allow_nan=False)
    console = Console(file=StringIO(), width=80, color_system=None)
    for part in conveyance_section({"hydraulics": plain}, Sizes("us")):
        console.print(laid_out([part]))
