"""Whether a line keeps foul water out and lets heated water grow; a licensed plumber decides."""

from collections.abc import Iterator

from eavewell.hydraulics.service import PumpedLine
from eavewell.site.finding import COMMON, Finding

DECIDES = "Screening, not design approval; a licensed plumber decides."


def plumbing_safe(run: PumpedLine) -> Iterator[Finding]:
    """Hydrants, hose bibbs and heaters of one line."""
    line, where = run.line, f"line {run.line.name!r}"
    if line.hydrant_drains:
        yield Finding(
            "hydrant-drains-to-soil",
            "stop",
            where,
            "Water of the soil stands around the drain of the hydrant and is sucked in when the "
            f"pressure falls. {DECIDES}",
            source=COMMON,
            fix="a sanitary hydrant that does not drain into the soil",
        )
    if line.heater and _shut_in(run) and not line.expansion_tank:
        yield Finding(
            "heater-shut-in",
            "fix" if line.expansion_tank is False else "watch",
            where,
            "Between its check valve and the heater the heated water has no room to grow: the "
            f"relief valve drips or something bursts. {DECIDES}",
            source=COMMON,
            fix="an expansion tank between check valve and heater, beside the relief valve",
        )
    yield from _vacuum(run)


def _shut_in(run: PumpedLine) -> bool:
    backflow = any(thing.kind == "backflow device" for thing in run.line.in_line)
    return bool(run.line.check_valve) or backflow


def _vacuum(run: PumpedLine) -> Iterator[Finding]:
    hoses = [outlet.name for outlet in run.line.outlets if outlet.fixture == "hose bibb"]
    if not hoses or run.line.vacuum_breakers:
        return
    says = "Does each hose bibb have a vacuum breaker? "
    if run.line.vacuum_breakers is False:
        says = "A hose that lies in a bucket or pool is sucked back into the house. "
    yield Finding(
        "hose-without-vacuum-breaker",
        "note" if run.line.vacuum_breakers is None else "fix",
        f"line {run.line.name!r}, {', '.join(hoses)}",
        f"{says}{DECIDES}",
        source=COMMON,
        fix="a vacuum breaker on each hose bibb",
    )
