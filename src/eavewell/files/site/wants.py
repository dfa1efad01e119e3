"""What a use wants, from its part of the site file; usual values come from the tables."""

from collections.abc import Iterator, Mapping

from eavewell.files.site.field_values import near
from eavewell.files.site.parts import Part
from eavewell.site.calendar import ALWAYS, Calendar
from eavewell.site.want import Animals, Cooler, Fixture, Household, People, Plants, Want, Washing
from eavewell.tables import rows, table


def wants_of(part: Part) -> tuple[Want, ...]:
    """Every want of a use; a want without its own days has those of the use."""
    days = calendar_of(part["when"], otherwise=ALWAYS)
    return (
        *_people(part, days),
        *(_guests(one, days) for one in part["guests"]),
        *(_animals(one, days) for one in part["animals"]),
        *(_plants(one, days) for one in part["plants"]),
        *(
            Washing(one["name"] or "", one["each"] or 0.0, _days(one, days))
            for one in part["washing"]
        ),
        *(_cooler(one, days) for one in (part["cooler"],) if one is not None),
    )


def calendar_of(part: Part | None, *, otherwise: Calendar) -> Calendar:
    """The days of a calendar."""
    if part is None:
        return otherwise
    return Calendar(
        weekdays=part["weekdays"] or frozenset(),
        months=part["months"] or frozenset(),
        seasons=part["seasons"] or (),
        spans=part["dates"] or (),
    )


def _days(part: Part, of_the_use: Calendar) -> Calendar:
    return calendar_of(part["when"], otherwise=of_the_use)


def _people(part: Part, days: Calendar) -> Iterator[Want]:
    given = {"people", "each", "fixtures"} & part.given
    if not given:
        return
    if "people" not in given:
        part.fault(f"{' and '.join(sorted(given))} needs people: say how many.", min(given))
    elif part.one_of("each", "fixtures") == "each":
        yield People(part["people"] or 0.0, part["each"] or 0.0, days)
    else:
        fixtures = tuple(_fixture(one) for one in part["fixtures"])
        yield Household(part["people"] or 0.0, fixtures, days)


def _fixture(part: Part) -> Fixture:
    usual = {row["name"]: row for row in rows("fixtures")}.get(part["name"] or "", {})
    if {"minutes", "flow"} & part.given:
        for other in sorted({"times", "each"} & part.given):
            part.fault(f"{other} and minutes with flow say the same thing: keep one.", other)
        for missing in sorted({"minutes", "flow"} - part.given):
            part.fault(f"minutes and flow go together: add {missing}.")
        return Fixture(part["name"] or "", part["minutes"] or 0.0, 60.0 * (part["flow"] or 0.0))
    return Fixture(
        part["name"] or "",
        _or_usual(part, "times", usual=usual.get("times_per_person_day", "")),
        _or_usual(part, "each", usual=usual.get("value", "")),
    )


def _or_usual(part: Part, field: str, *, usual: str) -> float:
    if field not in part.given and not usual:
        names = tuple(row["name"] for row in rows("fixtures"))
        hint = near(part["name"] or "", names)
        part.fault(f"{field} is not told and the table has no usual one: write {field}; or {hint}")
    return float(usual or 0.0) if part[field] is None else float(part[field])


def _guests(part: Part, days: Calendar) -> People:
    return People(part["count"] or 0.0, part["each"] or 0.0, _days(part, days))


def _animals(part: Part, days: Calendar) -> Animals:
    return Animals(
        species=part["species"] or "",
        head=part["head"] or 0.0,
        weight_kg=part["weight"],
        milk_kg_day=part["milk"],
        each_l_day=part["each"],
        calendar=_days(part, days),
    )


def _plants(part: Part, days: Calendar) -> Plants:
    by_kind, by_soil = part.one_of("kind", "factor"), part.one_of("soil", "soil_water")
    by_method = part.one_of("method", "efficiency")
    return Plants(
        name=part["name"] or "",
        area_m2=part["area"] or 0.0,
        plant_factor=_from(part, by_kind, names={"kind": "plant_factors"}),
        root_m=_of_kind(part, "root", subject="root_depth"),
        soil_water_mm_m=_from(part, by_soil, names={"soil": "soil_water"}),
        depletion_share=_of_kind(part, "depletion", subject="depletion"),
        efficiency=_from(part, by_method, names={"method": "irrigation_efficiency"}),
        calendar=_days(part, days),
    )


def _from(part: Part, field: str, *, names: Mapping[str, str]) -> float:
    """A number as given, or the value of the row it names."""
    if not field or part[field] is None:
        return 0.0
    return table(names[field])[part[field]].value if field in names else float(part[field])


def _of_kind(part: Part, field: str, *, subject: str) -> float:
    if field in part.given:
        return part[field] or 0.0
    usual = table(subject).get(part["kind"] or "")
    if usual is None:
        known = ", ".join(table(subject))
        part.fault(f"{field} is not told, and only these kinds have a usual one: {known}.")
        return 0.0
    return usual.value


def _cooler(part: Part, days: Calendar) -> Cooler:
    above_c = part["above"]
    return Cooler(
        each_l_day=_from(part, part.one_of("each", "kind"), names={"kind": "cooler"}),
        above_c=table("cooler_start")["above"].value if above_c is None else above_c,
        calendar=_days(part, days),
    )
