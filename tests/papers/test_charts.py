"""Charts: what they say, that no words stand on words, that two runs are equal; invented rain."""

import json
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from copy import deepcopy
from datetime import date
from itertools import combinations
from pathlib import Path

import pytest
from tests.designed_examples import designed

from eavewell.answers import answer
from eavewell.design import design
from eavewell.drawings.letters import capital_share, width_mm
from eavewell.faults import EavewellFault
from eavewell.papers.charts.all_charts import charts
from eavewell.papers.charts.cost_front import chart_cost_front
from eavewell.papers.charts.levels import chart_levels
from eavewell.papers.charts.months import chart_months
from eavewell.papers.charts.pictures import chart_pictures
from eavewell.papers.charts.plate import WIDE_MM, cut_to, says_of
from eavewell.papers.charts.storage import apart, chart_storage
from eavewell.papers.charts.storms import chart_storms
from eavewell.papers.charts.years import chart_years
from eavewell.report.whole import PARTS
from eavewell.units import show

EXAMPLES = Path(__file__).parents[2] / "examples"
TODAY = date(2026, 1, 1)
SVG = "{http://www.w3.org/2000/svg}"
AWKWARD = 'the "old" <b>& $x_1^2$ record\n\nof the ranch ' + "very long " * 40


@pytest.fixture(scope="module")
def barn():
    """The example with a sump: storms, loads, a worst spell."""
    return answer(designed("low-eaves"))


@pytest.fixture(scope="module")
def short(making):
    """One odd year of invented rain, mains for one use, nothing short."""
    uses = (
        making.use(1.0),
        making.use(60.0, "garden", priority=2, fallback="mains"),
    )
    record = making.record(making.wet_and_dry(1.05)[:366], first=date(2003, 7, 15))
    return answer(design(making.site(uses=uses), record, today=TODAY))


def weight(**fields):
    usual = {
        "count": 2,
        "each_l": 10_000.0,
        "total_l": 20_000.0,
        "roof_m2": 150.0,
        "fixtures": 1.0,
        "garden": 1.0,
        "rations": False,
        "days_met_share": 0.9,
        "life": {"low": 20_000.0, "typical": 30_000.0, "high": 50_000.0},
    }
    return usual | fields


@pytest.fixture
def weighed():
    cost = [{"low": 0.7 * c, "typical": c, "high": 1.6 * c} for c in (20e3, 25e3, 40e3)]
    front = [
        weight(count=k + 1, days_met_share=share, life=life)
        for k, (share, life) in enumerate(zip((0.8, 0.93, 0.97), cost, strict=True))
    ]
    return {
        "by_days": front,
        "present": weight(count=4, fixtures=0.8),
        "cheapest": front[1],
        "some_meets_goals": True,
        "currency": "USD",
        "years": 20,
        "rain": "made up",
        "invented": True,
    }


def texts(svg):
    """Every line of letters: its words, size in points, anchor and place."""
    for one in ET.fromstring(svg).iter(f"{SVG}text"):
        style = one.get("style")
        size = float(re.search(r"font-size: ([\d.]+)px", style)[1])
        anchor = re.search(r"text-anchor: (\w+)", style)
        moved = re.search(r"translate\(([-\d.]+) ([-\d.]+)\)", one.get("transform") or "")
        if "rotate(-90)" in (one.get("transform") or ""):
            anchor = ["upward"] * 2
        x, y = moved.groups() if moved else (one.get("x"), one.get("y"))
        weight = "Bold" if "font-weight: 700" in style else "Medium"
        yield one.text, size, anchor[1] if anchor else "start", float(x), float(y), weight


def boxes(svg):
    """The box of each line in points, by the letters themselves."""
    found = {}
    for words, size, anchor, x, y, weight in texts(svg):
        capital = size * capital_share(weight)
        wide = width_mm(words, capital, weight=weight)
        if anchor == "upward":
            found[words, x, y] = (x - capital, y - wide, x, y)
            continue
        left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * wide
        found[words, x, y] = (left, y - capital, left + wide, y)
    return found


def overlap(one, other, slack=0.2):
    return (
        one[0] < other[2] - slack
        and other[0] < one[2] - slack
        and one[1] < other[3] - slack
        and other[1] < one[3] - slack
    )


def assert_is_tidy(svg):
    """Well formed, words beside words, nothing outside the plate."""
    found = boxes(svg)
    assert found
    hit = [(a, b) for a, b in combinations(found, 2) if overlap(found[a], found[b])]
    assert hit == []
    root = ET.fromstring(svg)
    wide, high = (float(part) for part in root.get("viewBox").split()[2:])
    out = [
        words
        for words, box in found.items()
        if min(box) < -0.5 or box[2] > wide + 0.5 or box[3] > high + 0.5
    ]
    assert out == []
    assert root.get("width") == f"{WIDE_MM:g}mm"
    assert float(root.get("height")[:-2]) / WIDE_MM == pytest.approx(high / wide, rel=1e-3)
    assert root.get("role") == "img"
    assert says_of(svg)


@pytest.mark.parametrize("system", ["us", "metric"])
def test_every_chart_of_an_example(barn, weighed, system):
    found = charts(barn, system=system, weighed=weighed)
    assert set(found) == {
        f"charts/{name}.svg"
        for name in ("levels", "storage", "months", "years", "storms", "cost-front")
    }
    for svg in found.values():
        assert_is_tidy(svg)
        assert "invented" in " ".join(one[0] for one in texts(svg))


def test_a_short_record_with_mains(short):
    found = charts(short, system="us")
    assert "charts/storms.svg" not in found
    for svg in found.values():
        assert_is_tidy(svg)
    assert "from the mains" in [one[0] for one in texts(found["charts/years.svg"])]


def test_nothing_was_ever_short(short):
    plain = deepcopy(short)
    plain["storage"]["worst_short"] = {"from": None, "to": None, "missing_l": 0.0}
    svg = chart_levels(plain, system="us")
    assert "No use was ever short" in says_of(svg)
    assert "round the lowest of the record" in svg
    assert_is_tidy(svg)


def test_the_words_are_the_answers(barn):
    worst, store = barn["storage"]["worst_short"], barn["storage"]
    levels = " ".join(one[0] for one in texts(chart_levels(barn, system="us")))
    assert f"{show(worst['missing_l'], 'volume')} missing" in levels
    assert f"full, {show(store['levels']['usable_l'], 'volume')}" in levels
    storage = " ".join(one[0] for one in texts(chart_storage(barn, system="us")))
    low, high = store["range_90"]["supplied_share"]
    for share in (store["supplied_share"], high):
        assert show(share, "share") in storage
    assert show(low, "share").split()[0] in storage
    assert show(barn["sizing"]["smallest_l"], "volume") in storage
    storms = " ".join(one[0] for one in texts(chart_storms(barn, system="metric")))
    for one in barn["hydraulics"]["lifts"][0]["storms"]:
        assert show(one["captured_share"], "share", system="metric") in storms


def test_bars_are_as_high_as_the_axis_says(short):
    """From the SVG: the bar of a month against two ticks of the axis."""
    plain = deepcopy(short)
    nothing = dict.fromkeys(("wanted_l", "supplied_l", "make_up_l", "short_l"), 0.0)
    plain["storage"]["months"] = [
        {"month": k + 1, "inflow_l": 100.0 * (k + 1)} | nothing for k in range(12)
    ]
    svg = chart_months(plain, system="metric")
    ticks = {words: y for words, _, anchor, _, y, _ in texts(svg) if anchor == "end"}
    per_l = (ticks["0"] - ticks["1,000"]) / 1000.0
    pale = re.findall(r'<path d="([^"]+)"[^>]*style="fill: #c4d9e6', svg)
    highs = []
    for path in pale:
        ys = [float(y) for y in re.findall(r"[ML] [-\d.]+ ([-\d.]+)", path)]
        highs.append(max(ys) - min(ys))
    # the key bar is drawn last
    assert highs[:12] == pytest.approx([100.0 * (k + 1) * per_l for k in range(12)], rel=0.01)


def test_awkward_names(barn):
    plain = deepcopy(barn)
    plain["rain"]["name"] = plain["sizing"]["store"] = AWKWARD
    plain["storage"]["stores"][0]["name"] = AWKWARD
    plain["hydraulics"]["lifts"][0]["name"] = AWKWARD
    for svg in charts(plain, system="us").values():
        assert_is_tidy(svg)
    assert "$x_1^2$" in chart_levels(plain, system="us")


@pytest.mark.parametrize(("times", "system"), [(0.01, "us"), (3.3, "metric"), (1000.0, "us")])
def test_sizes_from_a_bucket_to_a_lake(barn, times, system):
    """Every volume so many times as large: numbers stay within the plate and off each other."""

    def grown(node, key=""):
        if isinstance(node, dict):
            return {name: grown(one, name) for name, one in node.items()}
        if isinstance(node, list):
            return [grown(one, key) for one in node]
        return node * times if key.endswith("_l") and isinstance(node, float) else node

    for svg in charts(grown(barn), system=system).values():
        assert_is_tidy(svg)


def test_pictures_stand_in_their_parts(barn):
    found = chart_pictures(charts(barn, system="us"))
    assert set(found) <= {words for words, _ in PARTS}
    assert [len(one) for one in found.values()] == [1, 3, 1]
    assert all(one.says == says_of(one.svg) for part in found.values() for one in part)


def test_letters_that_the_fonts_lack_are_a_sentence(barn):
    plain = deepcopy(barn)
    plain["rain"]["name"] = "מדידה"
    with pytest.raises(EavewellFault, match="lack"):
        chart_levels(plain, system="us")


def test_nothing_to_show_is_none(short, weighed):
    plain = deepcopy(short)
    plain["storage"]["levels"]["usable_l"] = 0.0
    plain["sizing"]["curve"] = []
    plain["storage"]["months"] = [
        month | {"inflow_l": None, "wanted_l": None} for month in plain["storage"]["months"]
    ]
    plain["years"] = []
    for one in weighed["by_days"]:
        one["life"] = dict.fromkeys(("low", "typical", "high"))
    for chart in (chart_levels, chart_storage, chart_months, chart_years, chart_storms):
        assert chart(plain, system="us") is None
    assert chart_cost_front(weighed, system="us") is None


def test_no_size_reaches_the_goal(barn):
    plain = deepcopy(barn)
    plain["sizing"]["smallest_l"] = None
    plain["storage"]["range_90"]["supplied_share"] = []
    svg = chart_storage(plain, system="us")
    assert "no size that was tried reaches the goal" in svg
    assert_is_tidy(svg)


def test_three_sizes_on_one_curve(barn):
    plain = deepcopy(barn)
    plain["sizing"]["smallest_at_less_rain_l"] = 1.4 * plain["sizing"]["smallest_l"]
    plain["sizing"]["less_rain_factor"] = 0.8
    svg = chart_storage(plain, system="us")
    assert "80 % of the rain" in svg
    assert_is_tidy(svg)


def test_labels_stand_apart():
    assert apart([0.5, 0.2], 0.1) == [0.5, 0.2]
    assert apart([0.5, 0.45], 0.1) == pytest.approx([0.5, 0.4])
    assert apart([0.45, 0.5, 0.99], 0.1, most=0.9) == pytest.approx([0.4, 0.5, 0.9])
    # pushed against the floor, they stand on each other from below
    assert apart([0.1, 0.12, 0.9], 0.3, lowest=0.1) == pytest.approx([0.1, 0.4, 0.9])


def test_loads_of_many_years_are_turned(barn):
    plain = deepcopy(barn)
    plain["years"] = [year | {"loads": 125} for year in plain["years"]]
    svg = chart_years(plain, system="us")
    assert [one[2] for one in texts(svg)].count("upward") == len(plain["years"])
    assert_is_tidy(svg)


@pytest.mark.parametrize("at", [0, 40, 70, 100])
def test_the_worst_spell_anywhere_in_the_record(barn, at):
    plain = deepcopy(barn)
    year, month = 1966 + 59 * at // 100, 1 + 11 * at // 100
    worst = {"from": f"{year}-{month:02d}-03", "to": f"{year}-{month:02d}-28", "missing_l": 9.0}
    plain["storage"]["worst_short"] = worst
    plain["storage"]["levels"]["closest_from"] = f"{year}-01-01"
    assert_is_tidy(chart_levels(plain, system="us"))


def test_a_line_is_cut_to_its_room():
    assert cut_to("short", 6.5, most_mm=50.0) == "short"
    cut = cut_to("very long " * 30, 6.5, most_mm=50.0)
    assert cut.endswith("...")
    assert width_mm(cut, 6.5 / 72 * 25.4 * capital_share("Medium"), weight="Medium") <= 50.0


def test_two_runs_are_equal_to_the_byte(short, tmp_path):
    (tmp_path / "a.json").write_text(json.dumps(short), encoding="utf-8")
    asked = (
        "import json, sys; from eavewell.papers.charts.all_charts import charts;"
        "assert 'matplotlib' not in sys.modules;"
        "found = charts(json.load(open(sys.argv[1], encoding='utf-8')), system='us');"
        "sys.stdout.reconfigure(encoding='utf-8'); print(''.join(found.values()), end='')"
    )
    done = subprocess.run(
        [sys.executable, "-c", asked, str(tmp_path / "a.json")], capture_output=True, check=True
    )
    here = "".join(charts(short, system="us").values())
    assert done.stdout.decode("utf-8").replace("\r\n", "\n") == here
    assert not re.search(r"<dc:date>|20[0-9]{2}-[0-9]{2}-[0-9]{2}T", here)
