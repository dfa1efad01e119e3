"""The work parted: so many roofs of one gauge at a time, each part called by what it rests on."""

import hashlib
import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np

from eavewell.district.gauges import Assigned
from eavewell.district.roof_rows import Roofs
from eavewell.site.district import District, Gauge
from eavewell.site.money import PriceBook
from eavewell.site.rain_record import FloatArray

# Roofs of a part. Results are files of one part each, so this never follows the workers.
PART_ROOFS = 2_000
LAYOUT = "1"
_DIGITS = 16


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """Some roofs of one gauge, in the order of the table; its results are two files.

    name : folder of the record, number and digest, such as "record=hill/part-00000-9f...".
    distance_km, height_m : of each roof, [roof], as in Assigned.
    """

    name: str
    gauge: Gauge
    roofs: Roofs
    distance_km: FloatArray
    height_m: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """What is asked of every part, and where its results go. digest : of all of it."""

    district: District
    book: PriceBook
    out: Path
    digest: str


def asked_of(district: District, book: PriceBook, *, out: Path) -> Asked:
    """The question with its digest: the district, its prices, and this version of ours."""
    told = {"district": _plain(district) | {"folder": ""}, "book": _plain(book)}
    return Asked(district, book, out, _digest(LAYOUT, version("eavewell"), _as_text(told)))


def _plain(thing: Any) -> dict[str, Any]:
    return asdict(thing)


def _as_text(told: Any) -> str:
    return json.dumps(told, sort_keys=True, default=_sorted)


def _sorted(value: Any) -> Any:
    return sorted(value) if isinstance(value, frozenset) else str(value)


def _digest(*texts: str | bytes) -> str:
    found = hashlib.sha256()
    for text in texts:
        data = text.encode() if isinstance(text, str) else text
        found.update(len(data).to_bytes(8, "little") + data)
    return found.hexdigest()[:_DIGITS]


def parts_of(asked: Asked, assigned: Assigned, *, gauges: Sequence[Gauge]) -> tuple[Part, ...]:
    """Every part of the work, gauge by gauge in their order."""
    order = np.unique(assigned.gauge).tolist()
    digests = dict[str, str]()
    folders = _folders([gauges[k].name for k in order])
    found = list[Part]()
    for k, folder in zip(order, folders, strict=True):
        gauge = gauges[k]
        if gauge.path not in digests:
            digests[gauge.path] = _digest_of_files(Path(gauge.path))
        mine = np.flatnonzero(assigned.gauge == k)
        rests_on = _digest(asked.digest, digests[gauge.path], _gauge_text(gauge))
        found += _parts(assigned, mine, gauge=gauge, folder=folder, rests_on=rests_on)
    return tuple(found)


def _gauge_text(gauge: Gauge) -> str:
    return _as_text(_plain(gauge) | {"path": Path(gauge.path).name})


def _parts(
    assigned: Assigned, mine: Any, *, gauge: Gauge, folder: str, rests_on: str
) -> Iterator[Part]:
    for number, first in enumerate(range(0, mine.size, PART_ROOFS)):
        rows = mine[first : first + PART_ROOFS]
        roofs = assigned.roofs.at(rows)
        distance_km, height_m = assigned.distance_km[rows], assigned.height_m[rows]
        digest = _digest(rests_on, _roofs_bytes(roofs), distance_km.tobytes(), height_m.tobytes())
        yield Part(f"{folder}/part-{number:05d}-{digest}", gauge, roofs, distance_km, height_m)


def _roofs_bytes(roofs: Roofs) -> bytes:
    columns = [getattr(roofs, name) for name in Roofs.__slots__]
    return b"".join(
        json.dumps(one.tolist()).encode() if one.dtype == object else one.tobytes()
        for one in columns
    )


def _folders(names: Sequence[str]) -> list[str]:
    """A folder for each record, told apart however their names are written."""
    plain = [re.sub(r"[^A-Za-z0-9.-]+", "_", name).strip("_.") or "record" for name in names]
    same = [word.lower() for word in plain]
    return [
        f"record={word}" if same.count(word.lower()) == 1 else f"record={word}-{_digest(name)[:6]}"
        for name, word in zip(names, plain, strict=True)
    ]


def _digest_of_files(path: Path) -> str:
    """Of what stands in a file, or in every file of a folder."""
    found = hashlib.sha256()
    for file in [path] if path.is_file() else sorted(p for p in path.rglob("*") if p.is_file()):
        if file != path:
            found.update(file.relative_to(path).as_posix().encode())
        with file.open("rb") as opened:
            while piece := opened.read(1 << 20):
                found.update(piece)
    return found.hexdigest()
