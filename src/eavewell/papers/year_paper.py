"""The year paper: what came, what was used, what was saved, tests, care and outages."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from eavewell.answers.shown import MONTHS, Sizes, count
from eavewell.answers.shown import day as in_words
from eavewell.papers.charts.plate import says_of
from eavewell.papers.charts.year_strip import chart_year
from eavewell.papers.paper import Lead, Paper, PaperBlock, Part, Picture
from eavewell.report.blocks import Caution, paragraph, ruled
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import show

WORDS = words("year_paper")
Plain = dict[str, Any]


def year_paper(answer: Plain, *, system: Show) -> Paper:
    """The paper of a year.

    answer : the year as plain data, for its owner or for an authority.
    """
    sizes = Sizes(system)
    owner = answer["for"] == "owner"
    blocks: list[PaperBlock] = []
    if answer["from"] is not None:
        blocks += [Lead(_answer(answer, sizes)), *_strip(answer, system)]
        blocks += [*_months(answer, sizes), *_saved(answer, sizes)]
    blocks += [*_tests(answer), *_tasks(answer)]
    blocks += [*_outages(answer, sizes), *_loads(answer, sizes)]
    blocks.append(Caution(WORDS.say("caution.decides")))
    title = WORDS.say("title.owner", year=answer["year"])
    if not owner:
        title = WORDS.say("title.authority", year=answer["year"])
    return Paper(
        name=f"year-{answer['year']}",
        title=title,
        site=answer["site"],
        day=date.fromisoformat(answer["day"]),
        record=WORDS.say("foot.log"),
        version=answer["eavewell"],
        blocks=tuple(blocks),
        lead=tuple(_covers(answer)),
        paged="letter" if system == "us" else "a4",
    )


def in_short(paper: Paper) -> tuple[str, ...]:
    """What a year paper says first: how much of the year the log covers, and the year's water."""
    return (*paper.lead, *(one.words for one in paper.blocks if isinstance(one, Lead)))


def _covers(answer: Plain) -> Iterator[str]:
    if answer["from"] is None:
        yield WORDS.say("lead.covers_none")
    else:
        yield WORDS.say(
            "lead.covers",
            days=count(answer["days"], "day"),
            first=in_words(answer["from"]),
            last=in_words(answer["to"]),
        )
    if answer["for"] == "authority":
        yield WORDS.say("lead.for_authority")


def _answer(answer: Plain, sizes: Sizes) -> str:
    """The year in some sentences."""
    total = answer["total"]
    told = [_used(answer, sizes)]
    if total["level_l"] is not None:
        days, level = count(total["level_days"], "day"), sizes.volume(total["level_l"])
        told.append(WORDS.say("answer.by_level", days=days, level=level))
    if total["caught_l"] is not None:
        told.append(WORDS.say("answer.caught", caught=sizes.volume(total["caught_l"])))
    return " ".join((*told, _bought(answer, sizes)))


def _used(answer: Plain, sizes: Sizes) -> str:
    total = answer["total"]
    planned, known = sizes.volume(total["planned_l"]), total["metered_days"]
    if total["metered_l"] is None:
        return WORDS.say("answer.only_planned", planned=planned)
    on = beside = ""
    if known < answer["days"]:
        on = WORDS.say("answer.on", known=known, days=count(answer["days"], "day"))
    if total["planned_l"]:
        beside = WORDS.say("answer.planned", planned=planned)
    return WORDS.say("answer.used", used=sizes.volume(total["metered_l"]), on=on, planned=beside)


def _bought(answer: Plain, sizes: Sizes) -> str:
    total = answer["total"]
    made_up_l = total["make_up_l"]
    if not total["hauled_l"] and made_up_l == 0.0:
        return WORDS.say("answer.bought_none")
    make_up = WORDS.say("answer.make_up_unknown") if made_up_l is None else sizes.volume(made_up_l)
    return WORDS.say(
        "answer.bought",
        bought=sizes.volume(total["hauled_l"] + (made_up_l or 0.0)),
        loads=count(len(answer["loads"]), "load"),
        make_up=make_up,
    )


def _strip(answer: Plain, system: Show) -> Iterator[PaperBlock]:
    svg = chart_year(answer, system=system)
    if svg is not None:
        yield Picture(svg, says_of(svg))


def _months(answer: Plain, sizes: Sizes) -> Iterator[PaperBlock]:
    yield Part(WORDS.say("months.title"))
    owner = any(one["metered_days"] is not None for one in answer["months"])
    head = WORDS.several("months.head_authority")
    if owner:
        head = WORDS.several("months.head")
    covered = [one for one in answer["months"] if one["days"]]
    rows = [_month(one, sizes, name=MONTHS[one["month"] - 1]) for one in covered]
    total = answer["total"] | {"days": answer["days"], "held_l": None}
    rows.append(_month(total, sizes, name=WORDS.say("months.total")))
    yield ruled(head, [row[: len(head)] for row in rows])


def _month(one: Plain, sizes: Sizes, *, name: str) -> tuple[str, ...]:
    return (
        name,
        str(one["days"]),
        sizes.depth(one["rain_mm"]),
        sizes.volume(one["hauled_l"]),
        sizes.volume(one["make_up_l"]),
        sizes.volume(one["metered_l"]),
        sizes.volume(one["planned_l"]),
        sizes.volume(one["level_l"]),
        sizes.volume(one["held_l"]),
    )


def _saved(answer: Plain, sizes: Sizes) -> Iterator[PaperBlock]:
    saved = answer["saved"]
    yield Part(WORDS.say("saved.title"))
    if not saved["replaces"]:
        yield paragraph(WORDS.say("saved.none"))
        return
    modelled = ""
    if saved["modelled_l"]:
        modelled = WORDS.say("saved.modelled", modelled=sizes.volume(saved["modelled_l"]))
    told = [
        WORDS.say(
            "saved.water",
            verified=sizes.volume(saved["verified_l"]),
            replaces=saved["replaces"],
            modelled=modelled,
        )
    ]
    if saved["money"] is not None:
        money, verified = (_money(saved[key], answer) for key in ("money", "verified_money"))
        if saved["modelled_l"]:
            told.append(WORDS.say("saved.money_modelled", money=money, verified=verified))
        else:
            told.append(WORDS.say("saved.money", money=money))
    yield paragraph(*told, WORDS.say("saved.only"))


def _money(amount: float, answer: Plain) -> str:
    return f"{amount:,.0f} {answer['currency']}"


def _tests(answer: Plain) -> Iterator[PaperBlock]:
    yield Part(WORDS.say("tests.title"))
    if not answer["tests"]:
        yield paragraph(WORDS.say("tests.none"))
        return
    rows = [
        (
            in_words(one["day"]),
            one["of"],
            one["class"] or "-",
            _amount(one),
            _limit(one),
            one["says"] or "-",
            one["tap"] or "-",
            one["laboratory"] or "-",
        )
        for one in answer["tests"]
    ]
    yield ruled(WORDS.several("tests.head"), rows, names=(0, 1, 2, 5, 6, 7))
    yield paragraph(WORDS.say("tests.pass"))


def _amount(one: Plain) -> str:
    found = f"{one['found']:g} {one['unit']}".removesuffix(" pH")
    return WORDS.say("tests.below", found=found) if one["below"] else found


def _limit(one: Plain) -> str:
    if one["least"] is None:
        return "-" if one["most"] is None else f"{one['most']:g}"
    if one["most"] is None:
        return WORDS.say("tests.least", least=f"{one['least']:g}")
    return WORDS.say("tests.between", least=f"{one['least']:g}", most=f"{one['most']:g}")


def _tasks(answer: Plain) -> Iterator[PaperBlock]:
    yield Part(WORDS.say("tasks.title"))
    if not answer["tasks"]:
        yield paragraph(WORDS.say("tasks.none"))
        return
    rows = [
        (
            one["task"],
            ", ".join(one["things"]) or "-",
            _every(one),
            str(len(one["done"])),
            in_words(one["done"][-1]) if one["done"] else "-",
            str(one["missed"]) if one["missed"] else "-",
        )
        for one in answer["tasks"]
    ]
    yield ruled(WORDS.several("tasks.head"), rows, names=(0, 1))
    yield paragraph(WORDS.say("tasks.missed"))


def _every(one: Plain) -> str:
    if one["every_days"] is None:
        return WORDS.say("tasks.year") if one["kind"] == "season" else WORDS.say("tasks.as_asked")
    return count(one["every_days"], "day")


def _outages(answer: Plain, sizes: Sizes) -> Iterator[PaperBlock]:
    yield Part(WORDS.say("outages.title"))
    if not answer["outages"]:
        yield paragraph(WORDS.say("outages.none"))
        return
    rows = [(in_words(one["day"]), one["of"], _hours(one, sizes)) for one in answer["outages"]]
    yield ruled(WORDS.several("outages.head"), rows, names=(0, 1))


def _hours(one: Plain, sizes: Sizes) -> str:
    hours = show(one["hours"], "hours", system=sizes.system)
    return WORDS.say("outages.lasts", hours=hours) if one["lasts"] else hours


def _loads(answer: Plain, sizes: Sizes) -> Iterator[PaperBlock]:
    if not answer["loads"]:
        return
    yield Part(WORDS.say("loads.title"))
    rows = [
        (
            in_words(one["day"]),
            one["to"],
            sizes.volume(one["volume_l"]),
            "-" if one["price"] is None else _money(one["price"], answer),
            one["paper"] or "-",
            "-" if one["chlorine_mg_l"] is None else f"{one['chlorine_mg_l']:g} mg/L",
        )
        for one in answer["loads"]
    ]
    yield ruled(WORDS.several("loads.head"), rows, names=(0, 1, 4))
