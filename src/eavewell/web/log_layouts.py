"""The layout of the log's data: last readings, entries, boxes, the month, the telephone."""

from eavewell.logbook.store.documents import KINDS
from eavewell.web.layouts import Form, day, list_of, number, or_null, record, text, truth


def log() -> Form:
    """Of the log."""
    return record(
        zone=text("Time zone of the site; empty where none is stated"),
        now=_instant("This computer's clock, in universal time"),
        gauges=list_of(_gauge()),
        of=text("Gauge or kind whose entries are told; empty for all"),
        entries=list_of(_entry()),
        out=list_of(_entry()),
        kinds=list_of(_kind()),
    )


def month() -> Form:
    """Of a month of readings."""
    stands = record(
        hour=text("Hour by the site's clock"),
        says=text("The figure as it was said"),
        who=text("By whom; empty for a sensor or unknown"),
    )
    line = record(
        line=text("What the line is called: day of the month, row of the gauge"),
        day=day("Day of the line"),
        weekday=text("The same, its day of the week"),
        gauge=text("Gauge of the line"),
        unit=text("Unit of a bare figure"),
        stands=list_of(stands),
    )
    return record(
        sheet=text("Which log sheet"),
        title=text("What it is called"),
        when=text("When it is filled in"),
        heads=list_of(text("Heads of its columns, as printed")),
        month=text("Which month, such as 2027-03"),
        called=text("The same in words"),
        example=text("How a figure may be written; empty where nothing is to be said"),
        sheets=list_of(text("Sheets for which the site has a gauge")),
        lines=list_of(line),
    )


def phone() -> Form:
    """Of what the log on a telephone takes along."""
    gauge = record(
        gauge=text("Name of the gauge"),
        called=text("What is read, in words"),
        unit=text("Unit of a bare figure"),
        adds=text("What is written after a bare figure; empty where it stays bare"),
        least=or_null(number("Bare figures below are hardly true", "unit of the gauge")),
        most=or_null(number("Bare figures above are hardly true", "unit of the gauge")),
        counts_up=truth("Whether a smaller figure than the last is hardly true"),
        last=or_null(number("Its last figure", "unit of the gauge")),
        last_says=text("The same as it was said"),
        last_at=or_null(_instant("When, in universal time")),
        last_who=text("By whom"),
    )
    return record(gauges=list_of(gauge), kinds=list_of(_kind()))


def _gauge() -> Form:
    last = record(
        value=number("The figure in the unit beside it"),
        value_unit=text("Unit of the figure"),
        says=text("The figure as it was said"),
        at=_instant("When, in universal time"),
        when=text("When, by the site's clock"),
        who=text("By whom; empty for a sensor or unknown"),
        note=text("What else is known of it, or what is doubted"),
    )
    return record(
        gauge=text("Name of the gauge"),
        measures=text("What it measures"),
        how=text("How"),
        of=text("What it stands at; empty for the whole site"),
        called=text("What is read, in words"),
        unit=text("Unit of a bare figure"),
        example=text("A figure with its unit"),
        sends=truth("Whether it sends its figures by itself"),
        last={"anyOf": [last, {"type": "null"}]},
    )


def _entry() -> Form:
    before = record(
        what=text("What it was about"),
        says=text("What it said"),
        at=or_null(_instant("When it was said to be, in universal time")),
        when=text("The same by the site's clock"),
        why=text("Why it was put right"),
        who=text("By whom"),
        made=or_null(_instant("When it was put right, in universal time")),
        made_when=text("The same by the site's clock"),
    )
    return record(
        number=text("By which it is put right, such as r12"),
        kind={"enum": list(KINDS), "description": "Kind of entry"},
        at=_instant("When, in universal time"),
        when=text("The same by the site's clock"),
        what=text("What it is about"),
        says=text("What it says"),
        who=text("By whom"),
        note=text("What else is known of it, or what is doubted"),
        before=list_of(before),
    )


def _kind() -> Form:
    box = record(
        name=text("Name of the box"),
        label=text("What stands above it"),
        way={
            "enum": ["words", "choice", "instant", "yes"],
            "description": "How it is filled in",
        },
        choices=list_of(text("A name that it offers")),
        needed=truth("Whether it must be filled in"),
        hint=text("An example"),
    )
    return record(
        kind={"enum": list(KINDS), "description": "Kind of entry"},
        title=text("What it is called"),
        boxes=list_of(box),
    )


def _instant(says: str) -> Form:
    return text(says) | {"format": "date-time"}
