"""The part of the report on the rules of the place: what is asked, done, open and next due."""

from typing import Any

from eavewell.answers.shown import Sizes, count, day, listed
from eavewell.report.blocks import GAP, Block, heading, marked, paragraph, ruled
from eavewell.units import show

Plain = dict[str, Any]
CHECK_YOURS = "Model rules, check yours with the authority having jurisdiction."


def rules_section(answer: Plain, sizes: Sizes) -> list[Block]:
    """Triggers, setbacks, the dated checklist and what is looked at next."""
    rules = answer["rules"]
    return [
        heading("Rules of the place"),
        paragraph(_whose(rules)),
        *_triggers(rules, sizes),
        *_setbacks(rules, sizes),
        *_checklist(rules),
        *_inspections(rules),
        GAP,
        paragraph(_end(rules), style="italic"),
    ]


def _whose(rules: Plain) -> str:
    if rules["is_model"]:
        return CHECK_YOURS
    return f"{rules['authority']}, edition {rules['edition']}."


def _triggers(rules: Plain, sizes: Sizes) -> list[Block]:
    """What is asked for and by what; things that ask for the same stand together."""
    asked: dict[str, list[str]] = {}
    for one in rules["triggers"]:
        if one["met"]:
            asked.setdefault(one["asks"], []).extend(_met(one, sizes))
    if not asked:
        return []
    lines = [marked("-", f"{listed(dict.fromkeys(by))}: {what}.") for what, by in asked.items()]
    return [GAP, *lines]


def _met(one: Plain, sizes: Sizes) -> list[str]:
    if one["above"] is None:
        return list(one["things"])
    measured, above = (_amount(one[key], one["unit"], sizes=sizes) for key in ("measured", "above"))
    return [f"{listed(one['things'])} ({measured}, above {above})"]


def _amount(value: float, unit: str, *, sizes: Sizes) -> str:
    return sizes.volume(value) if unit == "L" else f"{value:.2g} times as high as wide"


def _setbacks(rules: Plain, sizes: Sizes) -> list[Block]:
    if not rules["setbacks"]:
        return []
    states = {True: "kept", False: "too near", None: "not given"}
    rows = [
        (
            one["of"],
            one["to"],
            show(one["least_m"], "length", system=sizes.system),
            "-" if one["known_m"] is None else show(one["known_m"], "length", system=sizes.system),
            states[one["kept"]],
        )
        for one in rules["setbacks"]
    ]
    return [GAP, ruled(("setback of", "to", "least", "is", ""), rows, names=(0, 1, 4))]


def _checklist(rules: Plain) -> list[Block]:
    """The papers with their days; columns of days only where there is one."""
    papers = [*rules["papers"], *(_other(one) for one in rules["other_papers"])]
    if not papers:
        return []
    days = [key for key in ("due", "done") if any(one[key] for one in papers)]
    rows = [
        (one["name"], one["when"], one["state"], *(day(one[key]) for key in days)) for one in papers
    ]
    head = ("paper", "asked for", "state", *({"due": "by", "done": "given"}[key] for key in days))
    notes = [one["by"] for one in papers]
    return [GAP, ruled(head, rows, names=(0, 1, 2), notes=notes)]


def _other(one: Plain) -> Plain:
    return {**one, "when": "not asked for", "state": "kept", "due": None}


def _inspections(rules: Plain) -> list[Block]:
    if not rules["inspections"]:
        return []
    dated = any(one["next"] for one in rules["inspections"])
    rows = [
        (
            one["what"],
            count(one["every_days"], "day"),
            *([day(one["next"])] if dated else []),
        )
        for one in rules["inspections"]
    ]
    head = ("looked at", "every", *(["next"] if dated else []))
    return [GAP, ruled(head, rows, names=(0,))]


def _end(rules: Plain) -> str:
    asked = len(rules["papers"])
    done = sum(one["state"] == "done" for one in rules["papers"])
    ends = "The authority having jurisdiction decides; nothing here is its approval."
    if not asked:
        return ends
    if rules["ready"]:
        return f"Every paper of the list is dated. {ends}"
    return f"Not ready: {done} of {count(asked, 'paper')} done in time. {ends}"
