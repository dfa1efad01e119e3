"""Sites by chance, more and odder than people build; everything here is invented."""

from itertools import pairwise

from hypothesis import strategies as st
from tests.making import roof, site, tank, use

from eavewell.site.base import Base
from eavewell.site.first_flush import FirstFlush
from eavewell.site.ground import Ground
from eavewell.site.gutter import Downspout, Gutter
from eavewell.site.lift import Lift
from eavewell.site.line import InLine, Line, PressureTank
from eavewell.site.outlet import Emitter, Lateral, Outlet, Trough
from eavewell.site.pipe import Pipe, PipeRun
from eavewell.site.place import Place
from eavewell.site.pump import Pump
from eavewell.site.roof import Plane, Roof
from eavewell.site.screen import Screen
from eavewell.site.tank_fittings import Link, Overflow, TankFittings
from eavewell.site.tank_shape import Box, HorizontalCylinder, UprightCylinder

LONG = "The old stone barn beyond the upper orchard, north side"
NAMES = st.one_of(
    st.sampled_from(["house", "barn", "a", 'the "<b>" & shed', LONG, "x" * 60, "Größe 5 м"]),
    st.text("abcdefgh XYZ-1'", min_size=1, max_size=20).filter(lambda name: name.strip()),
)
KINDS = ("filter", "carbon", "lamp", "meter", "shut valve", "backflow device", "contact tank")
PIPES = st.builds(
    Pipe, st.sampled_from([13.0, 25.0, 50.0, 100.0, 150.0]), st.sampled_from([0.3, 5.0, 40.0])
)


def maybe(values):
    """One of the values, or unknown."""
    return st.one_of(st.none(), values)


def metres(least, most):
    """A distance to the centimetre."""
    return st.integers(round(100 * least), round(100 * most)).map(lambda cm: cm / 100.0)


SHAPES = st.one_of(
    st.none(),
    st.builds(UprightCylinder, metres(0.5, 9), metres(0.6, 4)),
    st.builds(Box, metres(0.5, 9), metres(0.5, 5), metres(0.6, 4)),
    st.builds(HorizontalCylinder, metres(0.8, 3), metres(1, 8)),
)
PUMPS = st.just(Pump("pump", "jet", ((0.0, 30.0), (1.0, 10.0))))


@st.composite
def stores(draw, name, others):
    """One tank or sump, its overflow to another, to a place in words, or unknown."""
    overflow = st.builds(
        Overflow, maybe(PIPES), end_m=maybe(metres(-1, 3)), away_m=maybe(metres(1, 20))
    )
    link = st.builds(Link, PIPES, metres(0, 0.3))
    fittings = st.builds(
        TankFittings,
        inlet_m=maybe(metres(0.3, 2)),
        overflow=maybe(overflow),
        link=maybe(link),
        drain_mm=maybe(st.just(50.0)),
    )
    base = st.builds(Base, st.sampled_from(["slab", "crushed rock"]), edge_m=maybe(metres(0.1, 1)))
    distances = st.sampled_from([(), (("property line", 6.0),), (("septic field", 40.0),)])
    return tank(
        1000.0,
        name=name,
        count=draw(st.integers(1, 5)),
        shape=draw(SHAPES),
        base_m=draw(maybe(metres(-3, 5))),
        outlet_m=draw(maybe(metres(0, 0.3))),
        overflow_m=draw(maybe(metres(0.4, 0.6))),
        overflow_to=draw(st.sampled_from(["", "swale", LONG, *others])),
        is_sump=draw(st.booleans()),
        fittings=draw(fittings),
        stands_on=draw(maybe(base)),
        distances=draw(distances),
    )


@st.composite
def roofs(draw, name, stores):
    """One roof of some planes, their outline known or not."""
    gutters = st.builds(
        Gutter,
        st.just("south"),
        st.sampled_from(["half-round", "rectangular"]),
        st.just(125.0),
        metres(2, 20),
        downspout=maybe(st.just(Downspout(bore_mm=80.0))),
    )
    planes = []
    for at in range(draw(st.integers(1, 3))):
        wide, deep = draw(metres(1, 30)), draw(metres(1, 15))
        outline = ((0.0, 0.0), (wide, 0.0), (wide, deep), (0.0, deep))
        known = draw(st.booleans())
        planes.append(Plane(f"plane {at}", wide * deep, outline if known else ()))
    flush = st.builds(FirstFlush, st.just(0.5), bore_mm=maybe(st.just(150.0)))
    return Roof(
        name,
        tuple(planes),
        "metal",
        draw(st.sampled_from(["", *stores])),
        eave_m=draw(maybe(metres(1, 8))),
        first_flush=draw(maybe(flush)),
        screens=tuple(Screen(f"s{at}", 0.9) for at in range(draw(st.integers(0, 3)))),
        gutters=tuple(draw(st.lists(gutters, max_size=1))),
        pitch=draw(maybe(st.sampled_from([0.0, 0.3, 1.0]))),
    )


@st.composite
def lines(draw, name, source):
    """One line with what the water passes and where it ends."""
    outlets = st.builds(
        Outlet,
        NAMES,
        st.sampled_from(["lavatory", "hose bibb", "shower"]),
        level_m=maybe(metres(-1, 6)),
        at_m=maybe(metres(0, 30)),
    )
    emitter = Emitter("drip", 2.0, 10.0)
    laterals = st.builds(
        Lateral,
        NAMES,
        st.integers(1, 60),
        st.just(emitter),
        metres(0.2, 3),
        st.just(13.0),
        level_m=maybe(metres(-1, 3)),
    )
    troughs = st.builds(Trough, NAMES, st.just(100.0), level_m=maybe(metres(-1, 3)))
    passed = st.builds(
        InLine, NAMES, st.sampled_from(KINDS), st.just(0.3), st.just(1.0), st.just(2.0)
    )
    pump = draw(maybe(PUMPS))
    return Line(
        name,
        source,
        draw(PIPES),
        level_m=draw(maybe(metres(0, 1))),
        pump=pump,
        pressure_tank=PressureTank(80.0) if pump and draw(st.booleans()) else None,
        in_line=tuple(draw(st.lists(passed, max_size=3))),
        outlets=tuple(draw(st.lists(outlets, max_size=4))),
        laterals=tuple(draw(st.lists(laterals, max_size=2))),
        troughs=tuple(draw(st.lists(troughs, max_size=1))),
        heater=draw(maybe(st.booleans())),
    )


@st.composite
def sites(draw):
    """A whole site of a few roofs, stores, pipes, lifts and lines."""
    names = draw(st.lists(NAMES, min_size=1, max_size=3, unique_by=str.strip))
    tanks = [draw(stores(name, [one for one in names if one != name])) for name in names]
    covers = draw(st.lists(NAMES, min_size=1, max_size=2, unique_by=str.strip))
    tops = [draw(roofs(name, names)) for name in covers]
    ways = draw(st.lists(NAMES, max_size=2, unique_by=str.strip))
    caught = {name: [top.name for top in tops if top.drains_to == name] for name in names}
    runs = [
        PipeRun(
            f"run to {name}",
            tuple(carried),
            name,
            draw(PIPES),
            held_full=draw(st.booleans()),
            from_m=draw(maybe(metres(0, 4))),
            to_m=draw(maybe(metres(0, 3))),
        )
        for name, carried in caught.items()
        if carried and draw(st.booleans())
    ]
    lifts = [
        Lift(f"lift {at}", one, other, riser=draw(maybe(PIPES)), start_m=draw(maybe(metres(0, 1))))
        for at, (one, other) in enumerate(pairwise(names))
        if draw(st.booleans())
    ]
    return site(
        place=Place(30.0, -98.0, 400.0, show=draw(st.sampled_from(["us", "metric"]))),
        tanks=tuple(tanks),
        roofs=tuple(tops) or (roof(to=names[0]),),
        uses=(use(draws_from=tuple(names)),),
        runs=tuple(runs),
        lifts=tuple(lifts),
        lines=tuple(draw(lines(name, draw(st.sampled_from(names)))) for name in ways),
        ground=Ground(level_m=draw(maybe(metres(-1, 1)))),
    )
