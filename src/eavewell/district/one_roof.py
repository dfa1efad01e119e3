"""One roof of a district as a site: what all roofs are run as, and what a design of it takes."""

from dataclasses import replace

from eavewell.district.settings import STORE
from eavewell.site.district import District, Gauge, OneRoof
from eavewell.site.place import Place
from eavewell.site.rain import Rain
from eavewell.site.roof import Plane
from eavewell.site.site import Site
from eavewell.site.tank import Tank
from eavewell.site.want import Household, People, Want


def site_of_roof(district: District, gauge: Gauge, *, roof: OneRoof, size_l: float = 1.0) -> Site:
    """The site of one roof with one tank; its sun and its rain are those of the gauge.

    size_l : usable volume of the tank.
    """
    drawn = district.use_set(roof.use_set)
    plane = Plane(roof.name, roof.area_m2)
    return Site(
        name=roof.name,
        place=Place(gauge.latitude, gauge.longitude, gauge.elevation_m),
        rain=Rain(record=gauge.path, unit=district.unit),
        roofs=(replace(district.roof, name=roof.name, planes=(plane,), finish=roof.finish),),
        tanks=(Tank(STORE, stated_l=size_l),),
        uses=tuple(
            replace(use, wants=tuple(_wanted(want, roof.people) for want in use.wants))
            if use.name in drawn.each
            else use
            for use in drawn.uses
        ),
        goals=drawn.goals,
        rule=district.rule,
        money=district.money,
        folder=district.folder,
    )


def _wanted(want: Want, people: float) -> Want:
    if isinstance(want, People):
        return replace(want, count=people)
    if isinstance(want, Household):
        return replace(want, people=people)
    return want
