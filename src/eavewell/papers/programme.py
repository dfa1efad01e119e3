"""The paper of a programme: what tanks would do for many roofs, and what it rests on."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from eavewell.answers.shown import Sizes, count
from eavewell.answers.shown import day as day_in_words
from eavewell.papers.charts.district_sizes import chart_district_sizes
from eavewell.papers.issue import issue_mark
from eavewell.papers.metered import metered_words
from eavewell.papers.paper import Lead, Paper, PaperBlock, Part, Picture
from eavewell.papers.peak_words import peak_words
from eavewell.papers.spell_words import run_in_words, spell_words
from eavewell.report.blocks import Caution, marked, paragraph, ruled
from eavewell.report.cost import money
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import convert, show

WORDS = words("programme")
Plain = Mapping[str, Any]
# more is told in acre-feet or cubic metres
MUCH_L = 1e6
# records with most roofs that are listed; the workbook has them all
MOST_RECORDS = 40
# reasons that are listed, the most frequent; the workbook has them all too
MOST_REASONS = 8


def programme_paper(told: Plain, *, day: date, system: Show, drawn: str) -> Paper:
    """The paper of a programme.

    told : a programme as plain data. drawn : its map as SVG.
    """
    blocks = (
        *_question(told, system),
        *_answer(told, system),
        *_records(told, system),
        *_districts(told, system),
        *_sizes(told, system),
        *_storm(told, system),
        *_cost(told, system),
        *_savings(told, system),
        *_ways(told),
        *_bad(told),
        Part(WORDS.say("part.cautions")),
        *(marked("-", one) for one in (*told["says"], WORDS.say("private"))),
        Picture(drawn, WORDS.say("part.map"), _map_says(told, system), wide=True, sheet=True),
    )
    return Paper(
        name="programme",
        title=WORDS.say("named"),
        site=told["name"],
        day=day,
        record=count(told["records_used"], "record"),
        version=told["eavewell"],
        issue=issue_mark({name: value for name, value in told.items() if name != "day"}),
        blocks=blocks,
        paged="letter" if system == "us" else "a4",
        invented=told["invented"],
    )


def invented_words(told: Plain) -> tuple[str, ...]:
    """What every paper of a programme on invented records says; nothing for others."""
    return (WORDS.say("records.invented"),) if told["invented"] else ()


def left_off_words(told: Plain) -> str:
    """How many roofs lie in squares that are too few to be drawn; "" for none."""
    roofs, few = told["left_off_map"], told["few"]
    return WORDS.say("map.left_off", roofs=roofs, few=few) if roofs else ""


def unit_of(told: Plain, system: Show) -> str:
    """The unit of the water of many roofs, one for a whole paper; "" for the usual one."""
    wanted = max((one["sums"]["wanted_l_year"] for one in told["whole"]["sizes"]), default=0.0)
    if wanted < MUCH_L:
        return ""
    return "acre-ft" if system == "us" else "m3"


def _much(litres: float, told: Plain, *, system: Show) -> str:
    return show(litres, "volume", system=system, unit=unit_of(told, system))


def measure_of(system: Show) -> tuple[str, float]:
    """What the cost of water is told for, in words and in m3."""
    if system == "us":
        return WORDS.say("acre_foot"), 1.0 / convert(1000.0, "volume", unit="acre-ft")
    return WORDS.say("ml"), 1000.0


def _chosen(told: Plain, line: Plain) -> Plain | None:
    """A line at the size that is told first; None where it is not told."""
    found: Plain | None = next(
        (one for one in line["sizes"] if one["size_l"] == told["size_l"]), None
    )
    return found


def _volume(litres: float, system: Show) -> str:
    return show(litres, "volume", system=system)


def _question(told: Plain, system: Show) -> Iterator[PaperBlock]:
    tried = [one["size_l"] for one in told["whole"]["sizes"]]
    named = Sizes(system)
    sizes = WORDS.say("question.sizes", sizes=", ".join(named.volume(one) for one in tried))
    yield Part(WORDS.say("part.question"))
    yield paragraph(WORDS.say("question.asked", roofs=f"{told['screened']:,}", sizes=sizes))
    for name, goals in told["goals"].items():
        if goals:
            yield marked("-", WORDS.say("question.goals", name=name, goals="; ".join(goals)))


def _answer(told: Plain, system: Show) -> Iterator[PaperBlock]:
    at = _chosen(told, told["whole"])
    yield Part(WORDS.say("part.answer"))
    if at is None:
        yield paragraph(_few(told))
        return
    size, share = _volume(at["size_l"], system), show(_all_share(at), "share")
    yield Lead(
        WORDS.say(
            "answer.lead",
            size=size,
            reaching=f"{at['reaching']:,}",
            roofs=f"{at['roofs']:,}",
            share=share,
        )
    )
    yield paragraph(_given(told, at, system=system), _money_said(told, at, system=system))
    yield paragraph(*spell_words(told, at["half_run_days"]))
    half = 2 * at["reaching"] >= at["roofs"]
    yield paragraph(WORDS.say("answer.chosen") if half else WORDS.say("answer.largest"))
    yield Caution(WORDS.say("answer.modelled"))


def _all_share(at: Plain) -> float:
    """Share of all the water wanted that is given."""
    sums = at["sums"]
    share: float = sums["supplied_l_year"] / max(sums["wanted_l_year"], 1e-9)
    return share


def _given(told: Plain, at: Plain, *, system: Show) -> str:
    sums = at["sums"]
    return WORDS.say(
        "answer.given",
        given=_much(sums["supplied_l_year"], told, system=system),
        wanted=_much(sums["wanted_l_year"], told, system=system),
        kept=_much(sums["kept_l_year"], told, system=system),
    )


def _money_said(told: Plain, at: Plain, *, system: Show) -> str:
    cost = at["cost"]
    if cost is None or cost["per_m3"] is None:
        return ""
    measure, m3 = measure_of(system)
    return WORDS.say(
        "answer.cost",
        first=_band(cost["first"]),
        yearly=_band(cost["yearly"]),
        each=_band(cost["per_m3"], m3),
        currency=told["currency"],
        years=told["years"],
        measure=measure,
    )


def _band(band: Plain, times: float = 1.0) -> str:
    low, typical, high = (money(band[end] * times) for end in ("low", "typical", "high"))
    return typical if low == high else WORDS.say("typical", low=low, typical=typical, high=high)


def _range(at: Plain) -> str:
    if at["share_low"] is None:
        return "-"
    low, high = (show(at[name], "share") for name in ("share_low", "share_high"))
    return low if low == high else WORDS.say("range", low=low, high=high)


def _few(told: Plain) -> str:
    return WORDS.say("few", few=told["few"])


def _records(told: Plain, system: Show) -> Iterator[PaperBlock]:
    yield Part(WORDS.say("part.records"))
    most = sorted(told["records"], key=lambda one: -one["roofs"])[:MOST_RECORDS]
    shown = [one for one in told["records"] if one in most]
    lines = [_record(told, one, system=system) for one in shown]
    yield ruled(WORDS.several("records.head"), lines)
    left = len(told["records"]) - len(shown)
    more = WORDS.say("records.more", left=left) if left else ""
    few = count(told["few_records"], WORDS.say("records.one"))
    unnamed = WORDS.say("records.few", records=few, few=told["few"]) if told["few_records"] else ""
    yield paragraph(WORDS.say("records.says"), more, unnamed)
    for says in invented_words(told):
        yield Caution(says)


def _record(told: Plain, one: Plain, *, system: Show) -> tuple[str, ...]:
    far, high = one["farthest_km"], one["highest_m"]
    metres = Sizes(system)
    return (
        one["name"],
        f"{one['roofs']:,}" if one["sizes"] else WORDS.say("in_rest"),
        "-" if far is None else show(far, "distance", system=system, figures=2),
        "-" if high is None else f"{_sign(high)}{metres.height(abs(high))}",
        day_in_words(one["from"]),
        day_in_words(one["to"]),
    )


def _sign(value: float) -> str:
    return "+" if value > 0.0 else "-" if value < 0.0 else ""


def _districts(told: Plain, system: Show) -> Iterator[PaperBlock]:
    several = len(told["districts"]) > 1
    if not several and not told["few_districts"]:
        return
    yield Part(WORDS.say("part.districts", size=_volume(told["size_l"], system)))
    says = WORDS.say("districts.says", few=told["few"], least=told["ranged"])
    if several:
        lines = [_district(told, one, system=system) for one in told["districts"]]
        yield ruled(WORDS.several("districts.head"), lines)
    yield paragraph(says if several else "", *few_districts_told(told))


def few_districts_told(told: Plain) -> tuple[str, ...]:
    """What became of the districts of few roofs of a programme; nothing where there are none."""
    return few_districts_words(
        told["few_districts"], few=told["few"], rest=told["rest"], roofs=told["whole"]["roofs"]
    )


def few_districts_words(districts: int, *, few: int, rest: int, roofs: int) -> tuple[str, ...]:
    """What became of so many districts of fewer roofs than `few`; nothing where there are none.

    rest : roofs that stand in the rest. roofs : all of them.
    """
    if not districts:
        return ()
    named = count(districts, WORDS.say("districts.one"))
    mostly = WORDS.say("districts.mostly_rest") if 2 * rest > roofs else ""
    return WORDS.say("districts.few", districts=named, few=few), mostly


def _district(told: Plain, line: Plain, *, system: Show) -> tuple[str, ...]:
    at = _chosen(told, line)
    if at is None:
        return line["name"], WORDS.say("in_rest"), *("-",) * 5
    return (
        line["name"],
        f"{line['roofs']:,}",
        f"{at['reaching']:,}",
        show(at["supplied_share"], "share"),
        _range(at),
        _much(at["sums"]["supplied_l_year"], told, system=system),
        "-" if at["cost"] is None else _band(at["cost"]["yearly"]),
    )


def _sizes(told: Plain, system: Show) -> Iterator[PaperBlock]:
    sizes = told["whole"]["sizes"]
    if not sizes:
        return
    yield Part(WORDS.say("part.sizes"))
    curve = chart_district_sizes(told, system=system)
    if curve:
        yield Picture(curve, WORDS.say("curve.title"))
    lines = [
        (
            _volume(one["size_l"], system),
            f"{one['reaching']:,}",
            show(one["supplied_share"], "share"),
            _range(one),
            show(one["days_met_share"], "share"),
            run_in_words(one["half_run_days"]),
            _much(one["sums"]["supplied_l_year"], told, system=system),
        )
        for one in sizes
    ]
    yield ruled(WORDS.several("sizes.head"), lines)
    yield paragraph(WORDS.say("sizes.says"))


def _storm(told: Plain, system: Show) -> Iterator[PaperBlock]:
    if not told["whole"]["sizes"]:
        return
    yield Part(WORDS.say("part.storm"))
    names = ("inflow_l_year", "kept_l_year", "spilled_l_year", "make_up_l_year")
    lines = [
        (
            _volume(one["size_l"], system),
            *(_much(one["sums"][name], told, system=system) for name in names),
        )
        for one in told["whole"]["sizes"]
    ]
    yield ruled(WORDS.several("storm.head"), lines)
    sums = [one["sums"] for one in told["whole"]["sizes"]]
    drawn_down = any(one["supplied_l_year"] > one["kept_l_year"] for one in sums)
    yield paragraph(WORDS.say("storm.says"), WORDS.say("storm.drawn_down") if drawn_down else "")


def _cost(told: Plain, system: Show) -> Iterator[PaperBlock]:
    yield Part(WORDS.say("part.cost"))
    priced = [one for one in told["whole"]["sizes"] if one["cost"] is not None]
    if not priced:
        yield paragraph(WORDS.say("cost.none"))
        return
    measure, m3 = measure_of(system)
    lines = [
        (
            _volume(one["size_l"], system),
            _band(one["cost"]["first"]),
            _band(one["cost"]["yearly"]),
            "-" if one["cost"]["per_m3"] is None else _band(one["cost"]["per_m3"], m3),
        )
        for one in priced
    ]
    head = (*WORDS.several("cost.head"), WORDS.say("cost.each", measure=measure))
    yield ruled(head, lines)
    yield paragraph(
        WORDS.say("cost.says", years=told["years"], currency=told["currency"]),
        WORDS.say("cost.assumed", assumed="; ".join(told["assumed"])) if told["assumed"] else "",
    )


def _savings(told: Plain, system: Show) -> Iterator[PaperBlock]:
    at = _chosen(told, told["whole"])
    yield Part(WORDS.say("part.savings"))
    if told["metered"] is not None:
        yield paragraph(*metered_words(told["metered"], system))
    if at is None:
        return
    size = _volume(at["size_l"], system)
    if told["metered"] is None:
        yield Caution(WORDS.say("savings.modelled"))
    else:
        mean_l = at["sums"]["supplied_l_year"] / at["roofs"]
        yield paragraph(WORDS.say("savings.beside", modelled=_volume(mean_l, system), size=size))
    share = show(_all_share(at), "share")
    given = _much(at["sums"]["supplied_l_year"], told, system=system)
    year = WORDS.say("savings.year", size=size, given=given, share=share)
    peak = peak_words(told["peak"], system=system, unit=unit_of(told, system))
    yield paragraph(year, *peak)


def _ways(told: Plain) -> Iterator[PaperBlock]:
    rows = [one for one in told["ways"] if not one["group"]]
    if not rows:
        return
    yield Part(WORDS.say("part.ways"))
    lines = [(one["way"], _band(one["first"]), _band(one["yearly"])) for one in rows]
    yield ruled(WORDS.several("ways.head"), lines)
    yield paragraph(WORDS.say("ways.says", years=told["years"], currency=told["currency"]))
    for one in rows:
        if one["says"]:
            yield marked("-", WORDS.say("ways.rests", way=one["way"], says=one["says"]))


def _bad(told: Plain) -> Sequence[PaperBlock]:
    part = Part(WORDS.say("part.bad"))
    if not told["bad"]:
        return part, paragraph(WORDS.say("bad.none"))
    lines = [(one["reason"], f"{one['rows']:,}") for one in told["bad"][:MOST_REASONS]]
    left = sum(one["rows"] for one in told["bad"][MOST_REASONS:])
    if left:
        lines.append((WORDS.say("bad.more"), f"{left:,}"))
    says = WORDS.say("bad.says", bad=f"{told['bad_rows']:,}", rows=f"{told['rows']:,}")
    return part, paragraph(says), ruled(WORDS.several("bad.head"), lines)


def _map_says(told: Plain, system: Show) -> str:
    wide, high = (show(side, "distance", system=system, figures=2) for side in told["square_km"])
    caption = WORDS.say("map.caption", wide=wide, high=high)
    return f"{caption} {left_off_words(told)}".strip()
