"""What is drawn on the sheet of the plan, taken from a site file and written back into it."""

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from eavewell.faults import BadQuantity, BadSite
from eavewell.files.site.edit import changed_text
from eavewell.files.site.edit_parts import with_part, without_part
from eavewell.files.site.toml_spans import Address
from eavewell.files.site.toml_splices import standing_at
from eavewell.site.outline import Corner, side_lengths
from eavewell.units import read, show

AREA_FIELDS = ("plan", "area", "corners", "corners_unit", "on_plan")
PLACES = {"ft": 2, "m": 3}


@dataclass(frozen=True, slots=True)
class Drawn:
    """One thing on the sheet, in m along the base line and to its left.

    kind  : plane, tank, pipe, tree or property.
    of    : the name of the tank, pipe, tree or new plane.
    roof, plane : rows in the file, counted from 0; plane -1 for the roof as a whole.
    """

    kind: str
    of: str
    points_m: tuple[Corner, ...]
    roof: int = -1
    plane: int = -1
    across_m: float | None = None

    @property
    def closed(self) -> bool:
        """Whether it is an outline that comes back to its start."""
        return self.kind == "plane"


def drawn_in(raw: Mapping[str, Any]) -> tuple[Drawn, ...]:
    """Everything that a site file sets out on the sheet; what is written wrong is left out."""
    plan = raw.get("plan")
    return (*_planes_in(raw), *(_in_plan(plan) if isinstance(plan, dict) else ()))


def roofs_in(raw: Mapping[str, Any]) -> tuple[Drawn, ...]:
    """Every plane of every roof, those not set out with no points, or those of their own."""
    return tuple(_every_plane(raw))


def _planes_in(raw: Mapping[str, Any]) -> Iterator[Drawn]:
    for one in _every_plane(raw):
        way: Address = (
            ("roof", one.roof) if one.plane < 0 else ("roof", one.roof, "plane", one.plane)
        )
        if one.points_m and standing_at(raw, (*way, "on_plan")) is True:
            yield one


def _every_plane(raw: Mapping[str, Any]) -> Iterator[Drawn]:
    for row, roof in enumerate(_tables(raw.get("roof"))):
        name = str(roof.get("name", f"roof {row + 1}"))
        planes = _tables(roof.get("plane"))
        if not planes:
            yield Drawn("plane", name, _corners_m(roof, roof.get("corners_unit")), row)
        for at, one in enumerate(planes):
            called = f"{name}, {one.get('name', f'plane {at + 1}')}"
            yield Drawn("plane", called, _corners_m(one, one.get("corners_unit")), row, at)


def _in_plan(plan: Mapping[str, Any]) -> Iterator[Drawn]:
    unit = plan.get("unit")
    if line := _points_m(plan.get("property"), unit):
        yield Drawn("property", "property line", line)
    for one in _tables(plan.get("tank")):
        if at := _points_m([[one.get("x"), one.get("y")]], unit):
            yield Drawn("tank", str(one.get("of", "")), at)
    for one in _tables(plan.get("pipe")):
        if way := _points_m(one.get("way"), unit):
            yield Drawn("pipe", str(one.get("of", "")), way)
    for one in _tables(plan.get("tree")):
        if at := _points_m([[one.get("x"), one.get("y")]], unit):
            yield Drawn("tree", str(one.get("name", "")), at, across_m=_across_m(one.get("across")))


def _tables(raw: object) -> list[dict[str, Any]]:
    return [one for one in raw if isinstance(one, dict)] if isinstance(raw, list) else []


def _across_m(raw: object) -> float | None:
    try:
        return read(raw, "length") if raw else None
    except BadQuantity:
        return None


def _corners_m(part: Mapping[str, Any], unit: object) -> tuple[Corner, ...]:
    return _points_m(part.get("corners"), unit)


def _points_m(raw: object, unit: object) -> tuple[Corner, ...]:
    """Pairs of numbers in m; none where one of them is not."""
    pairs = raw if isinstance(raw, list) else []
    if unit not in PLACES or not all(_is_pair(one) for one in pairs):
        return ()
    metre = read(f"1 {unit}", "length")
    return tuple((float(x) * metre, float(y) * metre) for x, y in pairs)


def _is_pair(raw: object) -> bool:
    return isinstance(raw, list) and len(raw) == 2 and all(type(one) in (int, float) for one in raw)


def traced_text(
    text: str, drawn: Iterable[Drawn], *, unit: str, north_deg: float | None, file: str = ""
) -> str:
    """The text of a site file with what is drawn in place of what was.

    Areas of roofs give way to their corners; a pipe whose way is new gets its length from it.
    unit : "ft" or "m", in which it is written.
    """
    paper = _Paper(text, unit, file)
    kept = tuple(drawn)
    before = {(one.kind, one.of): one for one in drawn_in(paper.raw)}
    _set_planes(paper, [one for one in kept if one.kind == "plane"])
    _set_lengths(paper, [one for one in kept if one.kind == "pipe"], before=before)
    _set_plan(paper, kept, north_deg=north_deg)
    return paper.text


@dataclass(slots=True)
class _Paper:
    """A text while it is changed."""

    text: str
    unit: str
    file: str

    @property
    def raw(self) -> dict[str, Any]:
        return tomllib.loads(self.text)

    def set(self, way: Address, value: object) -> None:
        there = standing_at(self.raw, way)
        if there == value:
            return
        try:
            self.text = changed_text(self.text, way, value=value, file=self.file)
        except BadSite:  # written as tables of their own: written anew in one line each
            self.text = without_part(self.text, way, file=self.file)
            if value is not None:
                self.text = changed_text(self.text, way, value=value, file=self.file)

    def pairs(self, points_m: Iterable[Corner]) -> list[list[float]]:
        """Coordinates in the unit, as finely as a tape reads."""
        metre, places = read(f"1 {self.unit}", "length"), PLACES[self.unit]
        return [[_plain(x / metre, places), _plain(y / metre, places)] for x, y in points_m]


def _plain(value: float, places: int) -> float | int:
    found = round(value, places)
    return int(found) if found == int(found) else found


def _set_planes(paper: _Paper, drawn: list[Drawn]) -> None:
    listed = {(one.roof, one.plane) for one in drawn}
    for one in drawn_in(paper.raw):
        if one.kind == "plane" and (one.roof, one.plane) not in listed:
            way: Address = ("roof", one.roof)
            way = way if one.plane < 0 else (*way, "plane", one.plane)
            paper.set((*way, "on_plan"), None)
    for one in sorted(drawn, key=lambda each: (each.roof, each.plane)):
        if one.roof < 0 or not isinstance(standing_at(paper.raw, ("roof", one.roof)), dict):
            raise BadSite("The roofs of the file are others by now: load the page again.")
        if one.plane >= 0:
            _as_planes(paper, one.roof)
        _set_plane(paper, one)


def _as_planes(paper: _Paper, roof: int) -> None:
    """A roof that was one plane becomes a list with that plane in it."""
    there = standing_at(paper.raw, ("roof", roof))
    if "plane" in there:
        return
    first = {name: there[name] for name in AREA_FIELDS if name in there}
    for name in first:
        paper.set(("roof", roof, name), None)
    planes = [{"name": "plane 1", **first}]
    paper.set(("roof", roof, "plane"), planes)


def _set_plane(paper: _Paper, one: Drawn) -> None:
    said = {"corners": paper.pairs(one.points_m), "corners_unit": paper.unit, "on_plan": True}
    if one.plane < 0:
        way: Address = ("roof", one.roof)
    elif one.plane < len(standing_at(paper.raw, ("roof", one.roof, "plane"))):
        way = ("roof", one.roof, "plane", one.plane)
    else:
        fields = {"name": f"plane {one.plane + 1}", **said}
        list_way: Address = ("roof", one.roof, "plane")
        paper.text, _ = with_part(paper.text, list_way, fields=fields, file=paper.file)
        return
    for name, value in said.items():
        paper.set((*way, name), value)
    for name in ("plan", "area"):
        paper.set((*way, name), None)


def _set_lengths(
    paper: _Paper, drawn: list[Drawn], *, before: Mapping[tuple[str, str], Drawn]
) -> None:
    """A length that was measured along the pipe stays until its way on the sheet changes."""
    rows = {one.get("name"): row for row, one in enumerate(_tables(paper.raw.get("pipe")))}
    for one in drawn:
        was = before.get(("pipe", one.of))
        if one.of in rows and not (was and paper.pairs(was.points_m) == paper.pairs(one.points_m)):
            length_m = sum(side_lengths(one.points_m, closed=False))
            told = show(length_m, "length", unit=paper.unit, figures=5)
            paper.set(("pipe", rows[one.of], "length"), told)


def _set_plan(paper: _Paper, drawn: tuple[Drawn, ...], *, north_deg: float | None) -> None:
    def places(kind: str) -> Iterator[tuple[Drawn, list[list[float]]]]:
        return ((one, paper.pairs(one.points_m)) for one in drawn if one.kind == kind)

    told: dict[str, object] = {
        "unit": paper.unit,
        "north": north_deg,
        "property": next((points for _, points in places("property")), None),
        "tank": [{"of": one.of, "x": x, "y": y} for one, [(x, y)] in places("tank")] or None,
        "pipe": [{"of": one.of, "way": way} for one, way in places("pipe")] or None,
        "tree": [_tree(one, at, unit=paper.unit) for one, (at,) in places("tree")] or None,
    }
    for name, value in told.items():
        paper.set(("plan", name), value)


def _tree(one: Drawn, at: list[float], *, unit: str) -> dict[str, object]:
    told: dict[str, object] = {"name": one.of, "x": at[0], "y": at[1]}
    if one.across_m:
        told["across"] = show(one.across_m, "length", unit=unit, figures=4)
    return told
