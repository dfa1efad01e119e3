"""Storm-water before the roof, with the roof, and with its water caught."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from eavewell.catchment.runoff import roof_water, runoff_share
from eavewell.site.ground import Ground, LowSpot
from eavewell.site.site import Site
from eavewell.storage.drawn import Drawn
from eavewell.storage.series import Series, drained_roofs
from eavewell.storage.sizing import Sizing
from eavewell.stormwater.curve_number import curve_number_of, runoff_mm_tr55
from eavewell.stormwater.rational import peak_l_s_rational
from eavewell.stormwater.room import Room, room_before_storms
from eavewell.tables import table
from eavewell.weather.days import Days
from eavewell.weather.design_storm import DesignStorms

EVENT_YEARS = (1, 2, 10)
DAY_MINUTES = 1440.0
SPOT_YEARS = 2


@dataclass(frozen=True, slots=True)
class Volumes:
    """Runoff of the drained place: its ground before, with the roof, with the roof caught.

    Each None where unknown. The roof sheds its rain less its finish's loss; no curve number is
    taken off as well.
    """

    ground_l: float | None
    with_roof_l: float | None
    caught_l: float | None


@dataclass(frozen=True, slots=True)
class Event:
    """The 24-hour storm once in so many years.

    kept_mean_share, kept_tenth_share : of the caught roofs' water, with the mean room before storms
    and with that which nine storms in ten find.
    """

    years: int
    rain_mm: float
    roof_l: float
    volumes: Volumes
    kept_mean_share: float | None
    kept_tenth_share: float | None


@dataclass(frozen=True, slots=True)
class HeldOpen:
    """A second outlet that always holds a part of the largest tank open for storms.

    room_tenth_l : what nine storms in ten would then find. lost_l_year : water lost to the uses.
    """

    share: float
    room_tenth_l: float
    lost_l_year: float


@dataclass(frozen=True, slots=True)
class Spot:
    """Standing water at a low spot in the 2-year day, before its roofs were caught and after.

    soak_h : until it has soaked in; None where it never does or infiltration is unknown.
    """

    spot: LowSpot
    before_l: float | None
    after_l: float | None
    before_mm: float | None
    after_mm: float | None
    soak_before_h: float | None
    soak_after_h: float | None


@dataclass(frozen=True, slots=True)
class StormWater:
    """Storm-water of a site.

    peak_ground_l_s, peak_roof_l_s : rational peaks of the place before and with its roofs.
    draw_down_days : to empty the full tanks by the mean use. held_open : None where unknown.
    unknown : what is not known, in words.
    """

    year: Volumes
    events: tuple[Event, ...]
    peak_years: int
    peak_ground_l_s: float | None
    peak_roof_l_s: float | None
    room: tuple[Room, ...]
    usable_l: float
    draw_down_days: float | None
    held_open: HeldOpen | None
    spots: tuple[Spot, ...]
    unknown: tuple[str, ...]

    def room_in(self, when: str) -> Room | None:
        """Room before the storms of the year or of three months, as "Dec-Feb"."""
        return {one.when: one for one in self.room}.get(when)


def before_and_after(
    site: Site, days: Days, *, drawn: Drawn, sizing: Sizing, storms: DesignStorms, water: Series
) -> StormWater:
    """Storm-water of a site from its daily balance.

    water : as it leaves the roofs. drawn : the balance with every day kept. sizing : its curve
    tells what a smaller tank would supply.
    """
    held = [k for k, tank in enumerate(site.tanks) if not tank.is_sump]
    usable_l = sum(site.tanks[k].usable_l for k in held)
    level_l = drawn.every_day.level_l[:, held].sum(axis=1)
    room = room_before_storms(level_l, usable_l, rain_mm=days.rain_mm, dates=days.dates)
    use_l_day = sum(figures.mean_l_day for figures in drawn.demand)
    events = tuple(_events(site, storms, room=room))
    return StormWater(
        year=_year(site, days, water=water, drawn=drawn),
        events=events,
        peak_years=10,
        peak_ground_l_s=_peak(site, storms, roofs=False),
        peak_roof_l_s=_peak(site, storms, roofs=True),
        room=room,
        usable_l=usable_l,
        draw_down_days=usable_l / use_l_day if use_l_day > 0.0 else None,
        held_open=_held_open(site, sizing, room=room, use_l_day=use_l_day),
        spots=tuple(_spot(site, spot, events=events) for spot in site.ground.low_spots),
        unknown=tuple(_unknown(site, storms)),
    )


def _held_open(
    site: Site, sizing: Sizing, *, room: tuple[Room, ...], use_l_day: float
) -> HeldOpen | None:
    """From the curve of sizes: a tank with a part held open supplies what a smaller one would."""
    whole, share = {one.when: one for one in room}.get("year"), table("storm_water")["held open"]
    usable_l, curve = site.tank(sizing.store).usable_l, sizing.curve
    left_l = usable_l * (1.0 - share.value)
    if whole is None or left_l < float(curve.capacity_l.min()):
        return None
    now, then = np.interp([usable_l, left_l], curve.capacity_l, curve.supplied_share)
    return HeldOpen(
        share.value,
        max(whole.tenth_l, share.value * usable_l),
        max(float(now - then), 0.0) * use_l_day * 365.25,
    )


def _unknown(site: Site, storms: DesignStorms) -> Iterator[str]:
    ground = site.ground
    if ground.area_m2 is None:
        yield "area of the drained ground"
    if not ground.cover:
        yield "cover of the ground"
    if not ground.soil_group:
        yield "hydrologic soil group"
    if ground.minutes is None:
        yield "time of concentration"
    for years in EVENT_YEARS:
        if storms.intensity(DAY_MINUTES, years) is None:
            yield f"{years}-year 24-hour storm"
    for spot in ground.low_spots:
        if spot.infiltration_mm_h is None:
            yield f"infiltration at {spot.name!r}"


def _roof_m2(site: Site) -> float:
    return sum(roof.plan_area_m2 for roof in site.roofs)


def _open_m2(site: Site) -> float | None:
    """Ground that the roofs leave open; None where the place's area is unknown."""
    area = site.ground.area_m2
    return None if area is None else max(area - _roof_m2(site), 0.0)


def _year(site: Site, days: Days, *, water: Series, drawn: Drawn) -> Volumes:
    per_year = 365.25 / days.count
    caught_mm = water.runoff_mm.sum(axis=0)
    roofs = drained_roofs(site)
    came_l = sum(
        float(depth) * roof.plan_area_m2 for depth, roof in zip(caught_mm, roofs, strict=True)
    )
    loose_l = sum(_shed_l(site, float(days.rain_mm.sum()), caught=False)) + _led_away_l(site, days)
    number = curve_number_of(site.ground.cover, site.ground.soil_group)
    area, open_m2 = site.ground.area_m2, _open_m2(site)
    if number is None or area is None or open_m2 is None:
        return Volumes(None, None, None)
    ground_mm = float(runoff_mm_tr55(days.rain_mm, number).sum())
    with_roof = ground_mm * open_m2 + came_l + loose_l
    spilled_l = _spilled_l(site, drawn)
    return Volumes(
        ground_mm * area * per_year,
        with_roof * per_year,
        (ground_mm * open_m2 + loose_l + spilled_l) * per_year,
    )


def _shed_l(site: Site, rain_mm: float, *, caught: bool) -> Iterator[float]:
    """What roofs shed of a depth, by their finish's usual share; those caught or those not."""
    for roof in site.roofs:
        if bool(roof.drains_to) is caught:
            yield rain_mm * roof.plan_area_m2 * runoff_share(roof).value


def _led_away_l(site: Site, days: Days) -> float:
    """What caught roofs shed over the lip, off the screens and as first flush: it stays outside."""
    months = days.dates.astype("datetime64[M]").astype(int) % 12 + 1
    away_l = 0.0
    for roof in drained_roofs(site):
        went = roof_water(roof, days.rain_mm, melt_mm=days.snow_melt_mm, months=months)
        away_mm = went.gutter_spill_mm + went.screen_mm + went.first_flush_mm
        away_l += float(away_mm.sum()) * roof.plan_area_m2
    return away_l


def _spilled_l(site: Site, drawn: Drawn) -> float:
    """What left the stores by an overflow that leads to no other store."""
    names = {tank.name for tank in site.tanks}
    away = [k for k, tank in enumerate(site.tanks) if tank.overflow_to not in names]
    return float(drawn.every_day.spilled_l[:, away].sum())


def _events(site: Site, storms: DesignStorms, *, room: tuple[Room, ...]) -> Iterator[Event]:
    whole = {one.when: one for one in room}.get("year")
    for years in EVENT_YEARS:
        rain = storms.intensity(DAY_MINUTES, years)
        if rain is None:
            continue
        depth_mm = rain.mm_h * DAY_MINUTES / 60.0
        caught_l = sum(_shed_l(site, depth_mm, caught=True))
        loose_l = sum(_shed_l(site, depth_mm, caught=False))
        mean, tenth = (
            (_kept(caught_l, whole.mean_l), _kept(caught_l, whole.tenth_l))
            if whole and caught_l > 0.0
            else (None, None)
        )
        kept_l = 0.0 if tenth is None else tenth * caught_l
        volumes = _event_volumes(site, depth_mm, roof_l=caught_l + loose_l, kept_l=kept_l)
        yield Event(years, depth_mm, caught_l + loose_l, volumes, mean, tenth)


def _kept(came_l: float, room_l: float) -> float:
    return min(room_l / came_l, 1.0)


def _event_volumes(site: Site, depth_mm: float, *, roof_l: float, kept_l: float) -> Volumes:
    number = curve_number_of(site.ground.cover, site.ground.soil_group)
    area, open_m2 = site.ground.area_m2, _open_m2(site)
    if number is None or area is None or open_m2 is None:
        return Volumes(None, None, None)
    ground_mm = float(runoff_mm_tr55(np.array([depth_mm]), number)[0])
    with_roof = ground_mm * open_m2 + roof_l
    return Volumes(ground_mm * area, with_roof, with_roof - kept_l)


def _peak(site: Site, storms: DesignStorms, *, roofs: bool) -> float | None:
    """Ten-year peak over the time of concentration; None where it cannot be told."""
    ground, open_m2, c_ground = site.ground, _open_m2(site), _coefficient(site.ground)
    if ground.minutes is None or ground.area_m2 is None or open_m2 is None or c_ground is None:
        return None
    rain = storms.intensity(max(ground.minutes, 5.0), 10)
    if rain is None:
        return None
    if not roofs:
        return peak_l_s_rational(c_ground, rain.mm_h, area_m2=ground.area_m2)
    from_roofs = peak_l_s_rational(
        table("rational")["roof"].value, rain.mm_h, area_m2=_roof_m2(site)
    )
    return from_roofs + peak_l_s_rational(c_ground, rain.mm_h, area_m2=open_m2)


def _coefficient(ground: Ground) -> float | None:
    """Rational C of grown-over ground by its soil, or of paving; None for any other cover."""
    rule = table("rational")
    if ground.cover == "paved":
        return rule["asphalt"].value
    if ground.cover not in ("lawn", "pasture") or not ground.soil_group:
        return None
    sandy = ground.soil_group in ("A", "B")
    return rule["lawn on flat sand" if sandy else "lawn on flat clay"].value


def _spot(site: Site, spot: LowSpot, *, events: tuple[Event, ...]) -> Spot:
    """Its own rain and what its roofs brought; after, what they still spill."""
    event = next((one for one in events if one.years == SPOT_YEARS), None)
    if event is None:
        return Spot(spot, None, None, None, None, None, None)
    shed_l = {
        roof.name: event.rain_mm * roof.plan_area_m2 * runoff_share(roof).value
        for roof in site.roofs
    }
    caught = {roof.name for roof in site.roofs if roof.drains_to}
    own_l = event.rain_mm * spot.area_m2
    before_l = own_l + sum(shed_l.get(name, 0.0) for name in spot.receives)
    # a caught roof no longer drains there, unless its tank's overflow is led there
    after_l = own_l + sum(shed_l.get(name, 0.0) for name in spot.receives if name not in caught)
    back_l = sum(shed_l[name] for name in _led_to(site, spot.name))
    after_l += (1.0 - (event.kept_tenth_share or 0.0)) * back_l
    before_mm, after_mm = before_l / spot.area_m2, after_l / spot.area_m2
    return Spot(
        spot,
        before_l,
        after_l,
        before_mm,
        after_mm,
        _soak_h(before_mm, spot),
        _soak_h(after_mm, spot),
    )


def _led_to(site: Site, place: str) -> Iterator[str]:
    """Caught roofs whose water spills to a place, by way of other stores and lifts or at once."""
    ways = [(tank.name, tank.overflow_to) for tank in site.tanks]
    ways += [(lift.source, lift.target) for lift in site.lifts]
    leads = {place}
    while more := {start for start, end in ways if end in leads} - leads:
        leads |= more
    yield from (roof.name for roof in site.roofs if roof.drains_to in leads - {place})


def _soak_h(depth_mm: float, spot: LowSpot) -> float | None:
    rate = spot.infiltration_mm_h
    return None if not rate else depth_mm / rate
