"""The layout of an answer as a JSON schema, made from tables/answers/*.csv."""

import csv
from functools import cache
from importlib.resources import files
from typing import Any

SCHEMA = "eavewell-design/1"
_TYPES = {
    "text": {"type": "string"},
    "number": {"type": "number"},
    "whole": {"type": "integer"},
    "truth": {"type": "boolean"},
    "date": {"type": "string", "format": "date"},
}


@cache
def layouts() -> tuple[str, ...]:
    """The answers that have a layout, by name."""
    found = files("eavewell.tables").joinpath("answers").iterdir()
    return tuple(sorted(one.name[:-4] for one in found if one.name.endswith(".csv")))


@cache
def keys(answer: str = "design") -> tuple[dict[str, str], ...]:
    """Every key of an answer with its type, unit and meaning; `[]` marks a list.

    answer : one of `layouts`.
    """
    text = files("eavewell.tables").joinpath(f"answers/{answer}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


def schema(answer: str = "design") -> dict[str, Any]:
    """The JSON schema (2020-12) of an answer; every key is required, none else is allowed."""
    root: dict[str, Any] = {}
    for row in keys(answer):
        _place(root, row["key"].split("."), leaf=_leaf(row))
    title = f"eavewell-{answer}/1"
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": title}
    return head | _object(root)


def _place(node: dict[str, Any], path: list[str], *, leaf: dict[str, Any]) -> None:
    if len(path) == 1:
        node[path[0]] = leaf
    else:
        _place(node.setdefault(path[0], {}), path[1:], leaf=leaf)


def _leaf(row: dict[str, str]) -> dict[str, Any]:
    kind: dict[str, Any] = dict(_TYPES[row["type"].rstrip("?")])
    if row["type"].endswith("?"):
        kind["type"] = [kind["type"], "null"]
    unit = {"unit": row["unit"]} if row["unit"] else {}
    return kind | {"description": row["meaning"]} | unit


def _object(node: dict[str, Any]) -> dict[str, Any]:
    fields = {name.removesuffix("[]"): _field(name, inner) for name, inner in node.items()}
    return {
        "type": "object",
        "properties": fields,
        "required": list(fields),
        "additionalProperties": False,
    }


def _field(name: str, inner: dict[str, Any]) -> dict[str, Any]:
    one = inner if "description" in inner else _object(inner)
    return {"type": "array", "items": one} if name.endswith("[]") else one
