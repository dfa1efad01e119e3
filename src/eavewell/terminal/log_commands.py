"""The commands on the log: what was read, brought, done, found or noticed goes in, and is shown."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import typer

from eavewell.terminal.service_commands import service

log = typer.Typer(
    no_args_is_help=True,
    rich_markup_mode=None,
    help="Write into the log of a site, look at it, bring readings in.",
)
log.add_typer(service)
At = Annotated[str, typer.Option("--at", help='"2027-03-04 7:30", "yesterday 18:00"; else now.')]
Who = Annotated[str, typer.Option("--who", help="Who read or did it.")]
Remark = Annotated[str, typer.Option("--note", help="Anything else to know of it.")]
Where = Annotated[Path, typer.Option("--site", help="The site file or its folder; else here.")]
Why = Annotated[str, typer.Option("--why", help="What was wrong; it is kept.")]
Number = Annotated[str, typer.Argument(help="As 'eavewell log show' has it, such as r12.")]
HERE = Path()


@dataclass(frozen=True, slots=True)
class Opened:
    """A site with its log open, at a moment of this computer's clock."""

    site: Any
    store: Any
    now: Any

    def at(self, said: str, *, hour: float | None = None) -> Any:
        """The instant that is meant."""
        from eavewell.logbook.midnights import zone_of
        from eavewell.logbook.when import instant_said

        zone = zone_of(self.site.log.zone) if self.site.log.zone else None
        usual = self.site.log.readings_at if hour is None else hour
        return instant_said(said, now=self.now, zone=zone, hour=usual)

    def write(self, entry: Any) -> None:
        """Write an entry and show it with its number."""
        added = self.store.add([entry], now=self.now)
        kind = next(k for k, made in _kinds().items() if isinstance(entry, made))
        found = [one for one in self.store.latest(kind, most=50) if one[1] == entry]
        self.show(found, again=not added.new)

    def show(self, found: Any, *, again: bool = False) -> None:
        """Show entries of the log."""
        from eavewell.logbook.shown import entries_page
        from eavewell.terminal.printed import put

        put(entries_page(self.site, found))
        if again:
            print("It was in the log already.")


def _kinds() -> Any:
    from eavewell.logbook.store.documents import KINDS

    return KINDS


def _open(path: Path, *, make: bool = True) -> Opened:
    from datetime import datetime

    from eavewell.files.site.reader import read_site
    from eavewell.logbook.store import open_log

    site = read_site(path / "site.toml" if path.is_dir() else path)
    return Opened(site, open_log(site, make=make), datetime.now().astimezone())


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
        _take(said, measures, opened=_open(site), at=at, by=(who, note))

    return take


def _take(said: list[str], measures: Any, *, opened: Opened, at: str, by: tuple[str, str]) -> None:
    from eavewell.faults import BadLog
    from eavewell.logbook.shown import taken_page
    from eavewell.logbook.taken_down import Said, take_down
    from eavewell.logbook.typed import gauge_meant
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
    log.command(_name, help=_help)(_gauge_command(_measures, _what))


@log.command()
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

    opened = _open(site)
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


@log.command()
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

    opened = _open(site)
    later = opened.at(until, hour=0.0) if until else None
    with opened.store:
        opened.write(Done(task, opened.at(at), thing, until=later, found=found, who=who, note=note))


@log.command()
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

    opened = _open(site)
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


@log.command()
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
    opened = _open(site)
    value, below = result_of(found, of)
    when = opened.at(at)
    result = WaterTest(of, value, when.date(), below=below, tap=tap, laboratory=by)
    with opened.store:
        opened.write(Tested(when, result, who=who, note=note))


@log.command()
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

    opened = _open(site)
    with opened.store:
        opened.write(Note(opened.at(at), says, about=about, who=who))


@log.command()
def show(
    name: Annotated[str, typer.Argument(help="A gauge, or readings, loads, notes; else all.")] = "",
    *,
    most: Annotated[int, typer.Option("--most", min=1, max=10_000, help="How many.")] = 20,
    site: Where = HERE,
) -> None:
    """Show the last entries with their numbers."""
    from eavewell.logbook.listed import listed

    opened = _open(site, make=False)
    with opened.store as store:
        opened.show(listed(opened.site, store, name=name, most=most))


@log.command()
def correct(
    number: Number,
    said: Annotated[str, typer.Argument(help="What it should say; left out: it stays.")] = "",
    *,
    why: Why,
    at: Annotated[str, typer.Option("--at", help="When it was; left out: it stays.")] = "",
    who: Who = "",
    site: Where = HERE,
) -> None:
    """Put an entry right; what stood there is kept.

    Its figure, volume or words, and when it was.
    """
    from eavewell.logbook.listed import put_right
    from eavewell.logbook.shown import number_meant

    opened = _open(site, make=False)
    kind, key = number_meant(number)
    with opened.store as store:
        when = opened.at(at) if at else None
        right = put_right(opened.site, store.entry(kind, key), said=said, at=when)
        store.correct(key, right, why=why, who=who, now=opened.now)
        opened.show([(key, right)])


@log.command()
def strike(number: Number, *, why: Why, who: Who = "", site: Where = HERE) -> None:
    """Take an entry out; it is kept with the reason."""
    from eavewell.logbook.shown import number_meant

    opened = _open(site, make=False)
    kind, key = number_meant(number)
    with opened.store as store:
        store.strike(kind, key, why=why, who=who, now=opened.now)
    print(f"{number} is struck out.")


@log.command()
def bring(
    file: Annotated[Path, typer.Argument(help="csv of readings, in any order of dates.")],
    *,
    gauge: Annotated[
        list[str] | None,
        typer.Option("--gauge", help="Its gauge, or one by the file's name: sensor.tank=main."),
    ] = None,
    unit: Annotated[str, typer.Option("--unit", help="Of its bare figures.")] = "",
    again: Annotated[bool, typer.Option("--again", help="Though it was brought before.")] = False,
    who: Who = "",
    site: Where = HERE,
) -> None:
    """Bring in a file of readings: all of it or nothing, and never twice.

    Of a logger, a meter's bills, or the history of a home automation.
    """
    from eavewell.logbook.bring import AsRead, brought_page
    from eavewell.logbook.bring import bring as bring_in
    from eavewell.terminal.printed import put

    data = file.read_bytes()
    opened, how = _open(site), AsRead(gauge or [], unit, who, again)
    with opened.store as store:
        found, added = bring_in(
            opened.site, store, name=file.name, data=data, how=how, now=opened.now
        )
    put(brought_page(opened.site, found, added=added))


@log.command()
def listen(*, site: Where = HERE) -> None:
    """Take what sensors send to the message broker; Ctrl+C stops.

    A message is acknowledged when it is on the disk, so that nothing is lost.
    """
    from eavewell.terminal.listening import listened

    opened = _open(site)
    with opened.store as store:
        print(listened(opened.site, store))
