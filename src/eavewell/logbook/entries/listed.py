"""Entries that are looked for, and one put right as somebody says it."""

from dataclasses import replace
from datetime import datetime, timedelta

from eavewell.faults import BadLog
from eavewell.files.site.field_values import near
from eavewell.logbook.entries.doubts import doubts_of
from eavewell.logbook.entries.follows import refuse_ahead
from eavewell.logbook.entries.taken_down import before_of
from eavewell.logbook.entries.typed import questioned, reading_of
from eavewell.logbook.kept import Kind
from eavewell.logbook.readings.gauges import gauges_of
from eavewell.logbook.store.documents import KINDS, kind_of
from eavewell.logbook.store.store import Store
from eavewell.site.entry import Done, Entry, Load, Note, Outage, Reading, Tested
from eavewell.site.site import Site
from eavewell.units import read

_NEAR = timedelta(days=30)


def listed(site: Site, store: Store, *, name: str, most: int) -> tuple[tuple[int, Entry], ...]:
    """The newest entries of all kinds, of one kind, or of one gauge.

    Raises BadLog for what is neither.
    """
    kinds: dict[str, Kind] = {kind: kind for kind in KINDS}
    kinds |= {f"{kind}s": kind for kind in KINDS}
    if not name:
        return tuple(one for kind in KINDS for one in store.latest(kind, most=most))
    if name in kinds:
        return store.latest(kinds[name], most=most)
    gauges = tuple(dict.fromkeys((*(one.name for one in gauges_of(site)), *store.gauges())))
    if name not in gauges:
        raise BadLog(
            f"There is no gauge '{name}': {near(name, (*gauges, 'readings', 'loads', 'notes'))}"
        )
    return tuple((key, store.entry("reading", key)) for key in _newest(store, name, most=most))


def _newest(store: Store, gauge: str, *, most: int) -> list[int]:
    """Keys of the newest readings of a gauge, looked for near the last one first."""
    last = store.last(gauge)
    if last is None:
        return []
    near = store.readings(gauge, last.at - _NEAR).keys
    found: list[int] = (near if near.size >= most else store.readings(gauge).keys).tolist()
    return found[-most:]


def put_right(site: Site, was: Entry, *, said: str, at: datetime | None) -> Entry:
    """An entry with another figure, volume or words, or at another time.

    Raises BadLog or BadQuantity in a sentence.
    """
    if not said and at is None:
        raise BadLog("Say what it should say, or --at for when it was; 'strike' takes it out.")
    moved = was if at is None else _moved(was, at)
    return _said(site, moved, said=said) if said else moved


def asked_again(site: Site, store: Store, *, right: Entry, was: Entry, now: datetime) -> Entry:
    """The entry with what is newly doubted in it, where it is a reading of a gauge that is known.

    was : what stood there; who puts one thing right was not asked about the rest again.

    Raises BadLog for a task, a test or an outage that is yet to come.
    """
    refuse_ahead(right, now=now)
    gauge = next((one for one in gauges_of(site) if one.name == getattr(right, "gauge", "")), None)
    if not isinstance(right, Reading) or gauge is None:
        return right
    asked = [
        doubts_of(
            site, one, gauge=gauge, before=before_of(store, gauge, at=one.at), now=now, kept=store
        )
        for one in (right, was)
        if isinstance(one, Reading)
    ]
    return questioned(right, [doubt for doubt in asked[0] if doubt not in asked[-1]])


def _moved(was: Entry, at: datetime) -> Entry:
    if isinstance(was, Load):
        return replace(was, came=at) if was.came else replace(was, ordered=at)
    if isinstance(was, Outage):
        return replace(was, began=at)
    if isinstance(was, Tested):
        return replace(was, at=at, test=replace(was.test, day=at.date()))
    zone = getattr(at.tzinfo, "key", "")
    return replace(was, at=at, zone=zone) if isinstance(was, Reading) else replace(was, at=at)


def _said(site: Site, was: Entry, *, said: str) -> Entry:
    if isinstance(was, Reading):
        gauge = next((one for one in gauges_of(site) if one.name == was.gauge), None)
        if gauge is None:
            raise BadLog(f"The site file has no gauge '{was.gauge}' any more: its figures stay.")
        now = reading_of(gauge, said, at=was.at, who=was.who)
        return replace(was, value=now.value, said=now.said, note="")
    if isinstance(was, Load):
        return replace(was, volume_l=read(said, "volume"))
    if isinstance(was, Done):
        return replace(was, found=said)
    if isinstance(was, Note):
        return replace(was, says=said)
    if isinstance(was, Tested):
        from eavewell.files.site.water import result_of

        value, below = result_of(said, was.test.of)
        return replace(was, test=replace(was.test, value=value, below=below))
    raise BadLog(f"What an {kind_of(was)} says is its times: write --at, or 'outage ... --to'.")
