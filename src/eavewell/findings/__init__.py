"""Every check on a finished design, one file per reach of the water."""

from eavewell.design import Design
from eavewell.findings.household import uses_served
from eavewell.findings.sky import rain_trusted
from eavewell.findings.store import store_sized
from eavewell.site.finding import Finding

_ORDER = ("stop", "fix", "watch", "note")


def find(design: Design) -> tuple[Finding, ...]:
    """Every finding of a design, the gravest first, each reach in the order of flow."""
    found = (*rain_trusted(design), *store_sized(design), *uses_served(design))
    once = dict.fromkeys(found)
    return tuple(sorted(once, key=lambda finding: _ORDER.index(finding.level)))
