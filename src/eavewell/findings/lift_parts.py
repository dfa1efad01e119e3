"""What a lift needs beside its pump: check valve, weep, strainer, float, alarm, second pump."""

from collections.abc import Iterator

from eavewell.findings.rounding import no_more
from eavewell.hydraulics.lift import LiftDuty
from eavewell.site.finding import COMMON, Finding
from eavewell.site.site import Site
from eavewell.tables import table
from eavewell.units import show


def parts_fitted(site: Site, duty: LiftDuty) -> Iterator[Finding]:
    """Parts that the site file says are missing; what it leaves unknown is no finding here."""
    lift, where = duty.lift, f"lift {duty.lift.name!r}"
    if lift.check_valve is False:
        yield Finding(
            "lift-no-check-valve",
            "fix",
            where,
            "Without a check valve the riser runs back at each stop and turns the pump backwards.",
            source=COMMON,
            fix="a check valve with a union above it on the riser",
        )
    yield from _freezes(site, duty)
    yield from _solids(site, duty)
    if lift.full_float is False:
        yield Finding(
            "lift-no-full-float",
            "fix",
            where,
            f"Nothing stops the pump when tank {duty.target.name!r} is full: it pumps power and "
            "water out of the overflow.",
            source=COMMON,
            fix=f"a float switch in tank {duty.target.name!r} that stops the pump when it is full",
        )
    yield from _warned(duty)


def _freezes(site: Site, duty: LiftDuty) -> Iterator[Finding]:
    coldest, limit = site.ground.coldest_c, table("sump")["freezes below"].value
    if duty.lift.weep_hole is not False or coldest is None or coldest >= limit:
        return
    yield Finding(
        "riser-freezes",
        "fix",
        f"lift {duty.lift.name!r}",
        "The riser stays full between runs and may burst in frost.",
        measured=coldest,
        limit=limit,
        unit="C",
        source=COMMON,
        fix="a weep hole into the sump above the check valve, or a drain at the riser's low point",
    )


def _solids(site: Site, duty: LiftDuty) -> Iterator[Finding]:
    solids, pump = duty.lift.solids_mm, duty.lift.pump
    if solids is None or pump is None or pump.solids_mm is None or solids <= pump.solids_mm:
        return
    passes = no_more(pump.solids_mm, "bore", system=site.place.show)
    yield Finding(
        "solids-stop-pump",
        "fix",
        f"lift {duty.lift.name!r}",
        f"Solids of {show(solids, 'bore', system=site.place.show)} reach a pump that passes "
        f"{show(pump.solids_mm, 'bore', system=site.place.show)}.",
        measured=solids,
        limit=pump.solids_mm,
        unit="mm",
        source="the pump's solids size",
        fix=f"a strainer of {passes} or finer before the sump, or a pump that passes them",
    )


def _warned(duty: LiftDuty) -> Iterator[Finding]:
    lift, where = duty.lift, f"lift {duty.lift.name!r}"
    if lift.alarm is False:
        yield Finding(
            "lift-no-alarm",
            "fix",
            where,
            "Nobody hears that the pump has failed before the sump spills.",
            source=COMMON,
            fix="a high-water alarm on a circuit of its own, or on a battery",
        )
    if lift.second_pump is False:
        yield Finding(
            "lift-one-pump",
            "watch",
            where,
            "One pump, one supply: the storm that fills the sump also cuts the power.",
            source=COMMON,
            fix="a second pump on a battery or a fuel pump, or count on the spillway",
        )
