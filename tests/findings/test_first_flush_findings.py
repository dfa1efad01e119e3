"""Each check on a first flush fires, stays silent, and its fix passes; all sites invented."""

import re
from dataclasses import replace

import numpy as np
import pytest

from eavewell.findings.first_flush import flush_works
from eavewell.hydraulics.first_flush_pipe import flush_loss, flush_pipes
from eavewell.hydraulics.standard_sizes import standard_bores
from eavewell.site.first_flush import FirstFlush
from eavewell.site.ground import Ground
from eavewell.units import read

WELL = FirstFlush(depth_mm=0.5, bore_mm=154.05, drain_l_h=20.0)


@pytest.fixture(scope="module")
def works(making):
    """Findings by code on a roof of 100 m2 whose gutter stands 3 m above the ground."""

    def checked(flush, gap_days=4.0, rain_mm=None):
        roof = replace(making.roof(area_m2=100.0), first_flush=flush, eave_m=3.0)
        site = making.site(roofs=(roof,), ground=Ground(level_m=0.0))
        losses = {} if rain_mm is None else {roof.name: flush_loss(roof, rain_mm)}
        (pipe,) = flush_pipes(site, gap_days=gap_days, losses=losses)
        return {finding.code: finding for finding in flush_works(site, pipe)}

    return checked


def bleed(finding):
    return read(re.search(r"a drain of ([\d,.]+ gal/h)", finding.fix)[1], "bleed")


def test_silent(works, making):
    assert works(WELL, rain_mm=making.every_tenth_day()) == {}


def test_longer_than_the_wall(works):
    tall = replace(WELL, bore_mm=102.26)
    finding = works(tall)["flush-too-tall"]
    assert finding.limit == 3.0
    # 50 L in 8.21 L a metre
    assert finding.measured == pytest.approx(6.09, abs=0.01)
    size = re.match(r"(.+ in) standpipe", finding.fix)[1]
    assert size == "6 in"
    assert works(replace(tall, bore_mm=dict(standard_bores())[size])) == {}
    assert "box" in works(replace(tall, depth_mm=50.0))["flush-too-tall"].fix


def test_no_drain(works):
    shut = replace(WELL, drain_l_h=0.0)
    finding = works(shut)["flush-never-empties"]
    # 50 L in 96 h
    assert bleed(finding) == pytest.approx(50.0 / 96.0, rel=0.02)
    mended = works(replace(shut, drain_l_h=bleed(finding), reset_dry_days=4))
    assert set(mended) == {"flush-drain-clogs"}
    assert works(shut, gap_days=None)["flush-never-empties"].fix


def test_drain_unknown(works):
    findings = works(replace(WELL, drain_l_h=None))
    assert set(findings) == {"flush-drain-unknown"}
    assert findings["flush-drain-unknown"].level == "note"
    assert works(replace(WELL, drain_l_h=None, bleed_l_h=20.0)) == {}


def test_height_unknown(making):
    roof = replace(making.roof(area_m2=100.0), first_flush=WELL)
    site = making.site(roofs=(roof,))
    (pipe,) = flush_pipes(site, gap_days=4.0)
    (finding,) = flush_works(site, pipe)
    assert (finding.code, finding.level) == ("flush-height-unknown", "note")
    assert finding.says.startswith("Not checked: ")
    (bare,) = flush_pipes(
        making.site(roofs=(replace(roof, first_flush=replace(WELL, bore_mm=None)),))
    )
    assert "flush-height-unknown" not in {one.code for one in flush_works(site, bare)}


def test_emptied_too_slowly(works):
    slow = FirstFlush(depth_mm=0.5, drain_l_h=0.4, reset_dry_days=6)
    finding = works(slow)["flush-empties-slowly"]
    assert finding.measured == pytest.approx(125.0 / 24.0)
    assert works(replace(slow, drain_l_h=bleed(finding))) == {}
    assert works(slow, gap_days=None) == {}


def test_reset_against_its_drain(works):
    hasty = FirstFlush(depth_mm=0.5, drain_l_h=0.6, reset_dry_days=1)
    finding = works(hasty)["flush-reset-differs"]
    days = int(re.search(r"(\d+) days", finding.fix)[1])
    assert days == 4
    assert works(replace(hasty, reset_dry_days=days)) == {}


def test_a_hole_that_stops_up(works):
    fine = replace(WELL, drain_l_h=2.0)
    finding = works(fine)["flush-drain-clogs"]
    assert finding.measured < finding.limit == 1.5
    assert works(replace(fine, drain_l_h=bleed(finding))) == {}


def test_takes_too_much(works, making):
    rain = making.every_tenth_day()
    greedy = replace(WELL, depth_mm=3.0, bore_mm=None)
    finding = works(greedy, rain_mm=rain)["flush-takes-much"]
    assert finding.measured == pytest.approx(0.3)
    less = read(re.match(r"([\d.]+ in)", finding.fix)[1], "depth")
    # never above 1.5 mm, in whole hundredths of an inch
    assert 1.5 - 0.254 < less <= 1.5
    assert works(replace(greedy, depth_mm=less), rain_mm=rain) == {}
    assert works(greedy, rain_mm=np.zeros(100)) == {}
