"""The teaching handout: area times rain times share, this site worked, and an empty worksheet."""

from datetime import date
from typing import Any

from eavewell.answers.shown import MONTHS, Sizes, count
from eavewell.papers.design_report import paper_of
from eavewell.papers.paper import Form, Lead, Ledger, NewPage, Paper, PaperBlock, Part
from eavewell.report.blocks import Caution, Rows, heading, marked, paragraph, ruled
from eavewell.site.place import Show
from eavewell.units import convert

Plain = dict[str, Any]
NAMED = ("handout", "Rain from a roof: a worksheet")
WORK = ("roof plane", "length", "width", "area", "x rain", "x share", "= water")
WORK_WIDTHS = (2.2, 1.2, 1.2, 1.3, 1.1, 1.1, 1.6)
USE = ("who drinks or washes", "how many", "each, a day", "together, a day")
USE_WIDTHS = (3.0, 1.4, 1.6, 1.8)
ROOFS, USES = 5, 5
DANGERS = ("never-enter", "ladders", "lids")


def handout_paper(answer: Plain, *, day: date, system: Show) -> Paper:
    """Two pages: this site worked, and the same left empty."""
    sizes = Sizes(system)
    blocks: list[PaperBlock] = [
        Lead("Area seen from above, times rain, times the share that arrives, is water."),
        paragraph(_unit(system), "The slope of a roof adds nothing: rain falls straight down."),
        Part(f"Worked: {answer['site']}"),
        _worked(answer, sizes),
        *(paragraph(_product(roof, answer, system=system)) for roof in _caught(answer)[:1]),
        heading("Month by month"),
        _months(answer, sizes),
        *_questions(answer),
        NewPage(),
        *_worksheet(answer, sizes),
    ]
    return paper_of(answer, blocks, named=NAMED, day=day, system=system)


def _unit(system: Show) -> str:
    if system == "metric":
        return "One millimetre of rain on one square metre is one litre."
    return f"One inch of rain on one square foot is {_gallons():.3f} gallons."


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
    head = ("roof", "finish", "area from above", "rain of a mean year", "share", "water a year")
    return ruled(head, lines, names=(0, 1))


def _product(roof: Plain, answer: Plain, *, system: Show) -> str:
    """The line of working with its figures as printed."""
    sizes = Sizes(system)
    area, rain = sizes.area(roof["plan_area_m2"]), sizes.depth(answer["rain"]["mean_year_mm"])
    unit = "" if system == "metric" else f" x {_gallons():.3f}"
    water = sizes.volume(roof["mean_year_l"])
    return (
        f"{roof['name'].capitalize()}: {area} x {rain} x {roof['net_share']:.2f}{unit} = about "
        f"{water}. The share is what is left after the roof is wetted, screens have spilled and "
        "the first flush is led away."
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
    head = ("month", "rain", "comes to the tank", "wanted", "given from the tank")
    return ruled(head, lines)


def _questions(answer: Plain) -> list[PaperBlock]:
    dry = count(answer["rain"]["longest_dry_days"], "day")
    asked = (
        "In which months comes less than is wanted? Where does the rest come from?",
        f"The longest run without rain on this record is {dry}. How much is used in that time?",
        "Would more roof help, or more tank? Why is that not the same everywhere?",
        "What is this water for, and what is it not for?",
    )
    return [heading("To think about"), *(marked("-", words) for words in asked)]


def _worksheet(answer: Plain, sizes: Sizes) -> list[PaperBlock]:
    told = " ".join(one["says"] for one in answer["cautions"] if one["code"] in DANGERS)
    return [
        Part("Your own roof"),
        Form(("Name, town", "Which roof, and what it is made of", "Rain of a mean year there")),
        Ledger(WORK, (("",) * len(WORK),) * ROOFS, WORK_WIDTHS, 7.5),
        paragraph(_unit(sizes.system), "Add the last column: ______________ a year."),
        heading("Who wants it"),
        Ledger(USE, (("",) * len(USE),) * USES, USE_WIDTHS, 7.5),
        paragraph("Together a day x days without rain = what the tank must hold: ______________."),
        heading("Share that a finish sheds, before screens and first flush"),
        _finishes(answer),
        Caution(told),
    ]


def _finishes(answer: Plain) -> Rows:
    """The finishes in two columns side by side."""
    told = [
        (one["name"], f"{one['share']:.2f}", f"{one['low']:.2f} to {one['high']:.2f}")
        for one in answer["lesson"]["finishes"]
    ]
    half = (len(told) + 1) // 2
    right = [*told[half:], ("", "", "")]
    lines = [(*one, *other) for one, other in zip(told[:half], right, strict=False)]
    return ruled(("finish", "share", "range") * 2, lines, names=(0, 3))
