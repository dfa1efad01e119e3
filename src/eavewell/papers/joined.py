"""The things of a design by kind, each with all that the answer says of it."""

from collections.abc import Iterable, Iterator
from typing import Any

from eavewell.papers.joined_checks import joined_checks

Plain = dict[str, Any]
Joined = dict[str, list[Plain]]


def joined(answer: Plain) -> Joined:
    """Every kind of thing that a row of a table may be of, from the roofs to the whole answer."""
    things, water, trial = answer["things"], answer["hydraulics"], answer["trial"]
    levels = _levels(water["levels"])
    lines = list(_lines(answer, levels))
    lifts = [_by_name(water["lifts"], one) | one for one in things["lifts"]]
    tanks = list(_tanks(answer, levels))
    return joined_checks(answer) | {
        "site": [_site(answer)],
        **_caught(answer),
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


def _caught(answer: Plain) -> Joined:
    """Roofs whose water is caught, their planes, gutters and screens."""
    eaves = answer["hydraulics"]["eaves"]
    sealants = [part["joins"] for part in answer["cost"]["parts"] if part["part"] == "sealant"]
    roofs = [one for one in answer["things"]["roofs"] if one["drains_to"]]
    areas = {one["name"]: one["plan_area_m2"] for one in answer["roofs"]}
    more = {"sealant": sealants[0] if sealants else "", "method": eaves["method"]}
    return {
        "roof": [one | more | {"plan_area_m2": areas[one["name"]]} for one in roofs],
        "plane": [one | {"roof": roof["name"]} for roof in roofs for one in roof["planes"]],
        "gutter": _of_roofs(roofs, "gutters", found=eaves["runs"], more=more),
        "screen": _of_roofs(roofs, "screens", found=eaves["screens"], more=more),
    }


def _of_roofs(roofs: list[Plain], key: str, *, found: list[Plain], more: Plain) -> list[Plain]:
    return [
        _by_name((run for run in found if run["roof"] == roof["name"]), one)
        | one
        | more
        | {"roof": roof["name"]}
        for roof in roofs
        for one in roof[key]
    ]


def _tanks(answer: Plain, levels: dict[str, Plain]) -> Iterator[Plain]:
    for one in answer["things"]["tanks"]:
        kind = "sump" if one["is_sump"] else "tank"
        found = levels.get(f"{kind} '{one['name']}'", {})
        water = _by_name(answer["hydraulics"]["tanks"], one)
        yield water | _by_name(answer["trial"]["tanks"], one) | one | {"levels": found}


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
        tried = _by_name(answer["trial"]["lines"], one)
        more = {
            "drinks": treated.get("drinks"),
            "shut_valve": treated.get("shut_valve"),
            "outlet_names": [outlet["name"] for outlet in one["outlets"]],
            "levels": levels.get(f"line '{one['name']}'", {}),
        }
        yield whole | flush | tried | one | more


def _pipes(answer: Plain, levels: dict[str, Plain]) -> Iterator[Plain]:
    water = answer["hydraulics"]["conveyance"]
    trial = {key: answer["trial"][key] for key in ("drain_test_m", "drain_test_min")}
    wet = [pipe for main in water["mains"] for pipe in main["pipes"]]
    for one in answer["things"]["pipes"]:
        run = _by_name(water["dry"], one) | _by_name(wet, one) | _by_name(water["mains"], one)
        fails = run.get("fails_from_mm_h", run.get("spills_from_mm_h"))
        kind = {"buried": bool(one["cover_m"]), "dry": not one["held_full"]}
        told = {"fall": run.get("fall"), "holds_l": run.get("holds_l"), "fails_from_mm_h": fails}
        yield one | kind | told | trial | {"levels": levels.get(f"pipe '{one['name']}'", {})}


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
