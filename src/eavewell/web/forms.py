"""What a site file says as fields to fill in: label, limits and meaning from the fields table."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import tomlkit

from eavewell.faults import Fault
from eavewell.files.site.fields import Field, fields
from eavewell.files.site.toml_lines import Address
from eavewell.tables import rows
from eavewell.units import quantities, show

# kinds written as text between quotation marks; sizes with a unit are text too
PLAIN_TEXT = {"text", "choice", "month day", "volume or share", "money", "money per volume"}
PLAIN_NUMBER = {"number", "count"}
MANY_CHOICES = 12


@dataclass(frozen=True, slots=True)
class Entry:
    """One field as it is filled in.

    kind  : how it is filled in: "words", "choice" or "yes or no".
    value : as it stands in the file; "" where it is left out and so unknown.
    hint  : an example with its unit. limits : what can be right, in words.
    fault : what is wrong with it, "" where nothing is.
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
    fault: str = ""

    @property
    def id(self) -> str:
        """The name under which the page finds it."""
        return "f-" + self.address.replace("/", "-")

    @property
    def said(self) -> bool:
        """True where it stands in the file, must stand there, or is wrong."""
        return bool(self.value or self.required or self.fault)


@dataclass(frozen=True, slots=True)
class Described:
    """One table of the site file.

    entries : its own fields; tables : the tables inside; lists : the lists of tables inside.
    fault   : what is wrong with it as a whole.
    """

    address: str
    section: str
    title: str
    meaning: str
    entries: tuple[Entry, ...]
    tables: tuple["Described", ...] = ()
    lists: tuple["Several", ...] = ()
    given: bool = True
    fault: str = ""

    @property
    def id(self) -> str:
        """The name under which the page finds it."""
        return "p-" + self.address.replace("/", "-")


@dataclass(frozen=True, slots=True)
class Several:
    """A list of tables, to which one more can be added."""

    address: str
    section: str
    label: str
    meaning: str
    items: tuple[Described, ...]


Faults = Mapping[Address, str]


def described(
    raw: Mapping[str, Any], table: str, *, faults: Sequence[Fault] = (), system: str = "us"
) -> Described | Several:
    """One table at the top of a site file, or a list of them, as it is filled in."""
    field = fields()["site"][table]
    form = _Form(_by_address(faults), system)
    if field.quantity.startswith("list "):
        return form.several(raw.get(table, []), field, address=(table,))
    return form.table(raw.get(table), field.inner, title=field.label, address=(table,))


def top_entries(
    raw: Mapping[str, Any], *, faults: Sequence[Fault] = (), system: str = "us"
) -> tuple[Entry, ...]:
    """The fields at the top of a site file, above its tables."""
    return tuple(_Form(_by_address(faults), system).entries(raw, "site", address=()))


def entry_at(
    raw: Mapping[str, Any], address: Address, *, faults: Sequence[Fault] = (), system: str = "us"
) -> Entry:
    """One field by its address; KeyError where there is no such field."""
    section, within = "site", raw
    for step in address[:-1]:
        within = _inside(within, step)
        if isinstance(step, str):
            section = fields()[section][step].inner
    field = fields()[section][str(address[-1])]
    return _Form(_by_address(faults), system).entry(within, field, address=address[:-1])


def steps(address: str) -> Address:
    """The way down to a field out of its address as text, such as "tank/0/each"."""
    return tuple(int(step) if step.isdecimal() else step for step in address.split("/") if step)


def as_written(value: str, field: Field) -> object:
    """What the file should say for what was typed; None where the field is left empty."""
    typed = value.strip()
    if not typed:
        return None
    if field.quantity == "yes or no":
        return {"yes": True, "no": False}.get(typed, typed)
    if field.quantity in PLAIN_TEXT or field.quantity in quantities():
        return typed
    return _toml(typed)


def _toml(typed: str) -> object:
    """A number, date or list as TOML has it; words between commas are a list of words."""
    try:
        return tomlkit.value(typed)
    except (ValueError, tomlkit.exceptions.TOMLKitError):
        return [one.strip() for one in typed.split(",")] if "," in typed else typed


@dataclass(frozen=True, slots=True)
class _Form:
    """Makes the parts of a form; faults by address, sizes shown in one system."""

    faults: Faults
    system: str

    def table(self, raw: object, section: str, *, title: str, address: Address) -> Described:
        within = raw if isinstance(raw, Mapping) else {}
        known = fields().get(section, {})
        name = within.get("name")
        return Described(
            _text(address),
            section,
            str(name) if isinstance(name, str) and name else title,
            "",
            tuple(self.entries(within, section, address=address)),
            tables=tuple(
                self.table(
                    within.get(one.name), one.inner, title=one.label, address=(*address, one.name)
                )
                for one in known.values()
                if one.quantity.startswith("table ")
            ),
            lists=tuple(
                self.several(within.get(one.name, []), one, address=(*address, one.name))
                for one in known.values()
                if one.quantity.startswith("list ")
            ),
            given=isinstance(raw, Mapping),
            fault=self.faults.get(address, ""),
        )

    def several(self, raw: object, field: Field, *, address: Address) -> Several:
        items = raw if isinstance(raw, list) else []
        made = tuple(
            self.table(one, field.inner, title=f"{field.label} {row + 1}", address=(*address, row))
            for row, one in enumerate(items)
        )
        return Several(_text(address), field.inner, field.label, field.meaning, made)

    def entries(
        self, within: Mapping[str, Any], section: str, *, address: Address
    ) -> Iterator[Entry]:
        for field in fields().get(section, {}).values():
            if not field.inner:
                yield self.entry(within, field, address=address)

    def entry(self, within: object, field: Field, *, address: Address) -> Entry:
        way = (*address, field.name)
        raw = within.get(field.name) if isinstance(within, Mapping) else None
        return Entry(
            _text(way),
            field.label,
            _kind(field),
            _value(raw, field),
            field.meaning,
            hint=_hint(field, self.system),
            limits=_limits(field, self.system),
            otherwise=field.otherwise,
            choices=field.choices,
            required=field.required,
            fault=self.faults.get(way, ""),
        )


def _kind(field: Field) -> str:
    if field.quantity == "yes or no":
        return "yes or no"
    return "choice" if field.choices else "words"


def _value(raw: object, field: Field) -> str:
    if raw is None:
        return ""
    if isinstance(raw, bool):
        return "yes" if raw else "no"
    if isinstance(raw, str):
        return raw
    if isinstance(raw, list) and raw and all(isinstance(one, str) for one in raw):
        return ", ".join(raw) if not any("," in one for one in raw) else _in_toml(raw)
    return _in_toml(raw)


def _in_toml(raw: object) -> str:
    return tomlkit.item(raw).as_string().strip()


def _hint(field: Field, system: str) -> str:
    for row in rows("quantities"):
        if row["quantity"] == field.quantity:
            return row[f"example_{system}"]
    return ""


def _limits(field: Field, system: str) -> str:
    if field.low is None and field.high is None:
        return ""
    unit = field.quantity in quantities()
    low, high = (
        None if limit is None else _shown(limit, field.quantity if unit else "", system=system)
        for limit in (field.low, field.high)
    )
    return f"{low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}"


def _shown(limit: float, quantity: str, *, system: str) -> str:
    return show(limit, quantity, system=system) if quantity else f"{limit:g}"  # type: ignore[arg-type]


def _by_address(faults: Sequence[Fault]) -> Faults:
    found: dict[Address, str] = {}
    for fault in faults:
        found.setdefault(fault.address, fault.says)
    return found


def _inside(within: Any, step: str | int) -> Any:
    try:
        return within[step]
    except (KeyError, IndexError, TypeError):
        return {}


def _text(address: Address) -> str:
    return "/".join(str(step) for step in address)
