"""eavewell reconcile and eavewell leaks on a log of the last months; what it holds is invented."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from typer.testing import CliRunner

from eavewell.answers.schema import schema
from eavewell.faults import BadLog
from eavewell.files.site.reader import read_site
from eavewell.logbook.kept import ManyReadings
from eavewell.logbook.store import open_log
from eavewell.terminal.ahead_commands import looking
from eavewell.weather.days import Days

EXAMPLE = Path(__file__).parents[2] / "examples" / "whole-house" / "site.toml"
LOG = """
[log]
zone = "America/Chicago"
readings_at = "7:00"

[[log.gauge]]
name = "house meter"
measures = "meter"
of = "house water"
uses = ["household"]
unit = "gal"

[[log.gauge]]
name = "garden meter"
measures = "meter"
of = "garden line"
uses = ["garden"]
unit = "gal"
"""


def run(*args):
    found = CliRunner().invoke(looking, [str(one) for one in args])
    if found.exception is not None and not isinstance(found.exception, SystemExit):
        raise found.exception
    return found.output


@pytest.fixture(scope="module")
def folder(simulated, keeping, tmp_path_factory):
    """The whole house with 200 days of a log, read by hand; a leak in the last 30, all dry."""
    place = tmp_path_factory.mktemp("site")
    (place / "site.toml").write_text(EXAMPLE.read_text(encoding="utf-8") + LOG, encoding="utf-8")
    site = read_site(place / "site.toml")
    first = (datetime.now(UTC) - timedelta(days=201)).date()
    days = simulated.weather(200 / 365, seed=2)
    rain = days.rain_mm.copy()
    rain[-30:] = 0.0
    days = Days(
        np.datetime64(first) + np.arange(days.count), rain, days.et0_mm, days.tmax_c, days.tmin_c
    )
    truth = simulated.Truth(sheds=0.8, leak_l_day=90.0, leak_from=days.count - 30)
    asked = simulated.with_hand_gauges(site)
    made = simulated.simulate(asked, days, truth=truth, noise=simulated.Noise(stick_m=0.005))
    kept = simulated.read_by_hand(made, keeping)
    with open_log(site) as log:
        log.add(
            ManyReadings(name, at, value, zone=site.log.zone)
            for name, (at, value) in kept.arrays.items()
        )
        log.add(kept.listed)
    return place


def test_the_log_against_the_file(folder):
    plain = json.loads(run("reconcile", folder, "--json", "-"))
    jsonschema.validate(plain, schema("reconciled"))
    assert plain["groups"][0]["catch"][0]["value"] == pytest.approx(0.8, rel=0.1)
    text = run("reconcile", folder)
    assert "For the site file" in text
    assert "sheds" in text


def test_the_leaks(folder, tmp_path):
    out = tmp_path / "leaks.json"
    text = run("leaks", folder, "--json", out, "--show", "metric")
    plain = json.loads(out.read_text(encoding="utf-8"))
    jsonschema.validate(plain, schema("leaks"))
    assert "leak" in {one["code"] for one in plain["findings"]}
    assert "Overnight test" in text
    assert "L/day" in text


def test_without_a_log_a_sentence(tmp_path):
    (tmp_path / "site.toml").write_text(EXAMPLE.read_text(encoding="utf-8"), encoding="utf-8")
    for command in ("reconcile", "leaks"):
        with pytest.raises(BadLog):
            run(command, tmp_path)
