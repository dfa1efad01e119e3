"""Roof drainage of a site: what every gutter run must carry, what it carries, where it spills."""

from collections.abc import Iterator
from dataclasses import dataclass

from eavewell.hydraulics.eave_parts import Part, parts_of, plan_areas_m2
from eavewell.hydraulics.roof_area import roof_flow_l_s
from eavewell.hydraulics.roof_methods import USUAL, Method, counted_area_m2, method_called, methods
from eavewell.site.gutter import Gutter
from eavewell.site.roof import Roof
from eavewell.site.site import Site
from eavewell.tables import table
from eavewell.weather.design_storm import DesignStorms, Intensity, Purpose, storm_for


@dataclass(frozen=True, slots=True)
class EaveRun:
    """One gutter run under the design storm.

    plan_area_m2 : roof that drains to it. area_m2 : the same as the method counts it.
    flow_l_s     : at the design storm; None where the storm is unknown.
    parts        : gutter, outlet, downspout, transition, as far as the run has them.
    governing    : the part that spills first; "" where none is known.
    spill_mm_h   : rain at which it spills. spill_years : how rare that is; infinity beyond what
                   is known of the place's storms, None where unknown or more common than that.
    harm_mm_h    : the rain it must carry where spilling does harm; None where it does not.
    """

    roof: str
    gutter: Gutter
    plan_area_m2: float
    area_m2: float
    flow_l_s: float | None
    parts: tuple[Part, ...]
    governing: str
    capacity_l_s: float | None
    spill_mm_h: float | None
    spill_years: float | None
    harm_mm_h: float | None

    @property
    def holds(self) -> bool | None:
        """Whether every part carries the storm; None where one that might not is unknown."""
        if self.flow_l_s is None or self.capacity_l_s is None:
            return None
        if self.capacity_l_s < self.flow_l_s:
            return False
        return None if any(part.capacity_l_s is None for part in self.parts) else True


@dataclass(frozen=True, slots=True)
class ScreenFlow:
    """A roof's screen under the design storm, half clogged.

    flow_l_s : of the whole roof; None unknown. half_l_s : what it passes; None unknown.
    """

    roof: str
    screen: str
    flow_l_s: float | None
    half_l_s: float | None
    spill_mm_h: float | None


@dataclass(frozen=True, slots=True)
class OtherRules:
    """The same runs by another set of rules, with its own areas, storm and capacities."""

    method: str
    years: float
    minutes: float
    hold: int
    spill: int
    unknown: int


@dataclass(frozen=True, slots=True)
class Eaves:
    """Roof drainage of a site by one set of rules.

    years, minutes : the design storm. rain : its intensity with its range; None where unknown.
    says    : where that comes from, or why it is unknown.
    others  : how many runs hold by the other sets; they never mix.
    assumed : what was taken for granted.
    """

    method: Method
    purpose: str
    years: float
    minutes: float
    rain: Intensity | None
    says: str
    runs: tuple[EaveRun, ...]
    screens: tuple[ScreenFlow, ...]
    others: tuple[OtherRules, ...]
    assumed: tuple[str, ...]

    @property
    def storm(self) -> tuple[float, float]:
        """Minutes and years of the design storm."""
        return self.minutes, self.years


def drain_roofs(
    site: Site,
    storms: DesignStorms,
    *,
    method: Method | None = None,
    asked: Purpose | None = None,
) -> Eaves:
    """Every gutter run of a site at its design storm.

    method : a set of rules; sheet-metal practice in US units and EN 12056-3 in metric where left
    out (common practice). asked : the authority's own storm; left out, that of the rules.
    """
    method = method or method_called(site.storm.rules or USUAL[site.place.show])
    purpose = method.purpose(manure=site.storm.manure)
    by = f", asked for by {asked.source}, {asked.place}" if asked else ""
    asked = asked or storm_for(purpose)
    rain = storms.intensity(asked.minutes, asked.years)
    return Eaves(
        method,
        purpose,
        asked.years,
        asked.minutes,
        rain=rain,
        says=(rain.says if rain else storms.says) + by,
        runs=tuple(_runs(site, storms, method=method, asked=asked)),
        screens=tuple(_screens(site, method, rain=rain)),
        others=tuple(_by(site, storms, method=m) for m in methods() if m is not method),
        assumed=tuple(_assumed(site, method)),
    )


def _by(site: Site, storms: DesignStorms, *, method: Method) -> OtherRules:
    asked = storm_for(method.purpose(manure=site.storm.manure))
    held = [run.holds for run in _runs(site, storms, method=method, asked=asked)]
    counts = [held.count(answer) for answer in (True, False, None)]
    return OtherRules(method.name, asked.years, asked.minutes, *counts)


def _runs(site: Site, storms: DesignStorms, *, method: Method, asked: Purpose) -> Iterator[EaveRun]:
    for roof in site.roofs:
        for gutter in roof.gutters:
            yield _run(roof, gutter, storms=storms, method=method, asked=asked)


def _run(
    roof: Roof, gutter: Gutter, *, storms: DesignStorms, method: Method, asked: Purpose
) -> EaveRun:
    plan_m2 = plan_areas_m2(roof)[roof.gutters.index(gutter)]
    area_m2 = _counted(gutter, plan_m2, roof=roof, method=method)
    parts = parts_of(gutter, method)
    least = min((p for p in parts if p.capacity_l_s is not None), key=_capacity, default=None)
    spill = rain_mm_h(least.capacity_l_s, area_m2) if least else None
    rain = storms.intensity(asked.minutes, asked.years)
    return EaveRun(
        roof.name,
        gutter,
        plan_m2,
        area_m2,
        flow_l_s=roof_flow_l_s(area_m2, rain.mm_h) if rain else None,
        parts=parts,
        governing=least.name if least else "",
        capacity_l_s=least.capacity_l_s if least else None,
        spill_mm_h=spill,
        spill_years=None if spill is None else storms.years_of(asked.minutes, spill),
        harm_mm_h=_harm_mm_h(gutter, storms, minutes=asked.minutes),
    )


def rain_mm_h(flow_l_s: float | None, area_m2: float) -> float | None:
    """Rain that makes a flow off an area; None where there is none."""
    if flow_l_s is None or area_m2 <= 0.0:
        return None
    return flow_l_s / roof_flow_l_s(area_m2, 1.0)


def _capacity(part: Part) -> float:
    return part.capacity_l_s or 0.0


def _counted(gutter: Gutter, plan_m2: float, *, roof: Roof, method: Method) -> float:
    if plan_m2 <= 0.0:
        return 0.0
    return counted_area_m2(gutter, plan_area_m2=plan_m2, pitch=roof.pitch, method=method)


def _harm_mm_h(gutter: Gutter, storms: DesignStorms, *, minutes: float) -> float | None:
    if gutter.spills_on not in ("door", "footing"):
        return None
    rain = storms.intensity(minutes, table("eave_figures")["harm years"].value)
    return rain.mm_h if rain else None


def _screens(site: Site, method: Method, *, rain: Intensity | None) -> Iterator[ScreenFlow]:
    open_share = 1.0 - table("eave_figures")["clogged"].value
    for roof in site.roofs:
        area_m2 = _whole_m2(roof, method)
        flow = roof_flow_l_s(area_m2, rain.mm_h) if rain else None
        for screen in roof.screens:
            half = None if screen.clean_l_s is None else open_share * screen.clean_l_s
            yield ScreenFlow(roof.name, screen.name, flow, half, rain_mm_h(half, area_m2))


def _whole_m2(roof: Roof, method: Method) -> float:
    """The whole roof as the method counts it, with the walls above all its gutters."""
    bare = Gutter(roof.name, "half-round", 100.0, 1.0)
    walls = sum(g.wall_m2 * method.wall_share(g.walls) for g in roof.gutters)
    return walls + _counted(bare, roof.plan_area_m2, roof=roof, method=method)


def _assumed(site: Site, method: Method) -> Iterator[str]:
    guttered = [roof for roof in site.roofs if roof.gutters]
    if not guttered:
        return
    if method.area in ("pitch factor", "W + H/2"):
        for roof in guttered:
            if roof.pitch is None:
                yield f"roof {roof.name!r}: its pitch, unknown, counts as 6 in 12 for drainage"
    if any(gutter.shape != "half-round" for roof in guttered for gutter in roof.gutters):
        yield (
            "a rectangular or ogee gutter carries what the half-round of its area carries; an "
            "ogee has 0.75 of its width x depth"
        )
    yield "each downspout stands at the end of its part of the run"
