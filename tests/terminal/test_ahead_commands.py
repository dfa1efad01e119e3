"""The look ahead and today from the command line, on an invented site and climate."""

import json
from datetime import date, timedelta

import jsonschema
import pytest
from typer.testing import CliRunner

from eavewell.answers.schema import schema
from eavewell.cli import app
from eavewell.faults import BadLog, BadRecord
from eavewell.files.site.new_site import new_site

RUN = CliRunner()


@pytest.fixture(scope="module")
def barrels(tmp_path_factory):
    return new_site("shed", like="barrels", folder=tmp_path_factory.mktemp("ahead")).parent


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    return new_site("house", like="whole-house", folder=tmp_path_factory.mktemp("ahead")).parent


def done(*words):
    return RUN.invoke(app, [str(word) for word in words], catch_exceptions=False)


def test_the_page_begins_with_until_when(barrels):
    found = done("ahead", barrels, "--level", "20 in", "--use", "1 gal/day")
    assert found.exit_code == 0
    lines = found.stdout.splitlines()
    assert lines[0] == ""
    assert "shed: the look ahead from" in lines[1]
    # How long depends on what of it stops early, and so on the season.
    assert "at this week's use of 1 gal/day with no rain: " in " ".join(found.stdout.split())
    # 20 in of two barrels 22 in across are 65.8 gal, less 9.9 below the outlet.
    assert "it holds 56 gal" in " ".join(found.stdout.split())
    assert "One inch of rain = " in found.stdout
    assert "INVENTED CLIMATE" in found.stdout
    assert "outlook" not in found.stdout.lower()


def test_a_day_that_the_record_does_not_reach_is_refused(house):
    levels = ("--level", "main=41 in", "--level", "header=60 %")
    with pytest.raises(BadRecord, match="longer record"):
        done("ahead", house, *levels, "--reach", "2250-06-01")


def test_the_day_to_reach_and_a_load(house):
    reach = (date.today() + timedelta(days=80)).isoformat()
    words = ("--level", "main=41 in", "--level", "header=60 %", "--reach", reach)
    found = done("ahead", house, *words, "--load", "on tomorrow", "--json", "-")
    answer = json.loads(found.stdout)
    jsonschema.validate(answer, schema("ahead"))
    (one,) = answer["reach"]
    assert one["until"] == reach
    assert one["chance"] <= one["chance_asked"] == 0.1
    assert one["each_l_per_day"] == pytest.approx(one["l_per_day"] / 3.0)
    (load,) = answer["loads"]
    assert load["volume_l"] == pytest.approx(2_000.0 * 3.785411784)
    page = done("ahead", house, *words, "--show", "metric").stdout
    assert "use no more than" in page
    assert "Hauled loads" in page
    assert "Measure free chlorine" in page


def test_it_ends_with_3_where_something_is_to_be_done(barrels):
    assert done("ahead", barrels, "--level", "4 in", "--use", "1 gal/day", "--alert").exit_code == 3
    assert (
        done("ahead", barrels, "--level", "30 in", "--use", "1 gal/day", "--alert").exit_code == 0
    )


def test_without_a_log_and_with_what_is_no_level(barrels):
    with pytest.raises(BadLog, match="no log"):
        done("ahead", barrels)
    with pytest.raises(BadLog, match="no log"):
        done("today", barrels)
    with pytest.raises(BadLog, match="unit 'quux'"):
        done("ahead", barrels, "--level", "20 quux")


def test_levels_of_the_log(barrels, tmp_path):
    site = new_site("shed two", like="barrels", folder=tmp_path).parent
    assert done("log", "level", "20 in", "--site", site).exit_code == 0
    found = done("today", site, "--json", "-")
    answer = json.loads(found.stdout)
    jsonschema.validate(answer, schema("today"))
    assert answer["tanks"][0]["level_m"] == pytest.approx(20 * 0.0254, abs=1e-3)
    assert "barrels holds" in done("today", site).stdout
    page = done("ahead", site).stdout
    assert "at the plan's use of the next 30 days" in page
    assert "20 in" in page


@pytest.mark.parametrize("name", ["ahead", "today"])
def test_schema_prints_the_layout(name):
    found = done("schema", name)
    assert json.loads(found.stdout)["title"] == f"eavewell-{name}/1"
