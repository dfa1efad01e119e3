"""Whatever the run, its rules and its storm, nothing breaks and every named change passes."""

import random

import pytest

from eavewell.findings.eave import eaves_hold
from eavewell.hydraulics.eave_changes import changes
from eavewell.hydraulics.roof_methods import methods
from eavewell.site.gutter import Downspout
from eavewell.site.place import Place

SHAPES, BELOW = ("half-round", "rectangular", "ogee"), ("clear ground", "door", "footing")
RUNS = 60


def any_run(made_up_eaves, rng):
    """Any size a person may write, odd ones too."""
    spout = Downspout(
        bore_mm=rng.choice([None, rng.uniform(20, 300)]),
        width_mm=rng.uniform(20, 300),
        depth_mm=rng.uniform(20, 300),
        outlet_mm=rng.choice([None, rng.uniform(20, 200)]),
        into_mm=rng.choice([None, rng.uniform(20, 500)]),
    )
    return made_up_eaves.gutter(
        shape=rng.choice(SHAPES),
        width_mm=rng.uniform(20, 500),
        depth_mm=rng.choice([None, rng.uniform(10, 700)]),
        length_m=rng.uniform(0.1, 100),
        fall=rng.choice([None, 0.0, rng.uniform(0, 0.2)]),
        wall_m2=rng.choice([0.0, rng.uniform(0, 100)]),
        walls=rng.randrange(5),
        corners=rng.randrange(4),
        downspout=rng.choice([None, spout, spout]),
        spouts=rng.randrange(1, 5),
        spills_on=rng.choice(BELOW),
    )


@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("method", methods(), ids=lambda method: method.name)
def test_any_run(method, system, made_up_eaves):
    rng = random.Random(f"{method.name} {system}")
    place = {"place": Place(30.0, -98.0, show=system)}
    fired = 0
    for _ in range(RUNS):
        roof = {"pitch": rng.choice([None, rng.uniform(0, 3)]), "area_m2": rng.uniform(1, 400)}

        def spilling(gutter, roof=roof):
            whole = made_up_eaves.site(gutter, site_fields=place, **roof)
            eaves = made_up_eaves.drained(whole, method)
            findings = [f for f in eaves_hold(whole, eaves, snow=True) if spills(f)]
            return eaves.runs[0], findings

        gutter = any_run(made_up_eaves, rng)
        run, findings = spilling(gutter)
        assert run.spill_mm_h is None or run.spill_mm_h > 0
        assert len(findings) <= 1
        for finding in findings:
            fired += 1
            assert finding.fix
            asked_l_s = max(run.flow_l_s, run.area_m2 * (run.harm_mm_h or 0.0) / 3600)
            for way in changes(gutter, flow_l_s=asked_l_s, method=method, system=system):
                assert spilling(way)[1] == []
    assert fired


def spills(finding):
    return finding.code.endswith("-below-storm") or finding.code == "spills-where-it-harms"
