"""The log and its gauges from their parts of the site file."""

import difflib
import math
import re
from collections.abc import Mapping
from urllib.parse import urlsplit
from zoneinfo import available_timezones

from eavewell.faults import BadQuantity
from eavewell.files.site.field_values import near
from eavewell.files.site.parts import Part
from eavewell.site.gauge import Feed, Gauge, KnownLevel, Log, Tell
from eavewell.site.share import Share
from eavewell.tables import rows
from eavewell.units import read

_BARE = re.compile(r"[-+]?[0-9]*\.?[0-9]+(?:[eE][-+]?[0-9]+)?")
_DATABASE = "postgresql"


def log_of(part: Part | None, *, tanks: tuple[str, ...]) -> Log:
    """How the log is kept; a file beside the site file and no gauges where nothing is said.

    tanks : names of the tanks, sumps left out; a level is of the only one where it says nothing.
    """
    if part is None:
        return Log()
    _check_kept(part)
    _check_zone(part)
    return Log(
        kept_in=part["kept_in"] or "",
        zone=part["zone"] or "",
        broker=_host(part, "broker", example="barn:1883"),
        readings_at=part["readings_at"],
        gauges=tuple(_gauge(one, tanks) for one in part["gauge"]),
        tell=_tell(part["tell"], broker=part["broker"]),
        share=_share(part["share"]),
    )


def check_log(
    part: Part | None, *, tanks: tuple[str, ...], known: Mapping[str, tuple[str, ...]]
) -> None:
    """Note gauges that stand at nothing, are called alike, or feed from nowhere.

    tanks : names of the tanks, sumps left out. known : names of what stands in each list of the
    site file, such as "line.in_line".
    """
    if part is None:
        return
    for gauge in part["gauge"]:
        _check_of(gauge, tanks=tanks, known=known)
        for use in gauge["uses"] or ():
            if use not in known["use"]:
                gauge.fault(f"uses: there is no use '{use}': {near(use, known['use'])}", "uses")
        _check_air(gauge, part["gauge"])
        if gauge["feed"] and not part["broker"]:
            gauge.fault("it has a feed, but the log names no broker.", "feed")


def measured(measures: str) -> Mapping[str, str]:
    """The row of tables/gauge_measures.csv of what a gauge measures."""
    return next(row for row in rows("gauge_measures") if row["name"] == measures)


def _gauge(part: Part, tanks: tuple[str, ...]) -> Gauge:
    quantity = measured(part["measures"])["quantity"] if part["measures"] else ""
    _check_unit(part, quantity)
    known = tuple(
        KnownLevel(_of_bare(said, part, quantity=quantity), level_m)
        for said, level_m in part["known_levels"] or ()
    )
    only = tanks[0] if len(tanks) == 1 and part["measures"] in ("level", "make-up") else ""
    zero_m = part["zero"] if part["zero"] is not None or known else 0.0
    return Gauge(
        name=part["name"] or "",
        measures=part["measures"] or "level",
        of=part["of"] or only,
        how=part["how"] or "unknown",
        unit=part["unit"] or "",
        uses=part["uses"] or (),
        zero_m=zero_m,
        known_levels=known,
        blind_m=part["blind"] or 0.0,
        reckons_at_c=part["reckons_at"],
        air_gauge=part["air"] or "",
        per_pulse_l=part["per_pulse"],
        wraps_at=part["wraps_at"],
        noise=_figure(part, "noise", quantity=quantity),
        least=_figure(part, "least", quantity=quantity),
        most=_figure(part, "most", quantity=quantity),
        feed=_feed(part["feed"]),
    )


def _check_unit(part: Part, quantity: str) -> None:
    """Its bare figures can be read; where known levels say what they mean, in any unit."""
    if part["per_pulse"] is not None and quantity not in ("", "volume"):
        part.fault("per_pulse: only a gauge that measures water drawn counts pulses.", "per_pulse")
    if part["per_pulse"] is not None and part["unit"]:
        part.fault("both unit and per_pulse are given: a pulse has no other unit.", "unit")
    if part["unit"] and quantity and not _any_unit(part):
        try:
            read(f"1 {part['unit']}", quantity)
        except BadQuantity as refused:
            part.fault(f"unit: {refused.faults[0].says}", "unit")
    if part["known_levels"] and part["measures"] not in ("level", None):
        part.fault("known_levels: only a gauge of a level has them.", "known_levels")
    bare = part["unit"] or part["per_pulse"] is not None or _any_unit(part)
    if part["feed"] and not bare:
        part.fault("it has a feed, whose figures are bare: say their unit.", "unit")


def _any_unit(part: Part) -> bool:
    """True where known levels say what the figures mean, whatever their unit."""
    return len(part["known_levels"] or ()) > 1


def _figure(part: Part, name: str, *, quantity: str) -> float | None:
    """A figure of the gauge in the internal unit; a bare one is in the gauge's own."""
    raw = part[name]
    if raw is None or not quantity:
        return None
    number, _, unit = str(raw).strip().partition(" ")
    try:
        if _BARE.fullmatch(str(raw).strip()):
            unit = part["unit"] or ""
            value = _of_bare(float(number), part, quantity=quantity)
        else:
            value = read(raw, quantity)
        # by how much it is off has no zero of its own: 1 F off is 5/9 C
        warm = quantity == "temperature" and name == "noise"
        return value - read(f"0 {unit}", quantity) if warm else value
    except BadQuantity as refused:
        part.fault(f"{name}: {refused.faults[0].says}", name)
        return None


def _of_bare(figure: float, part: Part, *, quantity: str) -> float:
    """A bare figure in the internal unit: pulses in litres, and as it is where no unit is ours.

    Raises BadQuantity where it has no unit.
    """
    if part["per_pulse"] is not None:
        return figure * float(part["per_pulse"])
    unit = part["unit"] or ""
    if _any_unit(part) and not _is_unit(unit, quantity):
        return figure
    return read(f"{figure!r} {unit}".strip(), quantity)


def _is_unit(unit: str | None, quantity: str) -> bool:
    try:
        return bool(unit) and math.isfinite(read(f"1 {unit}", quantity))
    except BadQuantity:
        return False


def _feed(part: Part | None) -> Feed | None:
    if part is None:
        return None
    if any(mark in (part["topic"] or "") for mark in "+#"):
        part.fault("topic: a gauge has one topic, without + or #.", "topic")
    if part["scale"] == 0.0:
        part.fault("scale: times nothing, every figure is the same.", "scale")
    if part["time"] and not part["at"]:
        part.fault("time: a plain number carries no time: say at as well.", "time")
    return Feed(
        part["topic"] or "",
        at=part["at"] or "",
        scale=part["scale"] if part["scale"] is not None else 1.0,
        offset=part["offset"] if part["offset"] is not None else 0.0,
        time_at=part["time"] or "",
    )


def _tell(part: Part | None, *, broker: str | None) -> Tell:
    if part is None:
        return Tell()
    if part["mail_to"]:
        for name in ("mail_from", "mail_server"):
            if not part[name]:
                part.fault(f"mail_to is given, and {name} is not.", "mail_to")
    for address in (*(part["mail_to"] or ()), *((part["mail_from"],) if part["mail_from"] else ())):
        if not re.fullmatch(r"[^@\s]+@[^@\s]+", address):
            part.fault(f"'{address}' is no address such as kay@example.org.", "mail_to")
    if part["topic"] and not broker:
        part.fault("a topic is given, but the log names no broker.", "topic")
    return Tell(
        mail_to=part["mail_to"] or (),
        mail_from=part["mail_from"] or "",
        mail_server=_host(part, "mail_server", example="mail.example.org:587"),
        topic=part["topic"] or "",
    )


def _share(part: Part | None) -> Share:
    if part is None:
        return Share()
    known = tuple(row["name"] for row in rows("shared"))
    for word in part["agreed"] or ():
        if word not in known:
            part.fault(f"agreed: nobody can agree to '{word}': {near(word, known)}", "agreed")
    return Share(part["agreed"] or (), part["town"] or "")


def _host(part: Part, name: str, *, example: str) -> str:
    """Host and port as host:port; a fault where it is neither."""
    said = part[name] or ""
    found = re.fullmatch(r"(\[[0-9a-fA-F:]+\]|[A-Za-z0-9._-]+):([0-9]{1,5})", said)
    if said and not (found and 0 < int(found[2]) < 65536):
        part.fault(f"{name}: '{said}' must be a host and a port, such as {example}.", name)
    return said


def _check_zone(part: Part) -> None:
    zone = part["zone"]
    if not zone:
        return
    known = available_timezones()
    if zone not in known:
        part.fault(
            f"zone: there is no time zone '{zone}' in the IANA list: {_zone_hint(zone, known)}",
            "zone",
        )


def _zone_hint(zone: str, known: set[str]) -> str:
    close = difflib.get_close_matches(zone.replace(" ", "_"), known, n=1, cutoff=0.6)
    cities = {name.rpartition("/")[2].casefold(): name for name in sorted(known)}
    city = cities.get(zone.replace(" ", "_").rpartition("/")[2].casefold())
    found = city or (close[0] if close else "")
    return f"did you mean {found}?" if found else "write one such as America/Chicago."


def _check_kept(part: Part) -> None:
    said = part["kept_in"]
    if not said:
        return
    try:
        address = urlsplit(said)
        password, whole = address.password, bool(address.hostname and address.path.strip("/"))
    except ValueError:
        password, whole = None, False
    if address_kind(said) != _DATABASE or not whole:
        part.fault(
            "kept_in: it must be the address of a database, such as "
            "postgresql://eavewell@office/logs; left out, the log is a file beside the site file.",
            "kept_in",
        )
    elif password is not None:
        part.fault(
            "kept_in: take the password out: whoever has the site file would have it. It is read "
            "from EAVEWELL_LOG_PASSWORD.",
            "kept_in",
        )


def address_kind(address: str) -> str:
    """What stands before :// of an address."""
    return address.partition("://")[0] if "://" in address else ""


def _check_of(gauge: Part, *, tanks: tuple[str, ...], known: Mapping[str, tuple[str, ...]]) -> None:
    if not gauge["measures"]:
        return
    row, of = measured(gauge["measures"]), gauge["of"]
    lists = row["refers"].split("|") if row["refers"] else []
    names = tuple(name for one in lists for name in known[one])
    if of and not lists:
        gauge.fault(f"of: {row['name']} is of the whole site: leave it out.", "of")
    elif of and of not in names:
        gauge.fault(f"of: there is no {row['of']} '{of}': {near(of, names)}", "of")
    elif not of and row["name"] in ("level", "make-up") and len(tanks) != 1:
        gauge.fault(f"of: say which tank it stands at: {near('', tanks)}", "of")
    if gauge["name"] in tanks and (of or gauge["name"]) != gauge["name"]:
        gauge.fault("it has the name of a tank and stands elsewhere: call it otherwise.", "name")


def _check_air(gauge: Part, gauges: tuple[Part, ...]) -> None:
    if gauge["air"] is None:
        return
    thermometers = tuple(one["name"] for one in gauges if one["measures"] == "temperature")
    if gauge["air"] not in thermometers:
        gauge.fault(
            f"air: there is no gauge of a temperature called '{gauge['air']}': "
            f"{near(gauge['air'], thermometers)}",
            "air",
        )
