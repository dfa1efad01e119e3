"""The teaching handout: area times rain times share, this site worked, and an empty worksheet."""

from datetime import date
from typing import Any

from eavewell.answers.shown import MONTHS, Sizes, count
from eavewell.papers.design_report import paper_of
from eavewell.papers.paper import Form, Lead, Ledger, NewPage, Paper, PaperBlock, Part
from eavewell.report.blocks import Caution, Rows, heading, marked, paragraph, ruled
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import convert

WORDS = words("handout")
Plain = dict[str, Any]
NAMED = ("handout", WORDS.say("named"))
WORK = WORDS.several("work")
WORK_WIDTHS = (2.2, 1.2, 1.2, 1.3, 1.1, 1.1, 1.6)
USE = WORDS.several("use")
USE_WIDTHS = (3.0, 1.4, 1.6, 1.8)
ROOFS, USES = 5, 5
DANGERS = ("never-enter", "ladders", "lids")


def handout_paper(answer: Plain, *, day: date, system: Show) -> Paper:
    """Two pages: this site worked, and the same left empty."""
    sizes = Sizes(system)
    blocks: list[PaperBlock] = [
        Lead(WORDS.say("page.area_seen_from_above")),
        paragraph(_unit(system), WORDS.say("page.slope_roof_adds_nothing")),
        Part(WORDS.say("page.worked", site=answer["site"])),
        _worked(answer, sizes),
        *(paragraph(_product(roof, answer, system=system)) for roof in _caught(answer)[:1]),
        heading(WORDS.say("page.month_by_month")),
        _months(answer, sizes),
        *_questions(answer),
        NewPage(),
        *_worksheet(answer, sizes),
    ]
    return paper_of(answer, blocks, named=NAMED, day=day, system=system)


def _unit(system: Show) -> str:
    if system == "metric":
        return WORDS.say("unit.one_millimetre_rain_on")
    return WORDS.say("unit.one_inch_rain_on", gallons=_gallons())


def _gallons() -> float:
    """Gallons of one inch on one square foot."""
    litres = 1.0 / convert(1.0, "area", unit="ft2") / convert(1.0, "depth", unit="in")
    return convert(litres, "volume", unit="gal")


def _caught(answer: Plain) -> list[Plain]:
    return [roof for roof in answer["roofs"] if roof["net_share"] is not None]


def _worked(answer: Plain, sizes: Sizes) -> Rows:
    rain = sizes.depth(answer["rain"]["mean_year_mm"])
    lines = [
        (
            roof["name"],
            roof["finish"],
            sizes.area(roof["plan_area_m2"]),
            rain,
            f"{roof['net_share']:.2f}",
            sizes.volume(roof["mean_year_l"]),
        )
        for roof in _caught(answer)
    ]
    head = WORDS.several("worked.head")
    return ruled(head, lines, names=(0, 1))


def _product(roof: Plain, answer: Plain, *, system: Show) -> str:
    """The line of working with its figures as printed."""
    sizes = Sizes(system)
    area, rain = sizes.area(roof["plan_area_m2"]), sizes.depth(answer["rain"]["mean_year_mm"])
    unit = "" if system == "metric" else f" x {_gallons():.3f}"
    water = sizes.volume(roof["mean_year_l"])
    return WORDS.say(
        "product.worked_out",
        name=roof["name"].capitalize(),
        area=area,
        rain=rain,
        net_share=roof["net_share"],
        unit=unit,
        water=water,
    )


def _months(answer: Plain, sizes: Sizes) -> Rows:
    rain = {one["month"]: one["mean_mm"] for one in answer["rain"]["months"]}
    lines = [
        (
            MONTHS[one["month"] - 1],
            sizes.depth(rain[one["month"]]),
            sizes.volume(one["inflow_l"]),
            sizes.volume(one["wanted_l"]),
            sizes.volume(one["supplied_l"]),
        )
        for one in answer["storage"]["months"]
    ]
    head = WORDS.several("months.head")
    return ruled(head, lines)


def _questions(answer: Plain) -> list[PaperBlock]:
    dry = count(answer["rain"]["longest_dry_days"], "day")
    asked = (
        WORDS.say("questions.which_months_comes_less"),
        WORDS.say("questions.longest_run_without_rain", dry=dry),
        WORDS.say("questions.would_more_roof_help"),
        WORDS.say("questions.what_this_water_for"),
    )
    return [heading(WORDS.say("questions.think_about")), *(marked("-", words) for words in asked)]


def _worksheet(answer: Plain, sizes: Sizes) -> list[PaperBlock]:
    told = " ".join(one["says"] for one in answer["cautions"] if one["code"] in DANGERS)
    return [
        Part(WORDS.say("worksheet.your_own_roof")),
        Form(WORDS.several("worksheet.form")),
        Ledger(WORK, (("",) * len(WORK),) * ROOFS, WORK_WIDTHS, 7.5),
        paragraph(_unit(sizes.system), WORDS.say("worksheet.add_last_column_year")),
        heading(WORDS.say("worksheet.who_wants_it")),
        Ledger(USE, (("",) * len(USE),) * USES, USE_WIDTHS, 7.5),
        paragraph(WORDS.say("worksheet.together_day_x_days")),
        heading(WORDS.say("worksheet.share_that_finish_sheds")),
        _finishes(answer),
        Caution(told),
    ]


def _finishes(answer: Plain) -> Rows:
    """The finishes in two columns side by side."""
    told = [
        (
            one["name"],
            f"{one['share']:.2f}",
            WORDS.say("finishes.to", low=one["low"], high=one["high"]),
        )
        for one in answer["lesson"]["finishes"]
    ]
    half = (len(told) + 1) // 2
    right = [*told[half:], ("", "", "")]
    lines = [(*one, *other) for one, other in zip(told[:half], right, strict=False)]
    return ruled(("finish", "share", "range") * 2, lines, names=(0, 3))
