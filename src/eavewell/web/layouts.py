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
    line = _record(
        name=_text("Name of its folder, which stands in its address"),
        site=_text("Name of the site"),
        place=_or_null(_text("Where it lies, as printed")),
        supplied_share=_or_null(_number("Share of the wanted water supplied, 0 to 1", "share")),
        longest_short_days=_or_null(_whole("Longest run of days that fell short", "days")),
        findings=_or_null(_whole("Findings to mend")),
        faults=_list(_text("What keeps the site from being worked out")),
        last_reading=_or_null(_day("Day of the last reading")),
    )
    return _record(sites=_list(line))


def papers() -> Form:
    """Of the papers."""
    return _record(
        papers=_list(_record(file=_text("Name of the file"), bytes=_whole("Its size", "bytes")))
    )


def versions() -> Form:
    """Of the versions side by side; lists with one entry a version are in the order of columns."""
    column = _record(
        name=_text("What the version is called"),
        now=_truth("Whether it is the site as it stands"),
        as_now=_truth("Whether it is kept and says the same as the site"),
        faults=_list(_text("What keeps it from being worked out")),
    )
    field = _record(
        field=_list({"type": ["string", "integer"], "description": "A step down to the field"}),
        label=_text("The same in words"),
        values=_list(_text("As each version says it, long decimals rounded; else empty")),
    )
    result = _record(
        result=_text("Which one"),
        label=_text("The same in words"),
        values=_list(_or_null(_number("Of each version, in SI units"))),
        words=_list(_text("The same as printed; empty where it is not worked out")),
        best=_list(_whole("Row of a version that does best, counted from 0")),
        says=_text("Which does better, in words"),
    )
    return _record(columns=_list(column), differs=_list(field), results=_list(result))


def rain() -> Form:
    """Of every day of the record."""
    spell = _record(
        **{
            "use": _text("Which use went short"),
            "from": _day("First day that fell short"),
            "to": _day("Last day that fell short"),
            "short_days": _whole("Days that fell short", "days"),
            "missing_l": _number("What was missing", "L"),
        }
    )
    return _record(
        **{
            "from": _day("First day of the record"),
            "to": _day("Last day of the record"),
            "record": _text("What the record is called"),
            "invented": _truth("Whether no gauge measured it"),
            "rain_mm": _list(_number("Rain of each day", "mm")),
            "level_l": _list(_whole("Water in all stores at the end of each day", "L")),
            "usable_l": _number("What all stores can give", "L"),
            "spells": _list(spell),
        }
    )


def field_sheet() -> Form:
    """Of what a visit asks."""
    item = _record(
        item=_text("Name of the item on the sheet"),
        of=_text("Part that it is about; empty for the site as a whole"),
        question=_text("What is asked"),
        value=_text("What the site file says, as written; empty where it is unknown"),
        asked=_truth("Whether it is to be found out, not only to be checked"),
    )
    return _record(stops=_list(_record(stop=_text("Where one stands"), items=_list(item))))


def trace() -> Form:
    """Of what is set out on the sheet of the plan."""
    return _record(
        unit={"enum": ["ft", "m"], "description": "Unit of a bare number on the sheet"},
        metre=_number("Length of that unit", "m"),
        version=_text("Mark of the site file's text"),
        north=_text("Degrees clockwise from up, as written; empty where it is unknown"),
        things=_list(_thing()),
        underlay={"anyOf": [_underlay(), {"type": "object", "maxProperties": 0}]},
    )


def _thing() -> Form:
    return _record(
        kind={"enum": ["plane", "tank", "pipe", "tree", "property"], "description": "What it is"},
        of=_text("Its name"),
        roof=_whole("Row of its roof in the file, counted from 0; -1 for none"),
        plane=_whole("Row of its plane in the roof, counted from 0; -1 for the whole roof"),
        points=_list(_pair(_text("Along the base line; or how far left or right of it"))),
        points_m=_list(_pair(_number("Along the base line; or to its left", "m"))),
        across=_text("Width of a tree's crown, as written"),
        across_m=_or_null(_number("The same", "m")),
        area_m2=_or_null(_number("Area as seen from above", "m2")),
        area=_text("The same as printed"),
        sides=_list(_text("Length of each side, as printed")),
        length_m=_or_null(_number("Length of the way as seen from above", "m")),
        length=_text("The same as printed"),
        right=_list(_truth("Whether each corner is a right angle")),
        says=_text("What is wrong with it; empty where nothing is"),
    )


def _underlay() -> Form:
    return _record(
        wide_px=_whole("Width of the picture", "px"),
        high_px=_whole("Height of the picture", "px"),
        m_per_px=_number("Its scale", "m/px"),
        scaled=_truth("Whether a distance was told"),
        left_m=_number("Where its lower left corner lies, along", "m"),
        low_m=_number("Where its lower left corner lies, to the left", "m"),
    )


def _record(**fields: Form) -> Form:
    required = {"required": list(fields), "additionalProperties": False}
    return {"type": "object", "properties": fields} | required


def _list(one: Form) -> Form:
    return {"type": "array", "items": one}


def _pair(one: Form) -> Form:
    return _list(one) | {"minItems": 2, "maxItems": 2}


def _text(says: str) -> Form:
    return {"type": "string", "description": says}


def _day(says: str) -> Form:
    return _text(says) | {"format": "date"}


def _truth(says: str) -> Form:
    return {"type": "boolean", "description": says}


def _number(says: str, unit: str = "") -> Form:
    return {"type": "number", "description": says} | ({"unit": unit} if unit else {})


def _whole(says: str, unit: str = "") -> Form:
    return _number(says, unit) | {"type": "integer"}


def _or_null(form: Form) -> Form:
    return form | {"type": [form["type"], "null"]}
