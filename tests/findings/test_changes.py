"""A fix that is told as fields of the site file mends what it was told for."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from eavewell.design import Design, design
from eavewell.files.record import beside_of
from eavewell.files.site.edit import changed_text
from eavewell.files.site.reader import site_of_text
from eavewell.findings import find
from eavewell.site.finding import Finding
from eavewell.weather.climates import climate_record

EXAMPLES = Path(__file__).parents[2] / "examples"
YEARS = 20  # the least from which rare rain is reckoned
GUTTER = ("roof", "house", "gutter", "north eave")
MAIN, LINE = ("tank", "main"), ("line", "house water")

# what is made wrong in an example, and the check that must see it
BROKEN: dict[str, tuple[str, Mapping[tuple[str, ...], object]]] = {
    "gutter-below-storm": ("whole-house", {(*GUTTER, "width"): "3 in", (*GUTTER, "depth"): "2 in"}),
    "gutter-run-too-long": ("whole-house", {(*GUTTER, "spouts"): 1}),
    "downspout-too-small": (
        "whole-house",
        {(*GUTTER, "spout_width"): "2 in", (*GUTTER, "spout_depth"): "2 in"},
    ),
    "screen-below-storm": (
        "whole-house",
        {("roof", "house", "screens", "leaf screen", "passes"): "5 gal/min"},
    ),
    "flush-empties-slowly": (
        "whole-house",
        {("roof", "house", "first_flush", "drain"): "0.02 gal/h"},
    ),
    "flush-reset-differs": (
        "whole-house",
        {
            ("roof", "house", "first_flush", "drain"): "0.3 gal/h",
            ("roof", "house", "first_flush", "reset"): "1 day",
        },
    ),
    "flush-never-empties": ("whole-house", {("roof", "house", "first_flush", "drain"): "0 gal/h"}),
    "pipe-starts-above-gutter": ("whole-house", {("pipe", "workshop drain", "start"): "11 ft"}),
    "pipe-backs-up": ("whole-house", {("pipe", "workshop drain", "end"): "5 ft"}),
    "pipe-too-small": ("whole-house", {("pipe", "workshop drain", "size"): "1-1/2 in"}),
    "overflow-no-freeboard": ("whole-house", {(*MAIN, "overflow"): "7 ft 6 in"}),
    "overflow-too-small": (
        "whole-house",
        {(*MAIN, "overflow_pipe", "size"): "1-1/2 in", (*MAIN, "overflow_pipe", "count"): 1},
    ),
    "overflow-smaller-than-inlet": (
        "whole-house",
        {(*MAIN, "overflow_pipe", "size"): "3 in", (*MAIN, "overflow_pipe", "count"): 1},
    ),
    "overflow-no-air-break": ("whole-house", {(*MAIN, "overflow_pipe", "air_break"): "0 in"}),
    "vent-too-small": ("whole-house", {(*MAIN, "vent"): "1/4 in"}),
    "link-too-small": ("whole-house", {(*MAIN, "link", "size"): "1/2 in"}),
    "link-below-sediment": ("whole-house", {(*MAIN, "link", "level"): "1 in"}),
    "store-volumes-differ": ("whole-house", {(*MAIN, "each"): "2,000 gal"}),
    "pump-runs-dry": ("whole-house", {(*LINE, "dry_run"): "1 in"}),
    "precharge-wrong": ("whole-house", {(*LINE, "pressure_tank", "precharge"): "10 psi"}),
    "pressure-tank-small": ("whole-house", {(*LINE, "pressure_tank", "size"): "2 gal"}),
    "wet-pipe-head": ("whole-house", {("pipe", "house main", "size"): "1-1/2 in"}),
    "wet-drain-narrow": ("whole-house", {("pipe", "house main", "drain"): "1/2 in"}),
}


@pytest.fixture(scope="module")
def record():
    return climate_record("dry-uplands", YEARS)


def text_of(example: str) -> str:
    return (EXAMPLES / example / "site.toml").read_text(encoding="utf-8")


def with_changes(text: str, changes) -> str:  # type: ignore[no-untyped-def]
    for way, value in changes:
        if value is not None:
            text = changed_text(text, way, value=value)
    return text


SAME = {"ready_rain", "ready_days", "site_storms", "rain_within_days"}
UNSEEN = {"doubts"}


class Once:
    """Calls a stage; what the changes do not touch once, and what no finding reads never."""

    def __init__(self) -> None:
        self.known: dict[str, object] = {}

    def __call__(self, function, *inputs, **named):  # type: ignore[no-untyped-def]
        name = function.__name__
        if name in UNSEEN:
            return None
        if name not in SAME:
            return function(*inputs, **named)
        if name not in self.known:
            self.known[name] = function(*inputs, **named)
        return self.known[name]


ONCE = Once()


def designed(text: str, record, *, folder: Path) -> Design:  # type: ignore[no-untyped-def]
    site = site_of_text(text, folder=str(folder))
    return design(site, record, beside=beside_of(site), stage=ONCE)


def of_code(found: tuple[Finding, ...], code: str, where: str = "") -> list[Finding]:
    return [one for one in found if one.code == code and where in ("", one.where)]


@pytest.mark.parametrize("code", BROKEN)
def test_the_changes_of_a_fix_mend_it(code: str, record) -> None:  # type: ignore[no-untyped-def]
    example, broken = BROKEN[code]
    folder = EXAMPLES / example
    text = with_changes(text_of(example), broken.items())
    seen = of_code(find(designed(text, record, folder=folder)), code)
    assert seen and seen[0].changes, "the check must see it and tell its changes"
    mended = with_changes(text, seen[0].changes)
    after = find(designed(mended, record, folder=folder))
    assert not of_code(after, code, seen[0].where)


def test_changes_are_told_by_name_and_leave_the_rest(record) -> None:  # type: ignore[no-untyped-def]
    example, broken = BROKEN["overflow-no-air-break"]
    text = with_changes(text_of(example), broken.items())
    (seen,) = of_code(
        find(designed(text, record, folder=EXAMPLES / example)), "overflow-no-air-break"
    )
    assert seen.changes == ((("tank", "main", "overflow_pipe", "air_break"), "1 in"),)
    assert replace(seen, changes=()).fix.startswith("1 in")
