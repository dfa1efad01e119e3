"""A rain record written as our plain csv, which every reader of ours takes back."""

import csv
from collections.abc import Iterator
from io import StringIO
from pathlib import Path

import numpy as np

from eavewell.faults import BadRecord
from eavewell.files.rain.plain_csv import INVENTED
from eavewell.site.rain_record import FloatArray, Mark, RainRecord

HEAD = ("date", "rain_mm", "tmax_c", "tmin_c", "mark")


def write_rain(record: RainRecord, path: str | Path) -> Path:
    """Write a record as csv with one line a day; blank where missing; return its path.

    Raises BadRecord where a file of that name is there already: nothing is overwritten. A file
    of an invented climate carries 'invented' in its name and in the mark of every day.
    """
    path = Path(path)
    if record.invented and "invented" not in path.stem:
        path = path.with_name(f"{path.stem}-invented{path.suffix or '.csv'}")
    if path.exists():
        raise BadRecord(f"{path} is there already; nothing was overwritten. Name another file.")
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.new")
    beside.write_text(_as_csv(record), encoding="utf-8")
    beside.replace(path)
    return path


def _as_csv(record: RainRecord) -> str:
    page = StringIO()
    writer = csv.writer(page, lineterminator="\n")
    writer.writerow(HEAD)
    writer.writerows(_lines(record))
    return page.getvalue()


def _lines(record: RainRecord) -> Iterator[tuple[str, ...]]:
    said = (INVENTED,) if record.invented else ()
    marks = [" ".join((*said, *_words(Mark(int(mark))))) for mark in record.marks]
    columns = (record.rain_mm, record.tmax_c, record.tmin_c)
    texts = [_texts(column, record.days) for column in columns]
    yield from zip(record.dates.astype(str).tolist(), *texts, marks, strict=True)


def _texts(column: FloatArray | None, days: int) -> list[str]:
    if column is None:
        return [""] * days
    return ["" if np.isnan(value) else f"{value:.6g}" for value in column.tolist()]


def _words(mark: Mark) -> Iterator[str]:
    return (str(one.name).lower() for one in Mark if one and one in mark)
