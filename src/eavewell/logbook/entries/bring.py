"""A file of readings brought into a log: all of it or nothing, and never twice."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from eavewell.faults import BadLog
from eavewell.logbook.entries.shown import numbered
from eavewell.logbook.entries.whole_log import entries_in, is_whole_log
from eavewell.logbook.readings.figures import in_usual_unit
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.store.arriving import Added, Differs, origin_of
from eavewell.logbook.store.store import Store
from eavewell.logbook.taken import read_file
from eavewell.logbook.taken.brought import Brought
from eavewell.report.blocks import Block, one_line, paragraph
from eavewell.site.site import Site
from eavewell.weather.counted import counted

_TOLD = 20


@dataclass(frozen=True, slots=True)
class AsRead:
    """How a file is to be read.

    gauges : such as "main", or "sensor.tank_distance=main" for what the file calls otherwise.
    unit : of its bare figures. again : a file that was brought in before is read once more.
    """

    gauges: Sequence[str] = ()
    unit: str = ""
    who: str = ""
    again: bool = False

    @property
    def named(self) -> str | Mapping[str, str]:
        """The gauge of the file, or a gauge by each name in it."""
        if len(self.gauges) == 1 and "=" not in self.gauges[0]:
            return self.gauges[0]
        pairs = [one.rpartition("=") for one in self.gauges]
        if any(not theirs for theirs, _, _ in pairs):
            raise BadLog("Several gauges: write each as the file's name = ours, such as tank=main.")
        return {theirs.strip(): ours.strip() for theirs, _, ours in pairs}


def bring(
    site: Site, store: Store, *, name: str, data: bytes, how: AsRead, now: datetime
) -> tuple[Brought, Added]:
    """Read a file and write its readings; what is questioned in them is written too.

    Raises BadLog with every fault found, and then nothing is written.
    """
    read_as = " ".join((*how.gauges, how.unit))
    origin = replace(origin_of(name, data, read_as=read_as, who=how.who), again=how.again)
    if is_whole_log(data):
        return Brought(), store.add(entries_in(data, name), origin=origin, now=now)
    brought = read_file(data, site, name=name, gauge=how.named, unit=how.unit, kept=store)
    if brought.faults:
        raise BadLog(brought.faults)
    return brought, store.add(brought.readings, origin=origin, now=now)


def brought_page(site: Site, brought: Brought, *, added: Added) -> list[Block]:
    """What became of a file."""
    if added.known:
        when = "" if added.before is None else f" on {added.before:%Y-%m-%d}"
        return [
            paragraph(
                f"This file was brought in before{when}: nothing was added. --again reads it once "
                "more."
            )
        ]
    written = f"{counted(added.new, 'reading')} written"
    if not brought.readings:
        written = "1 entry written" if added.new == 1 else f"{added.new:,} entries written"
    there = f", {added.already:,} there already" if added.already else ""
    lines: list[Block] = [paragraph(f"{written}{there}.", *brought.notes)]
    if brought.questions:
        lines.append(paragraph("Written, and to be looked at:"))
        lines += _some([one.says for one in brought.questions])
    if added.differs:
        lines.append(paragraph("Not written, as another figure stands at the same instant:"))
        lines += _some([_differs(site, one) for one in added.differs])
    return lines


def _differs(site: Site, one: Differs) -> str:
    number = "" if one.key is None else f" ({numbered('reading', one.key)})"
    came, stands = (_figure(site, one.gauge, value=value) for value in (one.value, one.stands))
    return f"{one.gauge} at {one.at:%Y-%m-%d %H:%M} UTC: {came}, where {stands} stands{number}"


def _figure(site: Site, name: str, *, value: float) -> str:
    gauge = next((one for one in gauges_of(site) if one.name == name), None)
    return f"{value:,.6g}" if gauge is None else in_usual_unit(gauge, value, show=site.place.show)


def _some(says: Sequence[str]) -> list[Block]:
    told = [one_line(f"  {one}") for one in says[:_TOLD]]
    more = len(says) - _TOLD
    return [*told, one_line(f"  and {more:,} more.")] if more > 0 else list(told)
