"""The things of a design by kind, each with all that the answer says of it."""

from collections.abc import Iterable, Iterator
from typing import Any

Plain = dict[str, Any]
Joined = dict[str, list[Plain]]


def joined(answer: Plain) -> Joined:
    """Roofs, pipes, tanks, sumps, lifts, make-ups, lines, outlets, filters, lamps, trucks, site."""
    things, water, trial = answer["things"], answer["hydraulics"], answer["trial"]
    levels = _levels(water["levels"])
    tanks = [
        _by_name(water["tanks"], one)
        | _by_name(trial["tanks"], one)
        | one
        | {"levels": levels.get(f"{'sump' if one['is_sump'] else 'tank'} '{one['name']}'", {})}
        for one in things["tanks"]
    ]
    lines = list(_lines(answer, levels))
    lifts = [_by_name(water["lifts"], one) | one for one in things["lifts"]]
    return {
        "site": [_site(answer)],
        "roof": [one for one in things["roofs"] if one["drains_to"]],
        "flush": water["first_flush"],
        "pipe": list(_pipes(answer, levels)),
        "tank": [one for one in tanks if not one["is_sump"]],
        "sump": [one for one in tanks if one["is_sump"]],
        "lift": [one | _at(one) for one in lifts if one["from"] != "mains"],
        "make-up": [
            one | {"tank": _by_name(tanks, {"name": one["to"]})}
            for one in lifts
            if one["from"] == "mains"
        ],
        "line": lines,
        "outlet": [
            one | {"bucket_l": trial["bucket_l"], "several": one["count"] > 1}
            for one in trial["outlets"]
        ],
        "passed": [one | {"line": line["name"]} for line in lines for one in line["in_line"]],
        "lamp": list(_lamps(answer)),
        "truck": things["hauled"],
    }


def _site(answer: Plain) -> Plain:
    trial = {key: answer["trial"][key] for key in ("drain_test_m", "drain_test_min")}
    return trial | {
        "name": answer["site"],
        "datum": answer["hydraulics"]["datum"],
        "mains": answer["things"]["make_up"],
        "drinks": any(line["drinks"] for line in answer["treatment"]["lines"]),
    }


def _lines(answer: Plain, levels: dict[str, Plain]) -> Iterator[Plain]:
    for one in answer["things"]["lines"]:
        whole = _by_name(answer["hydraulics"]["service"], one)
        treated = _by_name(answer["treatment"]["lines"], one)
        flush = {
            f"flush_{key}": value
            for flush in answer["treatment"]["upkeep"]["flush"]
            if flush["line"] == one["name"]
            for key, value in flush.items()
        }
        outlets = {"outlets": one["outlets"], "levels": levels.get(f"line '{one['name']}'", {})}
        tried = _by_name(answer["trial"]["lines"], one)
        drinks = {"drinks": treated.get("drinks"), "shut_valve": treated.get("shut_valve")}
        yield whole | flush | tried | one | outlets | drinks


def _pipes(answer: Plain, levels: dict[str, Plain]) -> Iterator[Plain]:
    water = answer["hydraulics"]["conveyance"]
    trial = {key: answer["trial"][key] for key in ("drain_test_m", "drain_test_min")}
    for one in answer["things"]["pipes"]:
        fall = _by_name(water["dry"], one).get("fall")
        kind = {"fall": fall, "buried": bool(one["cover_m"]), "dry": not one["held_full"]}
        yield one | kind | trial | {"levels": levels.get(f"pipe '{one['name']}'", {})}


def _lamps(answer: Plain) -> Iterator[Plain]:
    for line in answer["treatment"]["lines"]:
        for lamp in line["lamps"]:
            told = {"line": line["name"], "shut_valve": line["shut_valve"]}
            yield lamp | told | {"unlit_l": line["unlit_l"]}


def _at(lift: Plain) -> Plain:
    """The levels of a lift's duty by their names."""
    return {f"at_{level['at']}": level for level in lift.get("levels", ())}


def _by_name(things: Iterable[Plain], one: Plain) -> Plain:
    return next((thing for thing in things if thing["name"] == one["name"]), {})


def _levels(levels: Iterable[Plain]) -> dict[str, Plain]:
    found: dict[str, Plain] = {}
    for one in levels:
        found.setdefault(one["thing"], {})[one["point"]] = one["level_m"]
    return found
