"""The layout of the data of many roofs and of built systems, made from their columns."""

from collections.abc import Sequence

from eavewell.answers.schema import schema
from eavewell.district.looked_through import Column
from eavewell.district.register_seen import ROUND, SITES
from eavewell.district.roof_index import COLUMNS
from eavewell.web.layouts import Form, day, list_of, number, or_null, record, text, truth, whole

UNITS = {"area": "m2", "distance": "km", "volume": "L", "share": "share", "cost": "money/m3"}


def roofs() -> Form:
    """Of every screening in the folder."""
    return record(runs=list_of(record(**_run())))


def roofs_of_run() -> Form:
    """Of a page of roofs."""
    size = number("Tank size of these rows", "L")
    return record(**_run(), size_l=size, districts=list_of(_district()), **_seen(COLUMNS))


def _district() -> Form:
    """None where it stands with the rest."""
    return record(
        district=text("Name of the district; the rest for those with too few roofs"),
        roofs=or_null(whole("Roofs")),
        reaching=or_null(whole("Roofs that reach every goal")),
        supplied_share=or_null(number("Of a mean roof", "share")),
        share_low=or_null(number("Nine roofs of ten are supplied more", "share")),
        share_high=or_null(number("One roof of ten is supplied more", "share")),
        half_run_days=or_null(
            whole("Longest run of short days that half stay within; 366 for longer", "days")
        ),
        supplied_l_year=or_null(number("All roofs in a mean year", "L")),
        make_up_l_year=or_null(number("Mains water for all roofs in a mean year", "L")),
    )


def built() -> Form:
    """Of a page of built systems."""
    groups = schema("register")["properties"]["groups"]
    return record(**_head(), groups=groups, **_seen(SITES))


def built_round() -> Form:
    """Of a page of what is due."""
    return record(**_head(), **_seen(ROUND))


def _run() -> dict[str, Form]:
    return {
        "run": text("Way to its folder, which stands in its address"),
        "name": text("Name of the district"),
        "screened": whole("Roofs that were screened"),
        "bad_rows": whole("Rows that were not"),
        "currency": text("Of money; ISO code"),
        "sizes_l": list_of(number("A tank size that was tried", "L")),
        "says": list_of(text("What it rests on")),
    }


def _head() -> dict[str, Form]:
    return {
        "name": text("Name of the folder of sites"),
        "day": or_null(day("Day on which the sites were read")),
        "heard_within_days": whole("A site read within so many days is heard of", "days"),
        "smallest_group": whole("Fewer sites than these are not added up"),
    }


def _seen(columns: Sequence[Column]) -> dict[str, Form]:
    return {
        "found": whole("Rows that are like what is looked for"),
        "page": whole("Which page of them, counted from 1"),
        "pages": whole("Number of pages"),
        "rows": list_of(record(**{one.key: or_null(_value(one)) for one in columns})),
    }


def _value(one: Column) -> Form:
    if one.quantity == "":
        return text(one.head)
    if one.quantity == "day":
        return day(one.head)
    if one.quantity == "truth":
        return truth(one.head)
    if one.quantity == "count":
        return whole(one.head)
    return number(one.head, UNITS.get(one.quantity, "money"))
