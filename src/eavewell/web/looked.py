"""A long table on a page: what is wanted of it by its address, its heads as links, its pages."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import Query

from eavewell.district.looked_through import Column, Seen, Wanted, in_words
from eavewell.site.place import Show

Plain = dict[str, Any]
Text = Annotated[str, Query(max_length=200)]


YesNo = Annotated[str, Query(json_schema_extra={"enum": ["", "yes", "no"]})]


def sort_of(columns: Sequence[Column]) -> Any:
    """How an address says by what a table is ordered; "" leaves its own order."""
    keys: list[Any] = ["", *(one.key for one in columns)]
    return Query(json_schema_extra={"enum": keys}, description="Key of a column")


@dataclass(frozen=True, slots=True)
class Turned:
    """Which way round, and which page; what inherits from it says by what to order and look."""

    falling: Annotated[bool, Query(description="The largest first")] = False
    page: Annotated[int, Query(ge=1, le=10_000_000, description="Counted from 1")] = 1

    @property
    def wanted(self) -> Wanted:
        """What is wanted of the table."""
        told = asdict(self)
        where = {key: one.strip() for key, one in told.items() if isinstance(one, str)}
        sort = where.pop("sort", "")
        return Wanted(
            sort, self.falling, self.page, {key: one for key, one in where.items() if one}
        )


def seen_plain(seen: Seen) -> Plain:
    """A page of a table as data."""
    return {
        "found": seen.found,
        "page": seen.page,
        "pages": seen.pages,
        "rows": list(seen.rows),
    }


@dataclass(frozen=True, slots=True)
class Address:
    """Where a table is shown. kept : what its address says besides, such as the size."""

    path: str
    kept: Mapping[str, str]

    def of(self, wanted: Wanted, **other: Any) -> str:
        """The address with something else than is wanted now."""
        told = {**self.kept, **wanted.where, "sort": wanted.sort, "page": wanted.page}
        told |= {"falling": "yes" if wanted.falling else "", **other}
        if told["page"] == 1:
            told.pop("page")
        return f"{self.path}?{urlencode({key: one for key, one in told.items() if one})}"


def looked(
    seen: Seen,
    columns: Sequence[Column],
    *,
    wanted: Wanted,
    address: Address,
    show: Show,
    choices: Mapping[str, Sequence[str]],
) -> Plain:
    """What the template of a long table asks for."""
    return {
        "path": address.path,
        "kept": address.kept,
        "sort": wanted.sort,
        "falling": wanted.falling,
        "heads": [_head(one, wanted, address=address) for one in columns],
        "finds": [_find(one, wanted, choices=choices) for one in columns if one.finds],
        "rows": [
            list(zip(columns, _row(row, columns, show=show), strict=True)) for row in seen.rows
        ],
        "found": seen.found,
        "first": seen.first,
        "last": seen.last,
        "page": seen.page,
        "pages": seen.pages,
        "before": address.of(wanted, page=seen.page - 1) if seen.page > 1 else "",
        "after": address.of(wanted, page=seen.page + 1) if seen.page < seen.pages else "",
        "first_page": address.of(wanted, page=1),
        "last_page": address.of(wanted, page=seen.pages),
        "all": address.of(Wanted(wanted.sort, wanted.falling)),
        "asked": bool(wanted.where),
    }


def _row(row: Mapping[str, Any], columns: Sequence[Column], *, show: Show) -> tuple[str, ...]:
    return in_words(row, columns, system=show, currency=str(row.get("currency") or ""))


def _head(one: Column, wanted: Wanted, *, address: Address) -> Plain:
    """A press orders by it, figures the largest first; another press turns the order round."""
    here = wanted.sort == one.key
    falling = not wanted.falling if here else one.is_figure
    other = {"sort": one.key, "falling": "yes" if falling else "", "page": 1}
    order = ("descending" if wanted.falling else "ascending") if here else ""
    return {"column": one, "href": address.of(wanted, **other), "order": order}


def _find(one: Column, wanted: Wanted, *, choices: Mapping[str, Sequence[str]]) -> Plain:
    values = ("yes", "no") if one.finds == "truth" else choices.get(one.key, ())
    return {"column": one, "values": values, "said": wanted.where.get(one.key, "")}
