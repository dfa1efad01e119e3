"""The log of a site as plain data: gauges with their last readings, last entries, boxes."""

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

from eavewell.logbook.entries.asked import ASKED, bare_unit, choices_of, example_of
from eavewell.logbook.entries.listed import listed
from eavewell.logbook.entries.said import zone
from eavewell.logbook.entries.shown import Words, numbered
from eavewell.logbook.kept import Kind
from eavewell.logbook.readings.figures import quantity_asked
from eavewell.logbook.readings.gauges import BY_HAND, gauges_of
from eavewell.logbook.store.corrected import Correction
from eavewell.logbook.store.documents import KINDS, instant_of, kind_of
from eavewell.logbook.store.store import Store
from eavewell.site.entry import Entry, Outage, Reading
from eavewell.site.gauge import Gauge
from eavewell.site.site import Site
from eavewell.units import quantities

Plain = dict[str, Any]
MOST = 20


def log_answer(site: Site, store: Store, *, now: datetime, of: str = "") -> Plain:
    """What stands in a log and what it asks.

    of : a gauge or a kind of entry, such as "loads", whose last entries are told; "" for all.
    Raises BadLog for what is neither.
    """
    found = listed(site, store, name=of, most=MOST)
    newest = sorted(found, key=lambda one: (instant_of(one[1]), one[0]), reverse=True)[:MOST]
    return {
        "zone": site.log.zone,
        "now": _iso(now),
        "gauges": [gauge_answer(site, store, gauge=one, now=now) for one in by_hand_first(site)],
        "of": of,
        "entries": [entry_answer(site, store, key=key, entry=one, now=now) for key, one in newest],
        "out": [
            entry_answer(site, store, key=key, entry=one, now=now)
            for key, one in store.entries("outage")
            if isinstance(one, Outage) and one.ended is None
        ],
    }


def by_hand_first(site: Site) -> tuple[Gauge, ...]:
    """Gauges that somebody reads, levels before others, then those that send their figures."""
    order = sorted(gauges_of(site), key=lambda one: (one.feed is not None, one.measures != "level"))
    return tuple(order)


def gauge_answer(site: Site, store: Store, *, gauge: Gauge, now: datetime) -> Plain:
    """One gauge, how its figure is written, and its last reading."""
    last = store.last(gauge.name)
    return {
        "gauge": gauge.name,
        "measures": gauge.measures,
        "how": gauge.how,
        "of": gauge.of,
        "called": called(gauge),
        "unit": bare_unit(gauge, site.place.show),
        "example": example_of(gauge, site.place.show),
        "sends": gauge.feed is not None,
        "last": None if last is None else _last(site, last, gauge=gauge, now=now),
    }


def called(gauge: Gauge) -> str:
    """What is read, in words: "Level of main by the stick"."""
    what = gauge.measures[:1].upper() + gauge.measures[1:]
    of = f" of {gauge.of}" if gauge.of and gauge.of != gauge.name else ""
    if gauge.measures == "level" and gauge.of:
        of = f" of {gauge.of}"
        how = gauge.how if gauge.how in BY_HAND and gauge.how != "unknown" else gauge.name
        return f"{what}{of}, {how}"
    return f"{what}{of}" if gauge.name == gauge.measures else f"{what}{of}, {gauge.name}"


def _last(site: Site, last: Reading, *, gauge: Gauge, now: datetime) -> Plain:
    words = Words(site, here=True)
    return {
        "value": last.value,
        "value_unit": quantities()[quantity_asked(gauge)].internal,
        "says": words.figure(last),
        "at": _iso(last.at),
        "when": when_said(site, last.at, now=now),
        "who": last.who,
        "note": last.note,
    }


def when_said(site: Site, at: datetime, *, now: datetime) -> str:
    """An instant by the site's clock: today and yesterday by these words."""
    clock = zone(site)
    local, today = at.astimezone(clock), now.astimezone(clock).date()
    near = {today: "today", today - timedelta(days=1): "yesterday"}.get(local.date())
    if near is None:
        return Words(site, here=True).when(at)
    return f"{near} {local.hour}:{local.minute:02d}"


def entry_answer(site: Site, store: Store, *, key: int, entry: Entry, now: datetime) -> Plain:
    """One entry, and what stood there before it was put right."""
    words, kind = Words(site, here=True), kind_of(entry)
    what, says = words.of(entry)
    return {
        "number": numbered(kind, key),
        "kind": kind,
        "at": _iso(instant_of(entry)),
        "when": when_said(site, instant_of(entry), now=now),
        "what": what,
        "says": says,
        "who": getattr(entry, "who", ""),
        "note": getattr(entry, "note", ""),
        "before": [_before(words, one) for one in store.corrections(kind, key)],
    }


def _before(words: Words, one: Correction) -> Plain:
    was = one.was
    return {
        "what": "" if was is None else words.of(was)[0],
        "says": "" if was is None else words.of(was)[1],
        "at": None if was is None else _iso(instant_of(was)),
        "when": "" if was is None else words.when(instant_of(was)),
        "why": one.why,
        "who": one.who,
        "made": None if one.made is None else _iso(one.made),
        "made_when": "" if one.made is None else words.when(one.made),
    }


def boxes_answer(
    site: Site, kinds: Sequence[Kind] = tuple(KINDS), *, tasks: Sequence[str] = ()
) -> list[Plain]:
    """The boxes of each kind of entry, with the names that they offer.

    tasks : as the due list calls them.
    """
    offered = {**choices_of(site), "gauges": tuple(one.name for one in by_hand_first(site))}
    offered["tasks"] = tuple(tasks)
    hints = {"volume": quantities()["volume"]}
    return [
        {
            "kind": kind,
            "title": ASKED[kind].title,
            "boxes": [
                {
                    "name": one.name,
                    "label": one.label,
                    "way": one.way,
                    "choices": list(offered.get(one.choices, ())),
                    "needed": one.needed,
                    "hint": _hint(one.hint, hints, site=site),
                }
                for one in ASKED[kind].boxes
            ],
        }
        for kind in kinds
    ]


def _hint(hint: str, hints: Mapping[str, Any], *, site: Site) -> str:
    if hint not in hints:
        return hint
    asked = hints[hint]
    return str(asked.example_us if site.place.show == "us" else asked.example_metric)


def _iso(at: datetime) -> str:
    return at.astimezone(UTC).isoformat(timespec="milliseconds")
