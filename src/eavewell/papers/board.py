"""The paper of built systems for a board: how many work, what meters verify, what it costs."""

from collections.abc import Iterator, Mapping
from typing import Any

from eavewell.answers.shown import Sizes, count
from eavewell.answers.shown import day as in_words
from eavewell.papers.field_round import register_paper
from eavewell.papers.metered import MONTHS_IN_FULL, metered_words
from eavewell.papers.paper import Lead, Paper, Part
from eavewell.report.blocks import Block, Caution, heading, paragraph, ruled
from eavewell.report.cost import money
from eavewell.site.place import Show
from eavewell.tables.texts import words
from eavewell.units import read, show

Plain = Mapping[str, Any]
WORDS = words("built_systems")


def board_paper(answer: Plain) -> Paper:
    """The paper of a register; no system stands in it by its name."""
    lead = WORDS.say(
        "board.lead",
        sites=count(len(answer["sites"]), WORDS.say("board.one")),
        day=in_words(answer["day"]),
        heard=answer["heard_within_days"],
    )
    named = ("board", WORDS.say("board.title"))
    return register_paper(answer, tuple(_blocks(answer)), named=named, lead=(lead,))


def board_blocks(answer: Plain) -> list[Block]:
    """The same for the screen."""
    found = list[Block]()
    for one in _blocks(answer):
        if isinstance(one, Lead):
            found.append(paragraph(one.words, style="bold"))
        elif isinstance(one, Part):
            found.append(heading(one.words))
        else:
            found.append(one)
    return found


def _blocks(answer: Plain) -> Iterator[Block | Lead | Part]:
    sizes, few = Sizes(answer["show"]), answer["smallest_group"]
    whole = answer["groups"][0]
    yield Lead(_standing(whole, sizes, few=few))
    if whole["sites"] is not None:
        yield paragraph(*_water(whole, sizes, few=few))
        yield paragraph(*_cost(whole, sizes))
        yield paragraph(*_saved(answer, sizes.system))
        yield from (*_ages(answer, sizes), *_towns(answer, sizes), *_supplies(answer))
    yield Part(WORDS.say("board.part.cautions"))
    yield paragraph(
        WORDS.say("board.apart", few=few),
        WORDS.say("board.again", days=answer["again_within_days"]),
        WORDS.say("board.untaken"),
    )
    if answer.get("invented"):
        yield Caution(WORDS.say("board.invented"))
    yield Caution(WORDS.say("board.decides"))


def per_volume(per_m3: float | None, currency: str | None, *, system: Show) -> str:
    """A cost of water in words, such as 1,240 USD per acre-foot; a dash where it is not known."""
    if per_m3 is None or currency is None:
        return "-"
    unit = cost_unit(system)
    return f"{money(per_m3 * read(f'1 {unit}', 'volume') / 1000.0)} {currency} {_per(unit)}"


def cost_unit(system: Show) -> str:
    """The volume to which a cost is told."""
    return "acre-ft" if system == "us" else "m3"


def _per(unit: str) -> str:
    return WORDS.say("board.unit", volume=unit)


def much(litres: float, system: Show) -> str:
    """The water of many systems."""
    unit = ("acre-ft" if system == "us" else "m3") if litres >= 1e6 else ""
    return show(litres, "volume", system=system, unit=unit)


def _standing(whole: Plain, sizes: Sizes, *, few: int) -> str:
    if whole["sites"] is None:
        return WORDS.say("board.few", few=few)
    return WORDS.say(
        "board.work",
        working=whole["working"],
        sites=whole["sites"],
        stopped=whole["stopped"],
        unknown=whole["unknown"],
        low=sizes.share(whole["working_share_low"]),
        high=sizes.share(whole["working_share_high"]),
    )


def _water(whole: Plain, sizes: Sizes, *, few: int) -> Iterator[str]:
    if whole["rain_l"] is None or whole["used_share"] is None:
        yield WORDS.say("board.metered_none", few=few)
        return
    yield WORDS.say(
        "board.metered",
        sites=count(whole["metered_sites"], WORDS.say("board.one")),
        rain=much(whole["rain_l"], sizes.system),
        share=sizes.share(whole["used_share"]),
    )
    if whole["peak_month"] is not None:
        yield WORDS.say(
            "board.peak",
            month=MONTHS_IN_FULL[whole["peak_month"] - 1],
            volume=much(whole["peak_month_l"], sizes.system),
            day=much(whole["peak_day_l"], sizes.system),
        )


def _cost(whole: Plain, sizes: Sizes) -> Iterator[str]:
    if whole["verified_cost_per_m3"] is not None:
        sites = count(whole["verified_cost_sites"], WORDS.say("board.one"))
        yield WORDS.say("board.cost", sites=sites, cost=_told(whole, "verified", sizes=sizes))
    if whole["modelled_cost_per_m3"] is not None:
        sites = count(whole["modelled_cost_sites"], WORDS.say("board.one"))
        yield WORDS.say("board.modelled", sites=sites, cost=_told(whole, "modelled", sizes=sizes))


def _told(one: Plain, how: str, *, sizes: Sizes) -> str:
    return per_volume(one[f"{how}_cost_per_m3"], one[f"{how}_currency"], system=sizes.system)


def _lines(answer: Plain, by: str) -> list[Plain]:
    return [one for one in answer["groups"] if one["by"] == by]


def _saved(answer: Plain, system: Show) -> Iterator[str]:
    """Mains water saved: by its meters before and after, else not verified."""
    if answer["mains_homes"] is None:
        yield WORDS.say("board.saved")
        return
    start = "mains_"
    told = {key.removeprefix(start): answer[key] for key in answer if key.startswith(start)}
    yield from metered_words(told, system)


def _ages(answer: Plain, sizes: Sizes) -> Iterator[Block | Part]:
    rows = [
        (
            one["group"],
            _number(one["sites"]),
            _works(one, sizes),
            "-" if one["used_share"] is None else sizes.share(one["used_share"]),
            _amount(one, "verified", sizes=sizes),
            _amount(one, "modelled", sizes=sizes),
        )
        for one in _lines(answer, "age")
    ]
    head = WORDS.say("board.head_age", unit=_per(cost_unit(sizes.system)))
    if rows:
        yield Part(WORDS.say("board.part.age"))
        yield ruled(head.split("|"), rows)


def _amount(one: Plain, how: str, *, sizes: Sizes) -> str:
    per_m3 = one[f"{how}_cost_per_m3"]
    if per_m3 is None:
        return "-"
    return money(per_m3 * read(f"1 {cost_unit(sizes.system)}", "volume") / 1000.0)


def _towns(answer: Plain, sizes: Sizes) -> Iterator[Block | Part]:
    figures = ("overdue", "done_again", "failed_sites", "expired_sites")
    rows = [
        (
            one["group"],
            _number(one["sites"]),
            _works(one, sizes),
            *(_number(one[name]) for name in figures),
        )
        for one in _lines(answer, "town")
    ]
    if rows:
        yield Part(WORDS.say("board.part.town"))
        yield ruled(WORDS.several("board.head_town"), rows)


def _works(one: Plain, sizes: Sizes) -> str:
    if one["sites"] is None:
        return "-"
    low, high = (sizes.share(one[f"working_share_{end}"]) for end in ("low", "high"))
    return low if low == high else WORDS.say("board.range", low=low, high=high)


def _number(value: int | None) -> str:
    return WORDS.say("board.few_cell") if value is None else f"{value:,}"


def _supplies(answer: Plain) -> Iterator[Block | Part]:
    shared = [one for one in answer["sites"] if one["second_supply"] is not None]
    if len(shared) < answer["smallest_group"]:
        return
    second = [one for one in shared if one["second_supply"]]
    yield Part(WORDS.say("board.part.supply"))
    if not second:
        yield paragraph(WORDS.say("board.supply_none", sites=len(shared)))
        return
    yield paragraph(
        WORDS.say(
            "board.supply",
            second=len(second),
            sites=len(shared),
            due=sum(bool(one["backflow_overdue_days"]) for one in second),
            none=sum(one["backflow_due"] is None for one in second),
        )
    )
