"""Parts and money of a whole system."""

from collections.abc import Mapping
from dataclasses import dataclass

from eavewell.cost.band import NOTHING, Band, flat
from eavewell.cost.energy import Energy, energy_of
from eavewell.cost.life_cycle import LifeCycle, Running, life_cycle
from eavewell.cost.ordered import Ordered, price_order
from eavewell.cost.other_ways import OtherWay, Payback, other_ways, payback
from eavewell.cost.parts import PartsList, take_off
from eavewell.cost.priced import Priced, price_parts
from eavewell.cost.tariff import mains_year
from eavewell.cost.yearly_water import YearlyWater, yearly_water
from eavewell.hydraulics.lift import Lifted
from eavewell.hydraulics.service import PumpedLine
from eavewell.site.barrier import Lamp
from eavewell.site.line import InLine
from eavewell.site.money import Money, PriceBook
from eavewell.site.site import Site
from eavewell.storage.drawn import Drawn
from eavewell.storage.within_day import Captured
from eavewell.tables import table
from eavewell.treatment.barriers import cartridge_life

_YEAR_H = 8766.0
_YEAR_DAYS = 365.25
_SHIPPED_CURRENCY = "USD"
_REPLACED = {"filter": "cartridge", "carbon": "carbon cartridge", "lamp": "lamp"}


@dataclass(frozen=True, slots=True)
class Reckoned:
    """What a system is made of and what it costs.

    water   : the mean year in a bill's words. design : what a designer usually asks beside it.
    per_m3  : even yearly cost over the rain that is used; None where none is. Without any price
              neither it nor a payback is told.
    load    : price of a hauled load; None where nothing is hauled or it has no price.
    assumed : prices that nobody stated, in words.
    """

    parts: PartsList
    priced: Priced
    ordered: Ordered
    money: Money
    water: YearlyWater
    energy: Energy
    design: Band
    life: LifeCycle
    per_m3: Band | None
    load: Band | None
    others: tuple[OtherWay, ...]
    payback: Payback | None
    assumed: tuple[str, ...]


def reckon(
    site: Site,
    parts: PartsList,
    *,
    book: PriceBook,
    water: YearlyWater,
    energy: Energy,
    l_day: Mapping[str, float] | None = None,
) -> Reckoned:
    """Price a parts list and its whole life.

    l_day : line -> litres of a mean day through it, for the life of its cartridges.
    """
    money, assumed = site.money, list[str]()
    priced = price_parts(parts.parts, book, money=money, lives=lives(site, l_day or {}))
    load = _load(water, money, assumed=assumed)
    running = _running(site, water, energy=energy, load=load, assumed=assumed)
    tank_l = sum(tank.rim_l for tank in site.tanks if not tank.is_sump)
    life = life_cycle(priced, running, money=money, tank_l=tank_l)
    share, told = table("money")["design share"], bool(priced.rows)
    return Reckoned(
        parts=parts,
        priced=priced,
        ordered=price_order(parts.order, book),
        money=money,
        water=water,
        energy=energy,
        design=Band(
            priced.first.low * share.low,
            priced.first.typical * share.value,
            priced.first.high * share.high,
        ),
        life=life,
        per_m3=life.yearly.times(1000.0 / water.used_l) if told and water.used_l > 0.0 else None,
        load=load,
        others=other_ways(water, money, load=load),
        payback=payback(life, water, money=money, load=load) if told else None,
        assumed=tuple(assumed),
    )


def reckon_on_record(
    site: Site,
    drawn: Drawn,
    *,
    book: PriceBook | None,
    power: tuple[tuple[PumpedLine, ...], Lifted, tuple[Captured, ...]],
) -> Reckoned:
    """Parts and money of a site as it is drawn, with the water of its record.

    book : None takes a book without prices. power : what the pumps do: lines, lifts, and sumps
    within the day.
    """
    served, lifted, captured = power
    return reckon(
        site,
        take_off(site),
        book=book or PriceBook(site.money.currency, ()),
        water=yearly_water(site, drawn.reliability),
        energy=energy_of(site, served=served, lifted=lifted, captured=captured),
        l_day={run.line.name: run.l_day for run in served if run.l_day},
    )


def lives(site: Site, l_day: Mapping[str, float]) -> dict[tuple[str, str], float]:
    """Years until cartridges and lamps of a site are replaced, where their life is stated.

    Of two that are called the same the shorter.
    """
    found: dict[tuple[str, str], float] = {}
    for line in site.lines:
        for thing in line.in_line:
            years = _life_years(thing, l_day.get(line.name))
            key = _REPLACED.get(thing.kind, ""), f"{thing.kind} {thing.name!r}"
            if years is not None:
                found[key] = min(years, found.get(key, years))
    return found


def _life_years(thing: InLine, l_day: float | None) -> float | None:
    works = thing.works
    if isinstance(works, Lamp):
        return works.life_h / _YEAR_H if works.life_h else None
    days = cartridge_life(thing, l_day).every_days
    return days / _YEAR_DAYS if days else None


def _load(water: YearlyWater, money: Money, *, assumed: list[str]) -> Band | None:
    if water.load_l is None:
        return None
    if money.load is not None:
        return flat(money.load)
    return _shipped("load", "price of a hauled load", money=money, assumed=assumed)


def _running(
    site: Site, water: YearlyWater, *, energy: Energy, load: Band | None, assumed: list[str]
) -> Running:
    money = site.money
    kwh = energy.kwh_day * _YEAR_DAYS
    price = flat(money.kwh) if money.kwh is not None else NOTHING
    if money.kwh is None and kwh > 0.0:
        price = _shipped("kwh", "price of a kWh", money=money, assumed=assumed) or NOTHING
    assumed += [f"{what} unknown: its energy is left out of the sums" for what in energy.unknown]
    mains = mains_year(water.make_up_l, money)
    if mains is None and water.make_up_l > 0.0:
        assumed.append(
            "price of mains water unknown: what the mains make up is left out of the sums"
        )
    return Running(
        energy=price.times(kwh),
        tests=_tests(site, assumed),
        hauled=load.times(water.loads) if load else NOTHING,
        mains=NOTHING if mains is None else flat(mains),
    )


def _tests(site: Site, assumed: list[str]) -> Band:
    """Tests of a year; where nobody states them, those of a house that drinks the water."""
    money = site.money
    if money.tests_year is not None:
        return flat(money.tests_year)
    if not any(use.end_use == "drinking" for use in site.uses):
        return NOTHING
    return _shipped("test", "water tests of a year", money=money, assumed=assumed) or NOTHING


def _shipped(name: str, what: str, *, money: Money, assumed: list[str]) -> Band | None:
    """A price that nobody stated, from memory; none in another currency than the table's."""
    if money.currency != _SHIPPED_CURRENCY:
        assumed.append(f"{what} unknown: state it in {money.currency}")
        return None
    row = table("money")[name]
    assumed.append(f"{what} from memory - check: {row.low:g} to {row.high:g} {money.currency}")
    return Band(row.low, row.value, row.high)
