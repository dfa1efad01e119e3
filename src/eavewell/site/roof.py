"""A roof, seen from above."""

from dataclasses import dataclass, field

from eavewell.site.first_flush import FirstFlush
from eavewell.site.gutter import Gutter
from eavewell.site.screen import Screen
from eavewell.site.surface import Surface


@dataclass(frozen=True, slots=True)
class Plane:
    """One plane of a roof by its horizontal projection, eaves included; slope adds no catch.

    outline : its corners seen from above, in order, in m from a point of its own; () where only
              its area is known.
    """

    name: str
    plan_area_m2: float
    outline: tuple[tuple[float, float], ...] = ()
    on_plan: bool = False


@dataclass(frozen=True, slots=True)
class Snow:
    """How a roof holds snow.

    catch_share : share of the melt that reaches the gutter; the rest slides or blows off.
    drained     : months in which the system stands drained and catches nothing.
    """

    catch_share: float
    catch_low: float
    catch_high: float
    drained_months: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Sheds:
    """The share of the rain that a roof was found to shed once it is wet, and its range."""

    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Roof:
    """A roof that drains to one store, or to none.

    planes      : the planes that drain there; a plane that drains elsewhere is another roof.
    finish      : a row name in tables/runoff.csv.
    drains_to   : name of a tank or sump; "" where its water is not caught.
    eave_m      : gutter outlet above the site datum; None where unknown.
    screens     : screens and filters before the store, in the order of flow.
    pitch       : rise over run; None unknown. It adds no catch, but drains faster in some codes.
    guards      : True where snow guards hold the snow; None unknown.
    surface     : what else the rain touches there.
    sheds       : what a log found it to shed, in place of its finish's usual share; None unknown.
    """

    name: str
    planes: tuple[Plane, ...]
    finish: str
    drains_to: str = ""
    eave_m: float | None = None
    first_flush: FirstFlush | None = None
    screens: tuple[Screen, ...] = ()
    snow: Snow | None = None
    gutters: tuple[Gutter, ...] = ()
    pitch: float | None = None
    guards: bool | None = None
    surface: Surface = field(default_factory=Surface)
    sheds: Sheds | None = None

    @property
    def plan_area_m2(self) -> float:
        """Sum of the planes' horizontal projections."""
        return sum(plane.plan_area_m2 for plane in self.planes)
