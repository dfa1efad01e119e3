"""What the design was checked for, by kind: uses, structure, setbacks, barriers, the whole."""

from collections import Counter
from typing import Any

from eavewell.answers.shown import listed
from eavewell.tables.texts import words

WORDS = words("owners_manual")
Plain = dict[str, Any]


def joined_checks(answer: Plain) -> dict[str, list[Plain]]:
    """Uses with what they got, screened bases, barriers by organism, the answer itself."""
    shares = {one["name"]: one for one in answer["storage"]["uses"]}
    treatment = answer["treatment"]
    return {
        "answer": [answer | {"open_checks": _open(answer)}],
        "use": [shares[one["name"]] | one for one in answer["demand"]],
        "structure": answer["structure"]["tanks"],
        "setback": answer["rules"]["setbacks"],
        "units": [
            one | {"line": line["name"]}
            for line in answer["hydraulics"]["service"]
            for one in line["peak"]["by_fixture_units"]
        ],
        "against": [
            one | {"line": line["name"], "asked": _asked(one)}
            for line in treatment["lines"]
            for one in line["against"]
        ],
        "lamp": [
            lamp
            | {"line": line["name"], "shut_valve": line["shut_valve"], "unlit_l": line["unlit_l"]}
            for line in treatment["lines"]
            for lamp in line["lamps"]
        ],
        "contact": [line for line in treatment["lines"] if line["contact"]["name"]],
        "fixture": [one for line in answer["things"]["lines"] for one in line["outlets"]],
        "shock": treatment["upkeep"]["shock"],
    }


def _open(answer: Plain) -> str:
    """How many findings ask for something, by level."""
    found = Counter(one["level"] for one in answer["findings"])
    told = [f"{found[level]} {level}" for level in ("stop", "fix", "watch") if found[level]]
    return listed(told) if told else "none"


def _asked(one: Plain) -> str:
    return (
        WORDS.say("checks.asked.none_stated")
        if one["target_logs"] is None
        else f"{one['target_logs']:g}"
    )
