"""What was worked out before and still holds: stages remembered by what they read of a site."""

import pickle
from collections import OrderedDict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import date
from hashlib import blake2b
from itertools import count
from pathlib import Path
from threading import Lock
from types import FunctionType, MappingProxyType
from typing import Any
from weakref import WeakKeyDictionary

from eavewell.design import Design, Stage
from eavewell.site.site import Site
from eavewell.web.watched import EVERY, Read, as_read, watched

MOST_BYTES = 256_000_000
MOST_SITES = 8
WORTH_BYTES = 1000
_PLAIN = frozenset((str, int, float, bool, type(None)))
Key = tuple[str, str, frozenset[tuple[Read, str]]]


@dataclass(frozen=True, slots=True, eq=False)
class Kept:
    """A result of a stage, its digest and its size, and the same of its parts."""

    result: Any
    digest: str
    size_bytes: int
    parts: tuple["Kept", ...] = ()

    @classmethod
    def of(cls, made: Any) -> "Kept":
        """Of what a stage gave; where it has parts, its digest is that of theirs."""
        parts = tuple(cls(one, *digest_of(one)) for one in _parts_of(made))
        if not parts:
            return cls(made, *digest_of(made))
        digest, _ = digest_of((type(made), [one.digest for one in parts]))
        return cls(made, digest, sum(one.size_bytes for one in parts), parts)


class Recall:
    """Calls a stage, or gives what it gave before where nothing that it reads has changed.

    A stage sees a stand-in for its site that notes what is read of it and of its parts; what it
    gave is kept under that and all other inputs, by content. Bounded by bytes, the longest unused
    goes first; several threads may ask at once.
    """

    def __init__(self, most_bytes: int = MOST_BYTES) -> None:
        self.most_bytes = most_bytes
        self.held_bytes = 0
        self._kept: OrderedDict[Key, Kept] = OrderedDict()
        self._reads: dict[str, dict[frozenset[Read], None]] = {}
        self._whole: dict[str, frozenset[str]] = {}
        self._made: dict[int, Kept] = {}
        self._sites: OrderedDict[int, _Fields] = OrderedDict()
        self._door = Lock()

    def __call__(self, function: Callable[..., Any], *inputs: Any, **named: Any) -> Any:
        """One stage of the chain."""
        of, asked, at = self._asked(function, inputs, named=named)
        found = self._found(of, asked)
        if found:
            return found.result
        if at is None or EVERY in self._reads.get(of[0], ()):
            read = frozenset[Read]() if at is None else EVERY
            return self._keep(of, asked, read=read, made=function(*inputs, **named))
        read, made = self._watched(function, inputs, named=named, at=at, name=of[0])
        return self._keep(of, asked, read=read, made=made)

    def putting_off(self, later: Callable[..., Any]) -> Stage:
        """Runs every stage but one, of which it gives what is remembered; None where nothing is."""

        def stage(function: Callable[..., Any], *inputs: Any, **named: Any) -> Any:
            if function is not later:
                return self(function, *inputs, **named)
            of, asked, _ = self._asked(function, inputs, named=named)
            found = self._found(of, asked)
            return found.result if found else None

        return stage

    def files(self, read: Callable[..., Any], site: Any) -> Any:
        """What a site names beside it, read again where a file has changed."""
        named = [site.rain, site.storm, site.permission, site.money]
        paths = {str(Path(site.folder, one).expanduser()) for one in _texts(named)}
        if site.rain.station:
            paths |= {str(one) for one in _beginning(site.folder, site.rain.station)}
        stamps = [(path, *_stamp(path)) for path in sorted(paths)]
        return self(_reading, read, site, stamps=stamps)

    def answer(self, made: Callable[[Design], dict[str, Any]], of: Design) -> Mapping[str, Any]:
        """The answer of a design."""
        answered: Mapping[str, Any] = self(made, of)
        return answered

    def _watched(
        self,
        function: Callable[..., Any],
        inputs: tuple[Any, ...],
        *,
        named: dict[str, Any],
        at: int,
        name: str,
    ) -> tuple[frozenset[Read], Any]:
        """What a stage of that name read of its site, and what it gave.

        A result that holds the site itself, or parts of it, depends on all that these say, and is
        made anew without stand-ins for them.
        """
        whole = self._whole.get(name, frozenset())
        while True:
            tried = watched(function, inputs, named=named, at=at, whole=whole)
            if tried.holds_site:
                return EVERY, function(*inputs, **named)
            if not tried.held:
                return tried.read, tried.made
            whole = self._whole[name] = whole | tried.held

    def _asked(
        self, function: Callable[..., Any], inputs: tuple[Any, ...], *, named: dict[str, Any]
    ) -> tuple[tuple[str, str], "_Fields", int | None]:
        """A stage with its other inputs, the fields of its site, and which input that is."""
        at = next((row for row, one in enumerate(inputs) if isinstance(one, Site)), None)
        others = [one for row, one in enumerate(inputs) if row != at]
        rest = self._digest([date.today(), at, *others, sorted(named.items())])
        name = f"{function.__module__}.{function.__qualname__}"
        return (name, rest), self._fields_of(None if at is None else inputs[at]), at

    def _fields_of(self, site: Site | None) -> "_Fields":
        """The digests of the fields of a site, kept for the stages that follow."""
        with self._door:
            found = self._sites.get(id(site))
            if found is None or found.site is not site:
                found = self._sites[id(site)] = _Fields(site)
            self._sites.move_to_end(id(site))
            if len(self._sites) > MOST_SITES:
                self._sites.popitem(last=False)
        return found

    def _found(self, of: tuple[str, str], asked: "_Fields") -> Kept | None:
        with self._door:
            ways = list(self._reads.get(of[0], ()))
        for read in ways:
            key = (*of, asked.of(read))
            with self._door:
                if key in self._kept:
                    self._kept.move_to_end(key)
                    return self._kept[key]
        return None

    def _keep(
        self, of: tuple[str, str], asked: "_Fields", *, read: frozenset[Read], made: Any
    ) -> Any:
        kept, key = Kept.of(made), (*of, asked.of(read))
        with self._door:
            if key in self._kept:
                return self._kept[key].result
            self._reads.setdefault(of[0], {})[read] = None
            self._kept[key] = kept
            for one in (kept, *(part for part in kept.parts if _is_large(part))):
                self._made[id(one.result)] = one
            self.held_bytes += kept.size_bytes
            while self.held_bytes > self.most_bytes and len(self._kept) > 1:
                _, gone = self._kept.popitem(last=False)
                self.held_bytes -= gone.size_bytes
                for one in (gone, *gone.parts):
                    if self._made.get(id(one.result)) is one:
                        del self._made[id(one.result)]
        return made

    def _digest(self, inputs: list[Any]) -> str:
        """Of the inputs of a stage; the results of stages carry theirs."""
        return digest_of([self._known(one) for one in inputs])[0]

    def _known(self, one: Any) -> Any:
        """Its digest where it is a result that is kept, also within a record or a row."""
        if type(one) in _PLAIN:
            return one
        kept = self._made.get(id(one))
        if kept is not None and kept.result is one:
            return ("kept", kept.digest)
        if isinstance(one, list | tuple) and type(one) in (list, tuple):
            return [self._known(inner) for inner in one]
        if isinstance(one, Site):
            return ("site", sorted(self._fields_of(one).of(EVERY)))
        names = _names_of(one)
        return (type(one), [self._known(getattr(one, name)) for name in names]) if names else one


class _Fields:
    """The digests of what a site says, each made once and only where it is asked for."""

    def __init__(self, site: Site | None) -> None:
        self.site = site
        self.made: dict[Read, str] = {}

    def of(self, read: frozenset[Read]) -> frozenset[tuple[Read, str]]:
        for one in read - self.made.keys():
            self.made[one] = digest_of(as_read(self.site, one))[0]
        return frozenset((one, self.made[one]) for one in read)


_names: dict[type, tuple[str, ...]] = {}


def _names_of(one: object) -> tuple[str, ...]:
    """The names of the parts of a record; none of anything else."""
    kind = type(one)
    if kind not in _names:
        _names[kind] = tuple(part.name for part in fields(kind)) if is_dataclass(kind) else ()
    return _names[kind]


def _parts_of(made: object) -> list[Any]:
    """What the record that a stage gave is made of."""
    return [getattr(made, name) for name in _names_of(made)]


def _is_large(part: Kept) -> bool:
    """Whether a part is worth remembering by its digest, so that no stage reads it again."""
    return part.size_bytes > WORTH_BYTES and not isinstance(part.result, Site)


def _reading(read: Callable[..., Any], site: Site, *, stamps: list[Any]) -> Any:
    return read(site)


def _beginning(folder: str, name: str) -> Iterator[Path]:
    """What lies in the folder of a site, or among its records, under a name that begins so."""
    for place in (Path(folder, "records"), Path(folder)):
        yield from (one for one in place.glob("*") if one.name.startswith(name))


def _texts(named: object) -> Iterator[str]:
    """Every text within descriptions that may name a file."""
    if isinstance(named, str):
        yield from [named] if named else []
    elif isinstance(named, tuple | list):
        for one in named:
            yield from _texts(one)
    elif is_dataclass(named) and not isinstance(named, type):
        for part in fields(named):
            yield from _texts(getattr(named, part.name))


def _stamp(path: str) -> tuple[int, int]:
    try:
        found = Path(path).stat()
    except (OSError, ValueError):
        return (-1, -1)
    return (found.st_size, found.st_mtime_ns)


class _Sum:
    """A file that keeps nothing but a digest and a count of what is written to it."""

    def __init__(self) -> None:
        self.hash, self.size_bytes = blake2b(digest_size=16), 0

    def write(self, data: Any) -> int:
        more = memoryview(data).nbytes
        self.hash.update(data)
        self.size_bytes += more
        return more


_numbers = count()
_functions: WeakKeyDictionary[FunctionType, int] = WeakKeyDictionary()


class _Pickler(pickle.Pickler):
    def reducer_override(self, one: Any) -> Any:
        names = _names_of(one)
        if names:
            return type(one), tuple([getattr(one, name) for name in names])
        if isinstance(one, MappingProxyType):
            return dict, (dict(one),)
        if isinstance(one, FunctionType) and "<" in one.__qualname__:
            number = _functions.get(one)
            if number is None:
                number = _functions.setdefault(one, next(_numbers))
            return int, (number,)
        return NotImplemented


def digest_of(thing: Any) -> tuple[str, int]:
    """A digest of the content of anything that a stage takes or gives, and its size in bytes."""
    into = _Sum()
    _Pickler(into, protocol=5).dump(thing)
    return into.hash.hexdigest(), into.size_bytes
