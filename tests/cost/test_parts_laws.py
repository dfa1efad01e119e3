"""Laws of a parts list, whatever the site."""

from dataclasses import replace
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.cost.line_parts import line_parts
from eavewell.cost.part_rows import part_rows, row
from eavewell.cost.parts import ordered, stock_pieces, take_off
from eavewell.cost.pipe_parts import pipe_parts, run_parts
from eavewell.cost.quotes import quote, shelved
from eavewell.cost.tank_parts import pad_m2, tank_parts
from eavewell.faults import OutOfRange
from eavewell.files.price_book import price_book
from eavewell.files.site.reader import site_of_text
from eavewell.site.barrier import Lamp
from eavewell.site.base import Base
from eavewell.site.gutter import Gutter
from eavewell.site.line import InLine, InLineKind, Line
from eavewell.site.money import Money, Unit
from eavewell.site.outlet import Outlet
from eavewell.site.pipe import Pipe, PipeRun
from eavewell.site.roof import Plane, Roof
from eavewell.site.tank import Tank
from eavewell.site.tank_fittings import Link, Overflow, TankFittings
from eavewell.site.tank_shape import Box, HorizontalCylinder, StrappingTable, UprightCylinder
from eavewell.tables import rows

EXAMPLES = sorted(Path(__file__).parents[2].glob("examples/*/site.toml"))
quick = settings(max_examples=60, deadline=None)


def example(path):
    return site_of_text(path.read_text(encoding="utf-8"))


@pytest.fixture(params=EXAMPLES, ids=lambda path: path.parent.name)
def site(request):
    return example(request.param)


def counts(parts):
    found = {}
    for part in parts:
        key = (part.part, part.called or (part.size and round(part.size, 6)), part.says)
        found[key] = found.get(key, 0.0) + part.count
    return found


def tanks(count, **fields):
    fittings = TankFittings(
        overflow=Overflow(Pipe(102.26, 4.0), count=2, screened=True),
        vent_mm=102.26,
        drain_mm=52.5,
        sight_tube=True,
        lid_locked=True,
    )
    fields = {
        "shape": UprightCylinder(2.4, 2.2),
        "fittings": fittings,
        "anchored": True,
        "stands_on": Base("sand with edging", edge_m=0.6, thick_m=0.15),
    } | fields
    return Tank("main", count, **fields)


def test_nothing_is_negative_and_every_part_has_its_row(site):
    listed = take_off(site)
    for part in (*listed.parts, *listed.order):
        known = part_rows()[part.part]
        assert part.count >= 0.0
        assert part.spares >= 0.0
        assert part.unit == known["unit"]
        assert all(length > 0.0 for length in part.lengths_m)
        assert part.size is None or part.size > 0.0


def test_a_part_without_a_count_says_why(site):
    assert all("unknown" in part.says for part in take_off(site).parts if part.count == 0.0)


def test_the_order_holds_what_stands_at_the_places(site):
    listed = take_off(site)
    at_places, in_order = {}, {}
    for found, parts in ((at_places, listed.parts), (in_order, listed.order)):
        for part in parts:
            found[part.part] = found.get(part.part, 0.0) + part.count
    for part, count in at_places.items():
        assert count - 1e-6 <= in_order[part] < count + sum(p.part == part for p in listed.order)


def test_what_is_cut_is_as_long_as_the_part(site):
    for part in take_off(site).order:
        if part.lengths_m:
            assert sum(part.lengths_m) == pytest.approx(part.count, rel=1e-5)
            assert sum(map(sum, stock_pieces(part))) == pytest.approx(part.count, rel=1e-5)


def test_treated_timber_is_on_no_list(site):
    listed = take_off(site)
    for part in listed.parts:
        bought = f"{part.part} {part.called}".lower()
        assert not any(word in bought for word in ("timber", "tie", "creosot", "wood"))
    assert "never creosoted or treated timber" in part_rows()["edging"]["joins"]


@quick
@given(count=st.integers(1, 6))
def test_twice_the_tanks_are_twice_the_parts_of_a_tank(count):
    """Without links between them, which grow by one less."""
    once, twice = counts(tank_parts(tanks(count))), counts(tank_parts(tanks(2 * count)))
    assert {key: 2 * number for key, number in once.items()} == pytest.approx(twice)


@quick
@given(count=st.integers(2, 9))
def test_links_stand_between_neighbours(count):
    link = Link(Pipe(102.26, 0.6), valves=True, flexible=True)
    one = tanks(count)
    found = counts(tank_parts(replace(one, fittings=replace(one.fittings, link=link))))
    assert found["bulkhead fitting", "4 in", "for the link"] == 2 * (count - 1)
    assert found["flexible connector", "4 in", ""] == count - 1
    assert found["hose clamp", "4 in", ""] == 2 * (count - 1)
    assert found["tank valve", "4 in", ""] == count


def test_more_of_everything_never_takes_fewer_parts(site):
    larger = replace(
        site,
        tanks=tuple(replace(one, count=one.count + 1) for one in site.tanks),
        roofs=tuple(
            replace(
                roof,
                gutters=tuple(replace(g, length_m=g.length_m * 1.7) for g in roof.gutters),
            )
            for roof in site.roofs
        ),
    )
    before, after = (counts(take_off(one).parts) for one in (site, larger))
    assert all(after[key] >= number - 1e-9 for key, number in before.items())


def test_every_part_has_a_price_in_the_shipped_book():
    shelf = shelved(price_book(None, currency="USD"))
    assert set(part_rows()) == set(shelf)
    for part in part_rows():
        for size in (None, 10.0, 1000.0):
            found = quote(shelf, part, size=size)
            assert 0.0 < found.each.low < found.each.typical < found.each.high, part


def test_sizes_are_priced_only_where_a_part_has_a_size():
    measured = {name for name, known in part_rows().items() if known["measure"]}
    assert {row["part"] for row in rows("prices") if row["size"]} <= measured


def test_every_stand_of_a_part_is_known():
    stands = {one["name"] for one in rows("stands")}
    units = set(get_args(Unit))
    for known in part_rows().values():
        assert known["stand"] in stands
        assert known["unit"] in units


def test_every_pipe_material_is_a_part():
    for known in rows("pipe_hazen_williams"):
        found = list(pipe_parts(Pipe(52.5, 5.0, known["name"]), where="here", stand="at the pump"))
        assert found[0].part == f"{known['name']} pipe"


def test_every_fitting_is_bought_but_the_way_in_and_out():
    bought = {}
    for known in rows("fittings"):
        pipe = Pipe(52.5, 1.0, "galvanised steel", ((known["name"], 2),))
        bought[known["name"]] = [
            part.part for part in pipe_parts(pipe, where="here", stand="at the pump", count=3)
        ][1:]
    assert bought.pop("entrance") == bought.pop("exit") == []
    assert all(len(parts) == 1 for parts in bought.values())


@pytest.mark.parametrize("kind", get_args(InLineKind))
def test_everything_in_a_line_is_a_part(kind):
    line = Line("house", "main", Pipe(26.64, 3.0), in_line=(InLine("it", kind, 0.5, 1.0, 2.0),))
    found = [part for part in line_parts(line) if part.where == f"{kind} 'it'"]
    assert found
    assert all(part.count == 1 for part in found)


def test_what_a_unit_is_sold_with_is_bought_once_more_as_the_spare():
    lamp = InLine("uv", "lamp", 0.5, 1.0, 1.0)
    fine = InLine("fine", "filter", 0.5, 1.0, 2.0)
    listed = line_parts(Line("l", "main", Pipe(26.64, 3.0), in_line=(lamp, fine)))
    found = {part.part: part for part in listed}
    for name in ("lamp", "lamp sleeve", "housing O-ring"):
        assert found[name].count + found[name].spares == 1
        assert "sold with its own" in found[name].says
    assert found["cartridge"].count + found["cartridge"].spares == 2
    assert found["cartridge"].says == "fine"


def test_a_lamp_with_a_valve_buys_the_valve():
    lamp = InLine("lamp", "lamp", 0.5, 1.0, 1.0, works=Lamp(input_w=40.0, shut_valve=True))
    found = [part.part for part in line_parts(Line("l", "main", Pipe(26.64, 3.0), in_line=(lamp,)))]
    assert found.count("shut valve") == 1


def test_a_part_that_is_not_known_is_refused():
    with pytest.raises(OutOfRange, match="no part called"):
        row("flux capacitor", 1, where="here")


def test_unknown_lengths_are_said_and_not_invented():
    """A downspout under an eave of unknown height; rock under a tank of unknown size."""
    rock = Base("crushed rock", thick_m=0.15)
    tank = Tank("main", stated_l=1000.0, stands_on=rock)
    laid = next(part for part in tank_parts(tank) if part.part == "crushed rock")
    assert (laid.count, "unknown" in laid.says) == (0.0, True)
    thin = replace(tanks(2), stands_on=replace(rock, thick_m=0.0, edge_m=1.0))
    assert next(p for p in tank_parts(thin) if p.part == "crushed rock").count == 0.0


@pytest.mark.parametrize(
    ("shape", "area_m2"),
    [
        (UprightCylinder(2.0, 1.0), 3.14159265 / 4 * 3.0**2),
        (Box(2.0, 1.0, 1.0), 3.0 * 2.0),
        (HorizontalCylinder(1.5, 4.0), 5.0 * 2.5),
    ],
)
def test_the_pad_reaches_beyond_the_tank_on_every_side(shape, area_m2):
    tank = Tank("main", shape=shape)
    assert pad_m2(tank, Base("slab", edge_m=0.5)) == pytest.approx(area_m2)
    assert pad_m2(tank, Base("slab", edge_m=0.5, area_m2=9.9)) == 9.9


def test_a_tank_by_its_table_alone_has_no_pad():
    tank = Tank("main", shape=StrappingTable((0.0, 1.0), (0.0, 900.0)))
    assert pad_m2(tank, Base("slab", edge_m=0.5)) is None


def test_a_gutter_round_a_corner(making):
    """9 m in 10 ft stock: 2 joiners, and two more for the one corner."""
    gutter = Gutter("eave", "ogee", 152.4, 9.0, corners=1)
    roof = replace(making.roof(), gutters=(gutter,))
    found = counts(take_off(making.site(roofs=(roof,))).parts)
    assert found["gutter joiner", "6 in", ""] == 2 + 2
    assert found["gutter corner", "6 in", ""] == 1


def test_a_roof_that_is_not_caught_takes_no_parts():
    plain = example(EXAMPLES[0])
    more = replace(plain, roofs=(*plain.roofs, Roof("porch", (Plane("all", 20.0),), "metal")))
    assert take_off(more).parts == take_off(plain).parts


# The order tells apart what is bought apart.


def test_fittings_of_two_materials_are_two_rows_of_the_order():
    """An elbow of copper does not join a plastic pipe of the same name."""
    run = PipeRun("down", ("roof",), "main", Pipe(26.64, 8.0, "pvc", (("90 elbow", 2),)))
    other = PipeRun("up", ("roof",), "main", Pipe(26.64, 8.0, "copper", (("90 elbow", 3),)))
    order = list(ordered([*run_parts(run), *run_parts(other)]))
    elbows = {part.joins: part.count for part in order if part.part == "elbow"}
    assert elbows == {"solvent weld": 2, "solder or press": 3}
    couplings = {part.joins for part in order if part.part == "coupling"}
    assert couplings == {"solvent weld", "solder or press"}


def test_what_is_there_already_is_not_ordered():
    house = example(next(path for path in EXAMPLES if path.parent.name == "whole-house"))
    there = replace(house, money=Money(have=("pressure tank", "tank 'header'")))
    listed = take_off(there)
    assert "pressure tank" in {part.part for part in listed.parts}
    assert "pressure tank" not in {part.part for part in listed.order}
    assert sum(part.count for part in listed.order if part.part == "tank") == 4


def test_the_spares_are_those_of_the_whole_order():
    """Every place may spare one; the order spares a twentieth of all, and one at least."""
    outlets = [row("ball valve", 1, where=f"outlet {n}", size=26.64) for n in range(7)]
    assert [part.spares for part in outlets] == [1] * 7
    (order,) = ordered(outlets)
    assert (order.count, order.spares) == (7, 1)


def test_one_line_may_have_a_tap_at_every_outlet():
    bibbs = Outlet("yard", "hose bibb", count=3)
    found = counts(line_parts(Line("yard", "main", Pipe(26.64, 3.0), outlets=(bibbs,))))
    assert found["hose bibb", None, ""] == found["vacuum breaker", None, ""] == 3
