"""The commands that write one entry into a log: a reading, a load, a task, an outage, a test."""

from collections.abc import Callable
from typing import Annotated, Any

import typer

from eavewell.terminal.log_opened import HERE, At, Opened, Remark, Where, Who, open_site

entries = typer.Typer()


def _gauge_command(measures: Any, what: str) -> Callable[..., None]:
    said = Annotated[list[str], typer.Argument(metavar="[NAME] FIGURE", help=what)]

    def take(
        said: said,
        *,
        at: At = "",
        who: Who = "",
        note: Remark = "",
        site: Where = HERE,
    ) -> None:
        _take(said, measures, opened=open_site(site), at=at, by=(who, note))

    return take


def _take(said: list[str], measures: Any, *, opened: Opened, at: str, by: tuple[str, str]) -> None:
    from eavewell.faults import BadLog
    from eavewell.logbook.entries.shown import taken_page
    from eavewell.logbook.entries.taken_down import Said, take_down
    from eavewell.logbook.entries.typed import gauge_meant
    from eavewell.terminal.printed import put

    if len(said) > 2:
        raise BadLog(f"{' '.join(said)!r}: put the figure with its unit in quotation marks.")
    with opened.store as store:
        taken = take_down(
            opened.site,
            store,
            gauge=gauge_meant(opened.site, measures, name="".join(said[:-1])),
            text=said[-1],
            at=opened.at(at),
            said=Said(opened.now, *by),
        )
    put(taken_page(opened.site, taken))


for _name, _measures, _help, _what in (
    ("level", "level", "Write the level of a tank.", 'The tank, and the stick: main "41 in".'),
    ("meter", "meter", "Write what a meter says.", 'The meter or its line: house "12,340 gal".'),
    ("make-up", "make-up", "Write what a make-up meter says.", 'The tank or meter: "1,200 gal".'),
    ("rain", "rain", "Write the rain in the gauge.", '"0.6 in".'),
    ("pressure", "pressure", "Write a pressure.", 'The gauge or its line: "48 psi".'),
    ("lamp", "lamp hours", "Write the hours of a lamp.", 'The lamp: "4,120 h".'),
    ("loss", "filter loss", "Write what a filter loses.", 'The filter: sediment "4 psi".'),
    ("air", "temperature", "Write a temperature.", 'The gauge: "75 F".'),
):
    # a temperature below nothing is no option
    entries.command(_name, help=_help, context_settings={"ignore_unknown_options": True})(
        _gauge_command(_measures, _what)
    )


@entries.command()
def load(
    to: Annotated[str, typer.Argument(help="The tank it filled.")],
    volume: Annotated[str, typer.Argument(help='"2,000 gal".')],
    *,
    at: At = "",
    ordered: Annotated[str, typer.Option("--ordered", help="When it was ordered.")] = "",
    due: Annotated[bool, typer.Option("--not-yet", help="Ordered at --at, and not here.")] = False,
    price: Annotated[float | None, typer.Option("--price", help="What it cost.")] = None,
    paper: Annotated[str, typer.Option("--paper", help="What certifies the water.")] = "",
    chlorine: Annotated[str, typer.Option("--chlorine", help='On arrival, "0.5 mg/L".')] = "",
    who: Who = "",
    note: Remark = "",
    site: Where = HERE,
) -> None:
    """Write a load of hauled water that came or was ordered."""
    from eavewell.faults import BadLog
    from eavewell.files.site.field_values import near
    from eavewell.site.entry import Load
    from eavewell.units import read

    opened = open_site(site)
    names = tuple(tank.name for tank in opened.site.tanks)
    if to not in names:
        raise BadLog(f"There is no tank '{to}': {near(to, names)}")
    when = opened.at(at, hour=12.0)
    with opened.store:
        opened.write(
            Load(
                to,
                ordered=when if due else opened.at(ordered, hour=12.0) if ordered else None,
                came=None if due else when,
                volume_l=read(volume, "volume"),
                price=price,
                paper=paper,
                chlorine_mg_l=read(chlorine, "concentration") if chlorine else None,
                who=who,
                note=note,
            )
        )


@entries.command()
def done(
    task: Annotated[str, typer.Argument(help="As the due list calls it.")],
    *,
    thing: Annotated[str, typer.Option("--thing", help="What it was done to.")] = "",
    at: At = "",
    until: Annotated[str, typer.Option("--until", help="The day to which it is put off.")] = "",
    found: Annotated[str, typer.Option("--found", help="What was found.")] = "",
    who: Who = "",
    note: Remark = "",
    site: Where = HERE,
) -> None:
    """Write that a task was done, or is put off."""
    from eavewell.site.entry import Done

    opened = open_site(site)
    later = opened.at(until, hour=0.0) if until else None
    with opened.store:
        opened.write(Done(task, opened.at(at), thing, until=later, found=found, who=who, note=note))


@entries.command()
def outage(
    of: Annotated[str, typer.Argument(help="power, or the name of a lamp or pump.")],
    *,
    began: Annotated[str, typer.Option("--from", help="When it went out; else now.")] = "",
    ended: Annotated[str, typer.Option("--to", help="When it was back, or now.")] = "",
    who: Who = "",
    note: Remark = "",
    site: Where = HERE,
) -> None:
    """Write that something went out, or that it is back.

    With --to alone, the one that lasts is ended.
    """
    from dataclasses import replace

    from eavewell.faults import BadLog
    from eavewell.site.entry import Outage

    opened = open_site(site)
    back = opened.at(ended) if ended else None
    with opened.store as store:
        if began or not back:
            at = opened.at(began)
            if back is not None and back <= at:
                raise BadLog(f"It was back ({ended}) before it went out ({began}).")
            opened.write(Outage(of, at, back, who=who, note=note))
            return
        lasting = [(k, one) for k, one in store.entries("outage") if one.of == of and not one.ended]
        if not lasting:
            raise BadLog(f"No outage of '{of}' lasts: say --from as well.")
        key, one = lasting[-1]
        now = replace(one, ended=back)
        store.correct(key, now, why="It is back.", who=who, now=opened.now)
        opened.show([(key, now)])
        opened.follow(now)


@entries.command()
def test(
    of: Annotated[str, typer.Argument(help='What was looked for, such as "E. coli".')],
    found: Annotated[str, typer.Argument(help='As the laboratory wrote it: absent, "0.004 mg/L".')],
    *,
    at: Annotated[str, typer.Option("--at", help="Day of the sample; else today.")] = "",
    tap: Annotated[str, typer.Option("--tap", help="Where it was taken.")] = "",
    by: Annotated[str, typer.Option("--by", help="Who tested it.")] = "",
    who: Who = "",
    note: Remark = "",
    site: Where = HERE,
) -> None:
    """Write what a water test found."""
    from eavewell.faults import BadLog
    from eavewell.files.site.field_values import near
    from eavewell.files.site.water import result_of
    from eavewell.site.entry import Tested
    from eavewell.site.water import WaterTest
    from eavewell.tables import rows

    known = tuple(dict.fromkeys(row["of"] for row in rows("water_tests")))
    if of not in known:
        raise BadLog(f"There is no water test '{of}': {near(of, known)}")
    opened = open_site(site)
    value, below = result_of(found, of)
    when = opened.at(at)
    result = WaterTest(of, value, when.date(), below=below, tap=tap, laboratory=by)
    with opened.store:
        opened.write(Tested(when, result, who=who, note=note))


@entries.command()
def note(
    says: Annotated[str, typer.Argument(help="What was noticed, in quotation marks.")],
    *,
    about: Annotated[str, typer.Option("--about", help="The thing it is about.")] = "",
    at: At = "",
    who: Who = "",
    site: Where = HERE,
) -> None:
    """Write anything else that was noticed."""
    from eavewell.site.entry import Note

    opened = open_site(site)
    with opened.store:
        opened.write(Note(opened.at(at), says, about=about, who=who))


Figures = list[str] | None


@entries.command()
def shut(
    tank: Annotated[str, typer.Argument(help="The tank that stood shut, or its stick.")],
    *,
    before: Annotated[
        Figures, typer.Option("--before", help='"41 in"; again for each reading.')
    ] = None,
    after: Annotated[
        Figures, typer.Option("--after", help="The same when it was read again.")
    ] = None,
    hours: Annotated[str, typer.Option("--hours", help="Between them.")] = "12 h",
    began: Annotated[
        str, typer.Option("--from", help="When it was shut: by the readings of the log.")
    ] = "",
    ended: Annotated[str, typer.Option("--to", help="Until when; else now.")] = "",
    alone: Annotated[
        bool, typer.Option("--alone", help="One tank of a row, shut off from the others.")
    ] = False,
    at: At = "",
    who: Who = "",
    site: Where = HERE,
) -> None:
    """Judge an overnight test: a tank with its valves shut, read twice.

    By what you read, or by the log. Whether it leaks, and the least leak that these readings show;
    kept as a note.
    """
    from eavewell.faults import BadLog
    from eavewell.logbook.leaks.shut_in_log import Span, shut_in_log
    from eavewell.logbook.leaks.shut_said import shut_said
    from eavewell.report.blocks import paragraph
    from eavewell.terminal.printed import put

    if bool(before and after) == bool(began):
        raise BadLog("Say what you read, --before and --after; or --from when it stood shut.")
    opened = open_site(site)
    with opened.store as store:
        when, here = opened.at(ended if began else at), opened.site
        if began:
            span = Span(opened.at(began), when)
            found = shut_in_log(here, tank, kept=store, span=span, alone=alone)
        else:
            found = shut_said(
                here, tank, before=before or [], after=after or [], hours=hours, alone=alone
            )
        store.add([found.note(when, who=who)], now=opened.now)
    put([paragraph(f"{found.test.tank}:", *found.says, "It is kept as a note.")])
