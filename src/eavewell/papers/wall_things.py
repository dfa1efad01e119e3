"""The things that cards and the fault page speak of, by kind, with all that the answer says."""

from typing import Any

from eavewell.answers.shown import Sizes
from eavewell.papers.joined import Joined, joined
from eavewell.tables.texts import words

WORDS = words("wall_things")
Plain = dict[str, Any]


def wall_things(answer: Plain, sizes: Sizes) -> Joined:
    """The things of a design and what only cards speak of: pumped lines, reserves, screens."""
    found, water = joined(answer), answer["hydraulics"]
    pumped = [one for one in found["line"] if one.get("pump")]
    cards = [one | _rain(one, sizes) for one in answer["cards"]["tanks"]]
    boil = {"boil_minutes": answer["cards"]["boil_minutes"]}
    return found | {
        "site": [one | boil for one in found["site"]],
        "card": cards,
        "pumped": pumped,
        "gravity": [line for line in water["gravity"] if line["outlets"] or line["laterals"]],
        "tanked": [one for one in pumped if _tanked(one)],
        "budgeted": [one for one in pumped if one.get("budget", {}).get("outlet")],
        "linked": [one for one in found["tank"] if one["link_valves"]],
        "reserve": [one for one in cards if one["fire_reserve_l"]],
        "no reserve": [one for one in cards if not one["fire_reserve_l"]],
        "screen": water["eaves"]["screens"],
        "gutter": water["eaves"]["runs"],
        "main": water["conveyance"]["mains"],
        "lateral": [one for line in water["gravity"] for one in line["laterals"]],
        "trough": [one for line in water["gravity"] for one in line["troughs"]],
        "sumped": [one for one in water["lifts"] if one["roof_m2"]],
        "lift": [one | _starts(one) for one in found["lift"]],
        "shock": answer["treatment"]["upkeep"]["shock"],
        "roof": [one for one in found["roof"] if one["drains_to"]],
    }


def _tanked(line: Plain) -> bool:
    return (line.get("pressure_tank") or {}).get("gives_l") is not None


def _rain(tank: Plain, sizes: Sizes) -> Plain:
    """What a rain brings, in words."""
    name, depth = {"us": WORDS.several("rain.inch_inch"), "metric": ("ten_mm", "10 mm")}[
        sizes.system
    ]
    brought_l = tank[f"{name}_of_rain_l"]
    return {
        "rain_of": WORDS.say("rain", depth=depth, brought=sizes.volume(brought_l))
        if brought_l
        else None
    }


def _starts(lift: Plain) -> Plain:
    most = lift.get("most_starts_per_hour")
    return {"starts": None if most is None else f"{most:.1f}"}
