"""The README's example says what the command prints; no proof of the figures."""

import gzip
import os
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from eavewell.cli import app

HOME = Path(__file__).parents[2]
SHARED = Path(os.environ.get("EAVEWELL_SHARED_DATA", HOME.parent / "shared" / "data"))
pytestmark = pytest.mark.skipif(
    not SHARED.is_dir(), reason="the folder of real records is not beside the repository"
)
STATION = "USW00012960.dly"


def site_text(starter, changed):
    """The starter with its place and rain as the README changes them."""
    place, rain = re.fullmatch(r"\[place\]\n(.*?)\n\[rain\]\n(.*)", changed, re.S).groups()
    text = re.sub(r"latitude = .*\nlongitude = .*\nelevation = .*\n", lambda _: place, starter)
    return re.sub(r"climate = .*\n", lambda _: rain, text)


def test_the_excerpt_is_what_the_command_prints(tmp_path, monkeypatch):
    readme = (HOME / "README.md").read_text(encoding="utf-8")
    changed = re.search(r"```toml\n(.*?)```", readme, re.S)[1]
    excerpt = re.search(r"```\n(hill-house\n.*?)```", readme, re.S)[1]
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "80")
    run = CliRunner().invoke
    assert run(app, ["new", "hill-house", "--like", "whole-house"]).exit_code == 0
    site = tmp_path / "hill-house" / "site.toml"
    site.write_text(site_text(site.read_text(encoding="utf-8"), changed), encoding="utf-8")
    records = tmp_path / "hill-house" / "records"
    records.mkdir(exist_ok=True)
    (records / STATION).write_bytes(gzip.decompress((SHARED / f"daily/{STATION}.gz").read_bytes()))
    found = run(app, ["design", "hill-house"])
    assert found.exit_code == 0, found.output
    lines = [line.rstrip() for line in found.output.splitlines()]
    assert [line for line in excerpt.splitlines() if line.rstrip() not in lines] == []
    said = " ".join(found.output.split())
    for sentence in (
        r"supplied share lies from [\d.]+ to [\d.]+ %",
        r"smallest size would be \S+ gal",
    ):
        assert re.search(sentence, " ".join(readme.split()))[0] in said
