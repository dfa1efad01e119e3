"""The layout of each page's data as a JSON schema: every key required, none else allowed."""

from collections.abc import Iterator
from typing import Any

Form = dict[str, Any]
_KINDS = {"string": "text", "number": "number", "integer": "whole", "boolean": "truth"}


def told(form: Form, key: str = "") -> Iterator[dict[str, str]]:
    """Every key of a layout as a row of a table: its kind, unit and meaning.

    `[]` after a key marks a list, `?` after a kind that it may be null.
    """
    form = form["anyOf"][0] if "anyOf" in form else form
    if "properties" in form:
        for name, inner in form["properties"].items():
            yield from told(inner, f"{key}.{name}" if key else name)
    elif form.get("type") == "array":
        yield from told(form["items"], f"{key}[]")
    else:
        unit, meaning = form.get("unit", ""), form["description"]
        yield {"key": key, "type": _kind(form), "unit": unit, "meaning": meaning}


def _kind(form: Form) -> str:
    types = form.get("type", "string")
    types = [types] if isinstance(types, str) else types
    words = " or ".join(_KINDS[one] for one in types if one != "null")
    words = "date" if form.get("format") == "date" else words
    return words + ("?" if "null" in types else "")


def sites() -> Form:
    """Of the register."""
    line = record(
        name=text("Name of its folder, which stands in its address"),
        site=text("Name of the site"),
        place=or_null(text("Where it lies, as printed")),
        supplied_share=or_null(number("Share of the wanted water supplied, 0 to 1", "share")),
        longest_short_days=or_null(whole("Longest run of days that fell short", "days")),
        longest_short_from=or_null(day("First day of it")),
        longest_short_to=or_null(day("Last day of it")),
        invented=or_null(truth("Whether its rain is that of an invented climate")),
        findings=or_null(whole("Findings to mend")),
        faults=list_of(text("What keeps the site from being worked out")),
        log=truth("Whether a log was begun, here or where the site file says"),
        last_reading=or_null(day("Day of the last reading")),
    )
    return record(sites=list_of(line))


def papers() -> Form:
    """Of the papers."""
    return record(
        papers=list_of(record(file=text("Name of the file"), bytes=whole("Its size", "bytes")))
    )


def versions() -> Form:
    """Of the versions side by side; lists with one entry a version are in the order of columns."""
    column = record(
        name=text("What the version is called"),
        now=truth("Whether it is the site as it stands"),
        as_now=truth("Whether it is kept and says the same as the site"),
        faults=list_of(text("What keeps it from being worked out")),
    )
    field = record(
        field=list_of({"type": ["string", "integer"], "description": "A step down to the field"}),
        label=text("The same in words"),
        values=list_of(text("As each version says it, long decimals rounded; else empty")),
    )
    result = record(
        result=text("Which one"),
        label=text("The same in words"),
        values=list_of(or_null(number("Of each version, in SI units"))),
        words=list_of(text("The same as printed; empty where it is not worked out")),
        best=list_of(whole("Row of a version that does best, counted from 0")),
        says=text("Which does better, in words"),
    )
    return record(columns=list_of(column), differs=list_of(field), results=list_of(result))


def rain() -> Form:
    """Of every day of the record."""
    spell = record(
        **{
            "use": text("Which use went short"),
            "from": day("First day that fell short"),
            "to": day("Last day that fell short"),
            "short_days": whole("Days that fell short", "days"),
            "missing_l": number("What was missing", "L"),
        }
    )
    return record(
        **{
            "from": day("First day of the record"),
            "to": day("Last day of the record"),
            "record": text("What the record is called"),
            "invented": truth("Whether no gauge measured it"),
            "rain_mm": list_of(number("Rain of each day", "mm")),
            "level_l": list_of(whole("Water in all stores at the end of each day", "L")),
            "usable_l": number("What all stores can give", "L"),
            "spells": list_of(spell),
        }
    )


def field_sheet() -> Form:
    """Of what a visit asks."""
    item = record(
        item=text("Name of the item on the sheet"),
        of=text("Part that it is about; empty for the site as a whole"),
        question=text("What is asked"),
        value=text("What the site file says, as written; empty where it is unknown"),
        asked=truth("Whether it is to be found out, not only to be checked"),
    )
    return record(stops=list_of(record(stop=text("Where one stands"), items=list_of(item))))


def trace() -> Form:
    """Of what is set out on the sheet of the plan."""
    return record(
        unit={"enum": ["ft", "m"], "description": "Unit of a bare number on the sheet"},
        metre=number("Length of that unit", "m"),
        version=text("Mark of the site file's text"),
        north=text("Degrees clockwise from up, as written; empty where it is unknown"),
        things=list_of(_thing()),
        underlay={"anyOf": [_underlay(), {"type": "object", "maxProperties": 0}]},
    )


def _thing() -> Form:
    return record(
        kind={"enum": ["plane", "tank", "pipe", "tree", "property"], "description": "What it is"},
        of=text("Its name"),
        roof=whole("Row of its roof in the file, counted from 0; -1 for none"),
        plane=whole("Row of its plane in the roof, counted from 0; -1 for the whole roof"),
        points=list_of(_pair(text("Along the base line; or how far left or right of it"))),
        points_m=list_of(_pair(number("Along the base line; or to its left", "m"))),
        across=text("Width of a tree's crown, as written"),
        across_m=or_null(number("The same", "m")),
        area_m2=or_null(number("Area as seen from above", "m2")),
        area=text("The same as printed"),
        sides=list_of(text("Length of each side, as printed")),
        length_m=or_null(number("Length of the way as seen from above", "m")),
        length=text("The same as printed"),
        right=list_of(truth("Whether each corner is a right angle")),
        says=text("What is wrong with it; empty where nothing is"),
    )


def _underlay() -> Form:
    return record(
        wide_px=whole("Width of the picture", "px"),
        high_px=whole("Height of the picture", "px"),
        m_per_px=number("Its scale", "m/px"),
        scaled=truth("Whether a distance was told"),
        left_m=number("Where its lower left corner lies, along", "m"),
        low_m=number("Where its lower left corner lies, to the left", "m"),
    )


def record(**fields: Form) -> Form:
    """Keys, all of them required and none else allowed."""
    required = {"required": list(fields), "additionalProperties": False}
    return {"type": "object", "properties": fields} | required


def list_of(one: Form) -> Form:
    """Any number of one form."""
    return {"type": "array", "items": one}


def _pair(one: Form) -> Form:
    return list_of(one) | {"minItems": 2, "maxItems": 2}


def text(says: str) -> Form:
    """Words."""
    return {"type": "string", "description": says}


def day(says: str) -> Form:
    """A date."""
    return text(says) | {"format": "date"}


def truth(says: str) -> Form:
    """True or false."""
    return {"type": "boolean", "description": says}


def number(says: str, unit: str = "") -> Form:
    """A number; unit : "" for a bare one."""
    return {"type": "number", "description": says} | ({"unit": unit} if unit else {})


def whole(says: str, unit: str = "") -> Form:
    """A whole number."""
    return number(says, unit) | {"type": "integer"}


def or_null(form: Form) -> Form:
    """The same, or null."""
    return form | {"type": [form["type"], "null"]}
