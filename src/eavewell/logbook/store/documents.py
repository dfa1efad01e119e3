"""An entry as a JSON text, and back: how what is no reading is kept, and what a correction was."""

import json
import math
from collections.abc import Callable, Mapping
from dataclasses import asdict, fields
from datetime import UTC, date, datetime
from hashlib import sha256
from types import MappingProxyType
from typing import Any

from eavewell.faults import BadLog
from eavewell.logbook.kept import Kind
from eavewell.site.entry import Done, Entry, Load, Note, Outage, Reading, Tested
from eavewell.site.water import WaterTest

KINDS: Mapping[Kind, type[Entry]] = MappingProxyType(
    {
        "reading": Reading,
        "load": Load,
        "done": Done,
        "outage": Outage,
        "tested": Tested,
        "note": Note,
    }
)
# fields that an entry cannot do without, and what an entry without them says
_NEEDED: Mapping[type[Entry], tuple[str, str]] = MappingProxyType(
    {
        Load: ("to", "A load needs the tank to which it goes."),
        Done: ("task", "What was done? It says nothing."),
        Outage: ("of", "What went out? It says nothing."),
        Note: ("says", "A note needs words."),
    }
)
_INSTANTS = {"at", "ordered", "came", "until", "began", "ended"}


def kind_of(entry: Entry) -> Kind:
    """What an entry is called in a log."""
    return next(kind for kind, made in KINDS.items() if type(entry) is made)


def instant_of(entry: Entry) -> datetime:
    """When it was: of a load when it came, else when it was ordered; of an outage its begin.

    Raises BadLog for a load that has neither, and for a time without its offset from universal
    time.
    """
    if isinstance(entry, Load):
        at = entry.came or entry.ordered
    else:
        at = entry.began if isinstance(entry, Outage) else entry.at
    if at is None:
        raise BadLog("A load needs the day on which it came, or on which it was ordered.")
    if at.tzinfo is None:
        raise BadLog(f"{at:%Y-%m-%d %H:%M} says no time zone: it could be any of a day's hours.")
    return at


def complete(entry: Entry) -> None:
    """Raises BadLog for an entry without its time, or without the words that make it one."""
    instant_of(entry)
    field, lacks = _NEEDED.get(type(entry), ("", ""))
    if field and not getattr(entry, field).strip():
        raise BadLog(lacks)
    if isinstance(entry, Load):
        _complete_load(entry)


def _complete_load(load: Load) -> None:
    if not 0.0 < load.volume_l < math.inf:
        raise BadLog("A load needs its volume: more than nothing.")
    if load.price is not None and not 0.0 <= load.price < math.inf:
        raise BadLog(f"A load does not cost {load.price:g}.")


def text_of(entry: Entry) -> str:
    """An entry as a JSON text, the same for the same entry."""
    return _json(entry, _iso)


def digest_of(entry: Entry) -> str:
    """A mark by which the same entry is known again, in whatever zone its times are told."""
    return sha256(f"{kind_of(entry)} {_json(entry, _in_utc)}".encode()).hexdigest()


def _json(entry: Entry, iso: Callable[[object], str]) -> str:
    plain = {name: value for name, value in asdict(entry).items() if value not in (None, "")}
    return json.dumps(plain, default=iso, sort_keys=True, ensure_ascii=False)


def entry_of(kind: Kind, text: str) -> Entry:
    """The entry that a JSON text tells."""
    return entry_from(kind, json.loads(text))


def entry_from(kind: Kind, plain: Mapping[str, Any]) -> Entry:
    """The entry that plain values tell: instants in ISO 8601, a test as its own mapping.

    Raises BadLog where a field is missing, unknown or no such value.
    """
    made = KINDS[kind]
    names = {field.name for field in fields(made)}
    try:
        if strange := sorted(set(plain) - names):
            raise BadLog(f"a {kind} has no field {strange[0]!r}.")
        given = {name: _value(name, value) for name, value in plain.items()}
        missing: dict[str, Any] = {"ordered": None, "came": None} if made is Load else {}
        if made in _NEEDED:
            # one kept with no words, by an earlier version, still stands in the log
            missing[_NEEDED[made][0]] = ""
        return made(**missing | given)
    except (TypeError, ValueError, KeyError, AttributeError) as wrong:
        raise BadLog(f"a {kind} could not be read: {wrong}.") from wrong


def _value(name: str, value: Any) -> Any:
    if name == "test":
        return WaterTest(**value | {"day": date.fromisoformat(value["day"])})
    if name in _INSTANTS and isinstance(value, str):
        return datetime.fromisoformat(value)
    return value


def _iso(value: object) -> str:
    if isinstance(value, (date, datetime)):
        return value.isoformat()
    raise TypeError(value)


def _in_utc(value: object) -> str:
    return _iso(value.astimezone(UTC) if isinstance(value, datetime) else value)
