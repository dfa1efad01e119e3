"""Faults that only show when the parts of a site file are laid side by side."""

import difflib
from collections.abc import Iterable

from eavewell.files.site.field_values import near
from eavewell.files.site.log import check_log
from eavewell.files.site.parts import Part


def check_site(top: Part) -> None:
    """Note every name that is doubled, unknown or leads round in a circle."""
    stores = (*top["tank"], *top["sump"])
    names = _names(stores)
    for section, what in (("roof", "a roof"), ("tank", "a tank"), ("use", "a use")):
        if section in top.given and not top[section]:
            top.fault(f"the site has no {section}: {what} is needed.", section)
    for parts in (top["roof"], stores, top["use"], top["lift"], top["pipe"], top["line"]):
        _check_doubles(parts)
    _check_spills(stores, names)
    for roof in top["roof"]:
        _check_known(roof, "drains_to", names=names)
    for lift in top["lift"]:
        _check_lift(lift, names)
    for truck in top["hauled"]:
        _check_known(truck, "to", names=names)
    for use in top["use"]:
        _check_use(use, names, hauled_to=_hauled_to(top))
    _check_pipes(top, names)
    for line in top["line"]:
        _check_known(line, "from", names=names)
        _check_served(line, _names(top["use"]))
        _check_doubles((*line["outlets"], *line["laterals"], *line["troughs"]))
    _check_plan(top["plan"], stores=names, pipes=_names(top["pipe"]))
    _check_log(top)
    for name, goal in (top["goal"] or {}).items():
        if name not in _names(top["use"]):
            goal.fault(f"there is no use '{name}': {near(name, _names(top['use']))}")


def _check_plan(plan: Part | None, *, stores: tuple[str, ...], pipes: tuple[str, ...]) -> None:
    for what, known in (("tank", stores), ("pipe", pipes)):
        for one in plan[what] if plan is not None else ():
            if one["of"] and one["of"] not in known:
                one.fault(f"of: there is no {what} '{one['of']}': {near(one['of'], known)}", "of")


def _check_log(top: Part) -> None:
    if top["log"] is None:
        return
    _check_doubles(top["log"]["gauge"])
    known = {name: _names(top[name]) for name in ("tank", "sump", "line", "lift", "use")}
    known["line.in_line"] = _names(one for line in top["line"] for one in line["in_line"])
    check_log(top["log"], tanks=known["tank"], known=known)


def _names(parts: Iterable[Part]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(part["name"] for part in parts if part["name"]))


def _check_doubles(parts: Iterable[Part]) -> None:
    seen: set[str] = set()
    for part in parts:
        if part["name"] in seen:
            part.fault("the name is used twice: give each thing its own name.", "name")
        seen.add(part["name"] or "")


def _check_known(part: Part, field: str, *, names: tuple[str, ...]) -> None:
    if part[field] and part[field] not in names:
        part.fault(f"{field}: there is no tank '{part[field]}': {near(part[field], names)}", field)


def _check_lift(lift: Part, names: tuple[str, ...]) -> None:
    _check_known(lift, "to", names=names)
    if lift["from"] != "mains":
        _check_known(lift, "from", names=names)
    if lift["from"] and lift["from"] == lift["to"]:
        lift.fault(f"it lifts from '{lift['from']}' to itself.", "to")


def _check_pipes(top: Part, stores: tuple[str, ...]) -> None:
    pipes, roofs = _names(top["pipe"]), _names(top["roof"])
    for pipe in top["pipe"]:
        for roof in pipe["carries"] or ():
            if roof not in roofs:
                pipe.fault(f"carries: there is no roof '{roof}': {near(roof, roofs)}", "carries")
        if pipe["to"] and pipe["to"] not in (*stores, *pipes):
            hint = near(pipe["to"], (*stores, *pipes))
            pipe.fault(f"to: there is no tank or pipe '{pipe['to']}': {hint}", "to")
    onward = {pipe["name"]: pipe["to"] for pipe in top["pipe"]}
    for pipe in top["pipe"]:
        way = pipe["to"]
        for _ in pipes:
            way = onward.get(way)
        if way in onward:
            pipe.fault("the pipes run in a circle: water must reach a tank.", "to")


def _check_served(line: Part, uses: tuple[str, ...]) -> None:
    for name in line["serves"] or ():
        if name not in uses:
            line.fault(f"serves: there is no use '{name}': {near(name, uses)}", "serves")
    for part in (*line["laterals"], *line["troughs"]):
        if part["waters"] and part["waters"] not in uses:
            part.fault(f"waters: there is no use '{part['waters']}': {near(part['waters'], uses)}")


def _hauled_to(top: Part) -> set[str]:
    """Every store that hauled water reaches, by truck or on from there by lifts."""
    reached, before = {truck["to"] for truck in top["hauled"]}, set[str]()
    while reached != before:
        before = set(reached)
        reached |= {lift["to"] for lift in top["lift"] if lift["from"] in reached}
    return reached


def _check_use(use: Part, names: tuple[str, ...], *, hauled_to: set[str]) -> None:
    for name in use["draws_from"] or ():
        if name not in names:
            use.fault(f"draws_from: there is no tank '{name}': {near(name, names)}", "draws_from")
    if use["fallback"] == "hauled" and not hauled_to & set(use["draws_from"] or ()):
        use.fault(
            "its fallback is hauled water, but no [[hauled]] brings it to a tank it draws from.",
            "fallback",
        )


def _check_spills(stores: tuple[Part, ...], names: tuple[str, ...]) -> None:
    if len(names) < len(stores):
        return  # two stores of one name: there is no telling where the water goes
    below = {part["name"]: part["overflow_to"] for part in stores if part["overflow_to"] in names}
    for part in stores:
        _check_spill_word(part, names)
        way = [part["name"]]
        while below.get(way[-1]) and way[-1] not in way[:-1]:
            way.append(below[way[-1]])
        # told once, at the first tank of the circle in the file
        if len(way) > 1 and way[-1] == way[0] and way[0] == min(way, key=names.index):
            part.fault(
                f"the overflow runs in a circle: {' to '.join(way)}; water must leave somewhere.",
                "overflow_to",
            )


def _check_spill_word(part: Part, names: tuple[str, ...]) -> None:
    to = part["overflow_to"]
    if to and to not in names and (like := difflib.get_close_matches(to, names, 1, 0.75)):
        part.fault(
            f"overflow_to: '{to}' is no store, but looks like '{like[0]}': write that, or a place "
            "in other words.",
            "overflow_to",
        )
