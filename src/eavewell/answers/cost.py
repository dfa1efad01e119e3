"""Parts, energy and money as plain data."""

from dataclasses import asdict
from typing import Any

from eavewell.cost.band import Band
from eavewell.cost.life_cycle import LifeCycle, Year
from eavewell.cost.ordered import OrderLine
from eavewell.cost.other_ways import OtherWay, Payback
from eavewell.cost.part_rows import stock_m_of
from eavewell.cost.parts import stock_pieces
from eavewell.cost.priced import PricedPart
from eavewell.cost.reckoned import Reckoned
from eavewell.site.part import Part

Plain = dict[str, Any]
_UNKNOWN = {"low": None, "typical": None, "high": None}


def cost_answer(found: Reckoned) -> Plain:
    """Everything a system is made of and costs, in one currency."""
    years = found.priced.years
    return {
        "checked": True,
        "currency": found.money.currency,
        "price_year_first": years[0] if years else None,
        "price_year_last": years[1] if years else None,
        "from_memory": found.priced.from_memory,
        "first": band_plain(found.priced.first if found.priced.rows else None),
        "design": band_plain(found.design if found.priced.rows else None),
        "rebate": found.life.rebate,
        "running": {
            what: band_plain(getattr(found.life.running, what))
            for what in ("energy", "tests", "hauled", "mains")
        },
        "life": _life(found.life, told=bool(found.priced.rows)),
        "per_m3": band_plain(found.per_m3),
        "payback": _payback(found.payback),
        "others": [_other(way) for way in found.others],
        "years": [_year(year) for year in found.life.years],
        "water": asdict(found.water),
        "energy": {
            "kwh_per_day": found.energy.kwh_day,
            "battery_days": found.energy.battery_days,
            "largest_start_w": found.energy.largest_start_w,
            "consumers": [asdict(one) for one in found.energy.consumers],
            "unknown": list(found.energy.unknown),
        },
        "parts": _parts(found),
        "order": [_ordered(line) for line in found.ordered.lines],
        "ordered": band_plain(found.ordered.whole),
        "unpriced": [f"{part.part}, {part.where}" for part in found.priced.unpriced],
        "unmatched": list(found.priced.unmatched),
        "assumed": list(found.assumed),
    }


def band_plain(band: Band | None) -> Plain:
    """Low, typical and high; all unknown for None."""
    if band is None:
        return dict(_UNKNOWN)
    return {"low": band.low, "typical": band.typical, "high": band.high}


def _life(life: LifeCycle, *, told: bool) -> Plain:
    return {
        "years": len(life.years) - 1,
        "discount": life.discount,
        "inflation": life.inflation,
        "present": band_plain(life.present if told else None),
        "yearly": band_plain(life.yearly if told else None),
    }


def _payback(found: Payback | None) -> Plain:
    return {
        "against": found.against if found else "",
        "saved_per_year": band_plain(found.saved_year if found else None),
        "years_low": found.years_low if found else None,
        "years": found.years if found else None,
        "years_high": found.years_high if found else None,
    }


def _other(way: OtherWay) -> Plain:
    return {
        "name": way.name,
        "first": band_plain(way.first),
        "yearly": band_plain(way.yearly),
        "present": band_plain(way.present),
        "says": way.says,
    }


def _year(year: Year) -> Plain:
    return {
        "number": year.number,
        "parts": year.parts.typical,
        "running": year.running.typical,
        "rebate": year.rebate,
        "paid": band_plain(year.paid),
        "replaced": list(year.replaced),
    }


def _parts(found: Reckoned) -> list[Plain]:
    priced = {id(row.part): row for row in found.priced.rows}
    return [
        _part(part) | {"where": part.where, "stand": part.stand} | _price(priced.get(id(part)))
        for part in found.parts.parts
    ]


def _ordered(line: OrderLine) -> Plain:
    money = {"each": band_plain(line.each), "price": band_plain(line.price)}
    return _part(line.part) | _pieces(line.part) | money


def _part(part: Part) -> Plain:
    return {
        "part": part.part,
        "count": part.count,
        "unit": part.unit,
        "size": part.size,
        "called": part.called,
        "joins": part.joins,
        "spares": part.spares,
        "lengths_m": list(part.lengths_m),
        "says": part.says,
    }


def _pieces(part: Part) -> Plain:
    pieces = stock_pieces(part)
    return {
        "stock_pieces": len(pieces),
        "stock_m": stock_m_of(part.part) if pieces else None,
        "pieces": [{"cuts_m": list(cuts)} for cuts in pieces],
    }


def _price(row: PricedPart | None) -> Plain:
    return {
        "each": band_plain(row.quote.each if row else None),
        "price": band_plain(row.first if row else None),
        "life_years": row.life_years if row else None,
        "there": row.there if row else False,
        "price_source": row.quote.source if row else "",
        "stretched": row.quote.stretched if row else False,
    }
