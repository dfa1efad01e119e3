"""Stand-ins for a site and for its parts, which note what a stage reads of them."""

from collections.abc import Callable
from dataclasses import dataclass, fields, is_dataclass
from functools import cache
from typing import Any
from weakref import ref

from eavewell.site.site import Site

# What is read: a field of the site, and one of its parts' fields, their kinds, or all there is.
Read = tuple[str, str]
KINDS, WHOLE = "", "*"
EVERY = frozenset((one.name, WHOLE) for one in fields(Site))


@dataclass(frozen=True, slots=True, eq=False)
class Watched:
    """What a stage gave and what it read; which fields' parts it holds on to, or the site itself.

    Where it holds on to any, the result is not to be kept: it was made of stand-ins.
    """

    made: Any
    read: frozenset[Read]
    held: frozenset[str]
    holds_site: bool


def watched(
    function: Callable[..., Any],
    inputs: tuple[Any, ...],
    *,
    named: dict[str, Any],
    at: int,
    whole: frozenset[str],
) -> Watched:
    """Call a stage with a stand-in for the site that is its input `at`.

    whole : fields whose parts are given as they are and count as read with all that they say.
    """
    seen = _Seen(whole)
    standing = _standing(inputs[at], seen.field)
    given = list(inputs)
    given[at] = standing
    made = function(*given, **named)
    alive = ref(standing)
    del standing, given
    holds_site = alive() is not None
    return Watched(made, seen.read(), seen.held(), holds_site)


def as_read(site: Site | None, read: Read) -> Any:
    """What a site says where a stage read it."""
    field, inner = read
    value = getattr(site, field)
    parts = [] if inner == WHOLE else _parts_of(value)
    if not parts:
        return value
    if inner == KINDS:
        return [type(one) for one in parts]
    return [getattr(one, inner, None) for one in parts]


class _Seen:
    """The fields of a site that were read, and those of its parts."""

    def __init__(self, whole: frozenset[str]) -> None:
        self.whole = whole
        self.inner: dict[str, set[str]] = {}
        self.alive: dict[str, list[ref[Any]]] = {}

    def field(self, standing: Any, name: str) -> None:
        """Note a field; where it holds parts, stand-ins for them take their place."""
        if name in self.inner:
            return
        value = object.__getattribute__(standing, name)
        parts = [] if name in self.whole else _parts_of(value)
        self.inner[name] = {KINDS} if parts else {WHOLE}
        if not parts:
            return
        note = self.inner[name].add
        stand_ins = tuple(_standing(one, lambda _, inner: note(inner)) for one in parts)
        self.alive[name] = [ref(one) for one in stand_ins]
        stands = stand_ins if isinstance(value, tuple) else stand_ins[0]
        object.__setattr__(standing, name, stands)

    def read(self) -> frozenset[Read]:
        return frozenset((name, inner) for name, all_ in self.inner.items() for inner in all_)

    def held(self) -> frozenset[str]:
        return frozenset(
            name for name, parts in self.alive.items() if any(one() is not None for one in parts)
        )


def _parts_of(value: object) -> list[Any]:
    """The parts that a field of a site holds, one or several; empty where it says something."""
    several = value if isinstance(value, tuple) else (value,)
    return list(several) if all(is_dataclass(one) for one in several) else []


def _standing(one: Any, note: Callable[[Any, str], None]) -> Any:
    """A stand-in that says the same and notes each field that is read."""
    kind: Any = type(one)
    stands = object.__new__(_kind_of_stand_in(kind))
    for field in fields(one):
        object.__setattr__(stands, field.name, getattr(one, field.name))
    object.__setattr__(stands, "noted", note)
    return stands


@cache
def _kind_of_stand_in(kind: Any) -> type[Any]:
    names = frozenset(one.name for one in fields(kind))

    def read(self: Any, name: str) -> Any:
        if name == "__class__":
            return kind
        if name in names:
            object.__getattribute__(self, "noted")(self, name)
        return object.__getattribute__(self, name)

    slots = ("__weakref__", "noted")
    return type(f"Watched{kind.__name__}", (kind,), {"__slots__": slots, "__getattribute__": read})
