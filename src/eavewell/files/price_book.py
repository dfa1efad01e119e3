"""Price books: the shipped one, and an owner's csv whose rows come before it."""

import csv
import io
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from eavewell.faults import BadPrices, BadQuantity, Fault
from eavewell.files.money_texts import agrees, read_money
from eavewell.files.plain_file import plain_bytes
from eavewell.files.site.field_values import near
from eavewell.site.money import Price, PriceBook, Unit
from eavewell.tables import rows, sources
from eavewell.units import read

COLUMNS = ("part", "size", "low", "typical", "high", "currency", "year", "life_years", "source")
NEEDED = ("part", "typical", "year", "source")
_MEASURES = {"L": "volume", "mm": "bore", "W": "power"}
_LARGEST_BYTES = 5_000_000


def price_book(path: Path | None, *, currency: str) -> PriceBook:
    """The shipped prices of a currency, and before them the owner's.

    path : the owner's csv; None for none. Raises BadPrices with every fault and its line.
    """
    own = read_prices(path, currency=currency) if path else ()
    theirs = {row.part for row in own}
    return PriceBook(
        currency,
        (*own, *(row for row in shipped(currency) if row.part not in theirs)),
    )


def shipped(currency: str) -> tuple[Price, ...]:
    """The prices of tables/prices.csv in one currency; none in another than theirs."""
    return tuple(
        Price(
            part=row["part"],
            unit=_unit(row["part"]),
            low=float(row["low"]),
            typical=float(row["typical"]),
            high=float(row["high"]),
            currency=row["currency"],
            year=int(row["year"]),
            source=f"{sources()[row['source']]['mark']}: {row['place']}",
            size=float(row["size"]) if row["size"] else None,
            life_years=float(row["life_years"]) if row["life_years"] else None,
        )
        for row in rows("prices")
        if row["currency"] == currency
    )


def _unit(part: str) -> Unit:
    return _parts()[part]["unit"]  # type: ignore[return-value]


def _parts() -> Mapping[str, Mapping[str, str]]:
    return {row["part"]: row for row in rows("parts")}


def read_prices(path: Path, *, currency: str) -> tuple[Price, ...]:
    """Read an owner's csv of prices; columns in any order, commas, semicolons or tabs.

    Raises BadPrices with every fault and its line; nothing is taken over from a faulty file.
    """
    first, *lines = _lines(_text(path), str(path)) or [(1, [])]
    head = [name.lower() for name in first[1]]
    faults = [Fault(says, file=str(path), line=1) for says in _head_faults(head)]
    found: list[Price] = []
    for number, cells in lines if not faults else []:
        if any(cells):
            row = _Row(dict(zip(head, cells, strict=False)), currency, [])
            price, at = _price(row), f"part {row.get('part')!r}"
            row.wrong.extend(_lost(cells[len(head) :]))
            row.wrong.extend(_twice(price, found))
            faults += [Fault(says, at, str(path), number) for says in row.wrong]
            found += [price] if price else []
    if faults:
        raise BadPrices(faults)
    if not found:
        raise BadPrices(Fault("The price book has no row.", file=str(path)))
    return tuple(found)


def _text(path: Path) -> str:
    try:
        data = plain_bytes(path) if path.stat().st_size <= _LARGEST_BYTES else None
    except (OSError, ValueError):
        raise BadPrices(Fault("There is no price book here to read.", file=str(path))) from None
    if data is None:
        raise BadPrices(Fault("The file is far too large for a price book.", file=str(path)))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
    if "\0" in text:
        raise BadPrices(Fault("This is not a text file: a price book is csv.", file=str(path)))
    return text


def _lines(text: str, file: str) -> list[tuple[int, list[str]]]:
    """The cells of every line with its number."""
    found = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text), strict=True)
    try:
        return [(found.line_num, [cell.strip() for cell in cells]) for cells in found]
    except csv.Error:
        says = "The csv breaks here: a quote is left open, or stands within a cell."
        raise BadPrices(Fault(says, file=file, line=found.line_num)) from None


def _lost(cells: list[str]) -> Iterator[str]:
    if any(cells):
        yield "There are more cells than columns: put what has a comma in it into quotes."


def _twice(price: Price | None, found: list[Price]) -> Iterator[str]:
    if price and any((price.part, price.size) == (one.part, one.size) for one in found):
        yield "It is priced twice in this size."


def _delimiter(text: str) -> str:
    head = text.partition("\n")[0]
    return max(",;\t", key=head.count)


def _head_faults(head: list[str]) -> Iterator[str]:
    for name in head:
        if name not in COLUMNS:
            yield f"There is no column {name!r}: {near(name, COLUMNS)}"
    for name in NEEDED:
        if name not in head:
            yield f"The column {name} is missing: a price book needs {', '.join(NEEDED)}."
    if len(set(head)) != len(head):
        yield "A column is named twice."


@dataclass(frozen=True, slots=True)
class _Row:
    """One row of the csv with what is wrong in it."""

    cells: Mapping[str, str]
    currency: str
    wrong: list[str]

    def get(self, name: str) -> str:
        return self.cells.get(name, "")

    def amount(self, name: str) -> float | None:
        """A bare number in the row's currency, or money with its own; None where left out."""
        text = self.get(name)
        if not text:
            return None
        if re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d+)?|\d*\.?\d+", text):
            return float(text.replace(",", ""))
        try:
            amount = read_money(text)
        except BadQuantity as refused:
            self.wrong.append(f"{name}: {refused.faults[0].says}")
            return None
        if not agrees(amount, self.currency):
            self.wrong.append(f"{name}: {text!r} is not in {self.currency}, the site's currency.")
        return amount.value

    def number(self, name: str, *, least: float, most: float) -> float | None:
        """A number within limits; None where it is not given."""
        text = self.get(name)
        if not text:
            return None
        try:
            value = float(text)
        except ValueError:
            value = math.nan
        if not least <= value <= most:
            self.wrong.append(f"{name}: {text!r} is not a number from {least:g} to {most:g}.")
            return None
        return value

    def year(self) -> int | None:
        """The year of the price."""
        year = self.number("year", least=1950.0, most=2200.0)
        if year is None or year == int(year):
            return None if year is None else int(year)
        self.wrong.append(f"year: {self.get('year')!r} is not a whole year.")
        return None

    def size(self, measure: str) -> float | None:
        """The size with its unit; None for any size."""
        text = self.get("size")
        if not text:
            return None
        if measure not in _MEASURES:
            self.wrong.append(f"this part has no size, and {text!r} is given.")
            return None
        try:
            size = read(text, _MEASURES[measure])
        except BadQuantity as refused:
            self.wrong.append(f"size: {refused.faults[0].says}")
            return None
        if size <= 0.0:
            self.wrong.append(f"size: {text!r} is nothing; leave it out for any size.")
        return size


def _price(row: _Row) -> Price | None:
    """The price of a row; None with what is wrong noted in the row."""
    part = row.get("part")
    known = _parts().get(part)
    if known is None:
        row.wrong.append(f"There is no part called {part!r}: {near(part, tuple(_parts()))}")
    size = row.size(known["measure"]) if known else None
    typical = row.amount("typical")
    low, high = (typical if row.get(end) == "" else row.amount(end) for end in ("low", "high"))
    year, life = row.year(), row.number("life_years", least=0.01, most=500.0)
    _complete(row)
    if known is None or low is None or typical is None or high is None or year is None:
        return None
    if not low <= typical <= high:
        row.wrong.append("low, typical and high must rise in that order.")
    source, unit = row.get("source"), _unit(part)
    return Price(part, unit, low, typical, high, row.currency, year, source, size, life)


def _complete(row: _Row) -> None:
    named = row.get("currency") or row.currency
    if named != row.currency:
        row.wrong.append(
            f"the price is in {named} and the site reckons in {row.currency}: turn it over "
            "yourself and write the day's rate into its source."
        )
    if not row.get("typical"):
        row.wrong.append("the typical price is missing.")
    if not row.get("source"):
        row.wrong.append("the source is missing: write where the price was seen.")
    if not row.get("year"):
        row.wrong.append("the year is missing: write the year of the price.")
