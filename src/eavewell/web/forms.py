"""What a site file says as fields to fill in: label, limits and meaning from the fields table."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from eavewell.faults import BadQuantity, Fault
from eavewell.files.site.edit_names import names_meant
from eavewell.files.site.fields import Field, fields
from eavewell.files.site.toml_spans import Address
from eavewell.files.site.toml_splices import standing_at
from eavewell.files.site.toml_values import value_text
from eavewell.site.place import Show
from eavewell.tables import rows, table
from eavewell.web.addresses import address_text, field_of, part_named
from eavewell.web.cells import MONTHS, ROWS, WEEKDAYS, Columns, day, list_from, number, rows_of
from eavewell.web.field_words import hint_of, limits_of, meaning_of, otherwise_of

# fields that name a part of the site or say something else in words
OTHER_WORDS = {("tank", "overflow_to"), ("money", "have")}
# fields that say a name of a table, or another one
LISTED = {("line.outlets", "fixture"): "outlets", ("use.fixtures", "name"): "fixtures"}
BLANK_ROWS = 1


@dataclass(frozen=True, slots=True)
class Entry:
    """One field as it is filled in.

    kind    : how: "words", "number", "date", "choice", "yes or no", "ticks" or "rows".
    value   : as it stands in the file; "" where it is left out and so unknown.
    hint    : an example with its unit. limits : what can be right, in words.
    choices : what can be chosen; for words what they might be. heads, cells : of rows.
    fault   : what is wrong with it, "" where nothing is.
    was, of : what stands in the file, and the name of the part; they come back with a change.
    """

    address: str
    label: str
    kind: str
    value: str
    meaning: str
    hint: str = ""
    limits: str = ""
    otherwise: str = ""
    choices: tuple[str, ...] = ()
    required: bool = False
    heads: tuple[str, ...] = ()
    cells: tuple[tuple[str, ...], ...] = ()
    ticked: tuple[str, ...] = ()
    fault: str = ""
    was: str = ""
    of: str = ""

    @property
    def id(self) -> str:
        """The name under which the page finds it."""
        return "f-" + _plain(self.address)

    @property
    def said(self) -> bool:
        """True where it stands in the file, must stand there, or is wrong."""
        return bool(self.value or self.required or self.fault)


@dataclass(frozen=True, slots=True)
class Described:
    """One table of the site file.

    facts   : what its summary line tells. within : the tables and lists inside, in their order.
    fault   : what is wrong with it or inside it. own_fault : with it as a whole.
    row, of : which item of how many in its list.
    """

    address: str
    title: str
    facts: str
    meaning: str
    entries: tuple[Entry, ...] = ()
    within: tuple["Described | Several", ...] = ()
    given: bool = True
    fault: str = ""
    own_fault: str = ""
    row: int | None = None
    of: int = 0
    is_list: bool = False

    @property
    def id(self) -> str:
        """The name under which the page finds it."""
        return "p-" + _plain(self.address)


@dataclass(frozen=True, slots=True)
class Several:
    """A list of tables, to which one more can be added."""

    address: str
    label: str
    meaning: str
    items: tuple[Described, ...]
    is_list: bool = True

    @property
    def id(self) -> str:
        """The name under which the page finds it."""
        return "l-" + _plain(self.address)


@dataclass(frozen=True, slots=True)
class Form:
    """Makes the parts of a form of what a file says; sizes shown in one system."""

    raw: Mapping[str, Any]
    faults: Mapping[Address, str]
    system: Show

    @classmethod
    def of(cls, raw: Mapping[str, Any], faults: Sequence[Fault], *, system: Show) -> "Form":
        """The form of a file with its faults."""
        by_address: dict[Address, str] = {}
        for fault in faults:
            by_address.setdefault(fault.address, fault.says)
        return cls(raw, by_address, system)

    def table(self, name: str) -> "Described | Several":
        """One table at the top of a site file, or a list of them, closed."""
        return self._inner(fields()["site"][name], within=())

    def top(self) -> tuple[Entry, ...]:
        """The fields at the top of a site file, above its tables."""
        return tuple(self._entries("site", way=()))

    def part(self, way: Address) -> Described:
        """One part with its fields, and the parts inside it closed; KeyError where none can be."""
        field = field_of(way)
        closed = self._closed(field.inner, way=way, title=field.label)
        inner = [one for one in fields()[field.inner].values() if one.inner]
        return Described(
            closed.address,
            closed.title,
            closed.facts,
            field.meaning,
            entries=tuple(self._entries(field.inner, way=way)),
            within=tuple(self._inner(one, within=way) for one in inner),
            given=closed.given,
            fault=closed.fault,
            own_fault=self.faults.get(way, ""),
            row=closed.row,
            of=closed.of,
        )

    def goals(self) -> tuple[Described, ...]:
        """What each use must reach, closed."""
        uses = self.raw.get("use")
        there = uses if isinstance(uses, list) else []
        names = [one.get("name") for one in there if isinstance(one, dict)]
        return tuple(
            self._closed("goal", way=("goal", name), title=name)
            for name in dict.fromkeys(one for one in names if isinstance(one, str))
        )

    def entry(self, way: Address) -> Entry:
        """One field; KeyError where there is no such field."""
        return self._entry(field_of(way), way=way)

    def summary(self, way: Address) -> Described:
        """One part closed; KeyError where none can be."""
        field = field_of(way)
        return self._closed(field.inner, way=way, title=field.label)

    def _inner(self, field: Field, *, within: Address) -> "Described | Several":
        way = (*within, field.name)
        if not field.quantity.startswith("list "):
            return self._closed(field.inner, way=way, title=field.label)
        there = standing_at(self.raw, way)
        count = len(there) if isinstance(there, list) else 0
        items = (
            self._closed(field.inner, way=(*way, row), title=field.label) for row in range(count)
        )
        return Several(address_text(way), field.label, field.meaning, tuple(items))

    def _closed(self, section: str, *, way: Address, title: str) -> Described:
        raw = standing_at(self.raw, way)
        within = raw if isinstance(raw, Mapping) else {}
        likes = standing_at(self.raw, way[:-1]) if isinstance(way[-1], int) else None
        name = within.get("name")
        row = int(way[-1]) if isinstance(way[-1], int) else None
        plain = title if row is None else f"{title} {row + 1}"
        return Described(
            address_text(way),
            name if isinstance(name, str) and name else plain,
            facts_of(within, section),
            "",
            given=isinstance(raw, Mapping),
            fault=self._fault_within(way),
            row=row,
            of=len(likes) if isinstance(likes, list) else 0,
        )

    def _fault_within(self, way: Address) -> str:
        found = (
            says for address, says in self.faults.items() if address[: len(way)] == way and address
        )
        return next(found, "")

    def _entries(self, section: str, *, way: Address) -> Iterator[Entry]:
        known = [one for one in fields()[section].values() if not one.inner]
        for field in sorted(known, key=lambda one: (one.name != "name", not one.required)):
            yield self._entry(field, way=(*way, field.name))

    def _entry(self, field: Field, *, way: Address) -> Entry:
        raw = standing_at(self.raw, way)
        columns = ROWS.get(field.quantity)
        cells = rows_of(raw, columns) if columns else None
        fault = next((says for at, says in self.faults.items() if at[: len(way)] == way), "")
        return Entry(
            address_text(way),
            field.label,
            _kind(field, cells),
            said(raw, field),
            meaning_of(field),
            hint=hint_of(field, self.system),
            limits=limits_of(field, self.system),
            otherwise=otherwise_of(field, self.system),
            choices=self._choices(field, way=way),
            required=field.required,
            heads=columns.heads if columns else (),
            cells=_with_blank(cells, columns),
            ticked=ticked(raw, field),
            was=said(raw, field),
            of=part_named(self.raw, way),
            fault=fault.removeprefix(f"{field.name}: "),
        )

    def _choices(self, field: Field, *, way: Address) -> tuple[str, ...]:
        if field.quantity == "months":
            return MONTHS
        if field.quantity == "weekdays":
            return WEEKDAYS
        if field.quantity == "fittings":
            return tuple(table("fittings"))
        if listed := LISTED.get((field.section, field.name)):
            return tuple(dict.fromkeys(next(iter(row.values())) for row in rows(listed)))
        if field.refers:
            more = ("mains",) if (field.section, field.name) == ("lift", "from") else ()
            return names_meant(self.raw, field, within=way[:-1]) + more
        return field.choices


def fault_link(fault: Fault) -> str:
    """The name under which the page finds the field, or the part, that a fault is about."""
    way = fault.address
    try:
        mark = "p-" if field_of(way).inner else "f-"
    except KeyError:  # a field that no part knows: the part itself shows it
        mark, way = "p-", way[:-1]
    if mark == "p-" and len(way) == 1:
        mark = "l-" if field_of(way).quantity.startswith("list ") else mark
    return mark + _plain(address_text(way))


def facts_of(raw: Mapping[str, Any], section: str) -> str:
    """What the summary line of a part tells, such as "4 x 2,800 gal, 8 ft across, floor 0 ft"."""
    told = [
        field.fact.format(_short(raw[field.name]))
        for field in fields().get(section, {}).values()
        if field.fact and raw.get(field.name) not in (None, "", [], {})
    ]
    return ", ".join(told).replace(" x, ", " x ")


def _short(raw: object) -> str:
    words = " and ".join(str(one) for one in raw) if isinstance(raw, list) else str(raw)
    return words if len(words) <= 40 else words[:39] + "…"


def as_written(typed: Sequence[str], field: Field) -> object:
    """What the file should say for what was typed; None where the field is left empty.

    Raises BadQuantity where no value can be made of it.
    """
    if field.quantity == "months":
        return [MONTHS.index(one) + 1 for one in typed if one in MONTHS] or None
    if field.quantity == "weekdays":
        return [one for one in typed if one in WEEKDAYS] or None
    if columns := ROWS.get(field.quantity):
        return _rows_written(typed, field, columns=columns)
    word = typed[0].strip() if typed else ""
    return _word_written(word, field) if word else None


def _word_written(word: str, field: Field) -> object:
    if field.quantity == "yes or no":
        if word not in ("yes", "no"):
            raise BadQuantity("It can be yes or no, or stay unknown.")
        return word == "yes"
    if field.quantity in ("number", "count"):
        return number(word)
    return day(word) if field.quantity == "date" else word


def _rows_written(typed: Sequence[str], field: Field, *, columns: Columns) -> object:
    told = list_from(typed, columns)
    if field.quantity == "factors" and isinstance(told, list) and len(told) == 1:
        return told[0]
    return told


def as_typed(entry: Entry, typed: Sequence[str], *, fault: str) -> Entry:
    """The field as it was typed, with the reason why that is not in the file."""
    wide = len(entry.heads) or 1
    cells = tuple(tuple(typed[at : at + wide]) for at in range(0, len(typed), wide))
    return replace(
        entry,
        value=typed[0] if typed and entry.kind not in ("rows", "ticks") else entry.value,
        cells=cells if entry.kind == "rows" else (),
        ticked=tuple(typed),
        fault=fault,
    )


def ticked(raw: object, field: Field) -> tuple[str, ...]:
    """The months or weekdays that a field names, as the page calls them."""
    if not isinstance(raw, list):
        return ()
    if field.quantity == "months":
        return tuple(MONTHS[one - 1] for one in raw if isinstance(one, int) and 1 <= one <= 12)
    return tuple(str(one)[:3].capitalize() for one in raw) if field.quantity == "weekdays" else ()


def said(raw: object, field: Field) -> str:
    """A value as the page shows it, and as it comes back with a change of it."""
    if raw is None:
        return ""
    if isinstance(raw, bool):
        return "yes" if raw else "no"
    if isinstance(raw, (str, int, float, date)) and field.quantity not in ROWS:
        return str(raw)
    try:
        return value_text(raw)
    except TypeError:
        return str(raw)


def _kind(field: Field, cells: object) -> str:
    if field.quantity in ("yes or no", "date"):
        return field.quantity
    if field.quantity in ("months", "weekdays"):
        return "ticks"
    if field.quantity in ROWS:
        return "rows" if cells is not None else "other"
    if field.refers and (field.section, field.name) in OTHER_WORDS:
        return "words"
    if field.choices or field.refers:
        return "choice"
    return "number" if field.quantity in ("number", "count") else "words"


def _with_blank(
    cells: tuple[tuple[str, ...], ...] | None, columns: Columns | None
) -> tuple[tuple[str, ...], ...]:
    if columns is None or cells is None:
        return ()
    return (*cells, *(("",) * len(columns.heads) for _ in range(BLANK_ROWS)))


def _plain(address: str) -> str:
    """An address as a name within a page: letters, digits and hyphens."""
    return re.sub(
        r"[^A-Za-z0-9_-]", lambda found: f"_{ord(found[0]):x}_", address.replace("/", "-")
    )
