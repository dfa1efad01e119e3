"""A made-up house line with everything between roof and mouth; its water, document and targets."""

from dataclasses import replace

from eavewell.findings.barriers import barriers_hold
from eavewell.hydraulics.service import PumpedLine
from eavewell.site.authority import Authority, Sourced, Target
from eavewell.site.barrier import Cartridge, ContactTank, Dosing, Lamp
from eavewell.site.line import InLine, Line, PressureTank
from eavewell.site.outlet import Outlet
from eavewell.site.pipe import Pipe
from eavewell.site.pump import Pump
from eavewell.site.water import Water
from eavewell.treatment.barriers import barriers_in_order
from eavewell.units import read

PSI = read("1 psi", "pressure")
GPM = read("1 gal/min", "flow")
GAL = read("1 gal", "volume")
LARGEST_L_S = 8 * GPM


def thing(kind, name="", **fields):
    """Something in the line that loses nothing."""
    return InLine(name or kind, kind, 1.0, 0.0, 0.0, **fields)


WATER = Water(ph=7.0, coldest_c=20.0, warmest_c=20.0, transmittance=0.85)
COARSE = thing("filter", "coarse", passage_mm=0.02, works=Cartridge(life_days=90.0))
FINE = thing("filter", "fine", passage_mm=0.005, works=Cartridge("absolute", life_l=40_000.0))
CARBON = thing("carbon", passage_mm=0.005, works=Cartridge(life_days=180.0))
PROVEN = Lamp(
    validated_mj_cm2=40.0,
    document="made-up report 7",
    validated_l_s=10 * GPM,
    validated_transmittance=0.75,
    at_end=True,
    listing="class A",
    shut_valve=True,
)
LAMP = thing("lamp", works=PROVEN)
CHLORINE = thing("chlorine", works=Dosing(2.0, 0.125, stabilised=False))
# 56 mg min/L is three logs of Giardia at 20 C and pH 7: 56 min of 8 gal/min over 0.5
CONTACT = thing("contact tank", works=ContactTank(56 * 8 / 0.5 * GAL, 0.5, residual_mg_l=1.0))
TEST_POINT = thing("test point")
LIT = (COARSE, FINE, CARBON, LAMP)
CHLORINATED = (COARSE, FINE, CHLORINE, CONTACT, TEST_POINT, CARBON)

LINE = Line(
    "house",
    "tank",
    Pipe(26.6, 12.0),
    pump=Pump("made up", "jet", ((0.0, 45.0), (1.0, 10.0))),
    pump_m=0.0,
    cut_in_m=30 * PSI,
    cut_out_m=50 * PSI,
    pressure_tank=PressureTank(50 * GAL, 28 * PSI),
    in_line=LIT,
    outlets=(Outlet("sink", "kitchen sink", level_m=4.0),),
)


def line(*things, **fields):
    """The house line with these things in it."""
    return replace(LINE, in_line=things, **fields)


def with_works(one, **fields):
    """The thing with other fields of what it does."""
    return replace(one, works=replace(one.works, **fields))


def asking(**logs):
    """An invented authority that asks so many logs for drinking."""
    written = Sourced("Invented rules", "paragraph 3")
    targets = tuple(Target(name, "drinking", asked, written) for name, asked in logs.items())
    return Authority("Quailwater valley", "invented", targets=targets)


def pumped(one, *, largest_l_s=LARGEST_L_S, l_day=400.0):
    """What the pump does, by hand: its largest flow and the day's water."""
    return PumpedLine(
        line=one,
        levels=None,
        peak=None,
        pump=None,
        tank=None,
        outlets=(),
        laterals=(),
        budget=None,
        largest_flow_l_s=largest_l_s,
        speeds=(),
        suction=None,
        l_day=l_day,
        kwh_m3=None,
        kwh_day=None,
        unknown=(),
    )


class Barriers:
    """Barriers of made-up sites with one line, and what the checks say of them."""

    def __init__(self, making):
        self.making = making

    def site(self, one, *, water=WATER, end_use="drinking", **fields):
        uses = (self.making.use(end_use=end_use),)
        return self.making.site(lines=(one,), water=water, uses=uses, **fields)

    def run(self, one, *, asks=None, largest_l_s=LARGEST_L_S, l_day=400.0, **fields):
        runs = (pumped(one, largest_l_s=largest_l_s, l_day=l_day),) if one.pump else ()
        return barriers_in_order(self.site(one, **fields), runs, authority=asks)

    def found(self, one, *, asks=None, largest_l_s=LARGEST_L_S, **fields):
        treated = self.run(one, asks=asks, largest_l_s=largest_l_s, **fields)
        return list(barriers_hold(self.site(one, **fields), treated))

    def codes(self, one, **fields):
        return {finding.code for finding in self.found(one, **fields)}

    def the(self, one, code, **fields):
        (finding,) = [finding for finding in self.found(one, **fields) if finding.code == code]
        return finding
