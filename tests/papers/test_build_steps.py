"""Build steps follow what the site has; work is tested before it is covered."""

from dataclasses import replace

from eavewell.answers.shown import Sizes
from eavewell.papers.build_steps import build_steps_paper, steps
from eavewell.papers.joined import joined
from eavewell.papers.paper import Ledger
from eavewell.site.base import Burial

US = Sizes("us")


def words(plain):
    return [step.words for _, step in steps(joined(plain), US)]


def place(told, part):
    return next((at for at, one in enumerate(told) if part in one), None)


def test_steps_are_numbered_and_told_once(set_papers):
    for name in set_papers.NAMES:
        told = [step for _, step in steps(joined(set_papers.example(name)), US)]
        assert [one.number for one in told] == list(range(1, len(told) + 1))
        assert len({one.words for one in told}) == len(told)


def test_tests_come_before_covering_and_use(set_papers):
    told = words(set_papers.example("whole-house"))
    assert place(told, "tested under water") < place(told, "Trenches are filled")
    assert place(told, "air is set while no water") < place(told, "commissioning sheet")
    assert place(told, "base is laid") < place(told, "set empty") < place(told, "overflow, shut")
    assert place(told, "disinfected") < place(told, "Water is sampled")


def test_a_buried_tank_is_backfilled_with_water_in_it(set_papers, making):
    tank = making.tank(5000.0, burial=Burial(cover_m=0.3048))
    buried = set_papers.of_site(making, making.site(tanks=(tank,)))
    found = {one.words: one for _, one in steps(joined(buried), US)}
    hold = next(one for says, one in found.items() if "Backfill in thin layers" in says)
    assert "water in the tank rises with the soil" in hold.words
    assert hold.signs
    assert hold.says == ("tank: cover 1 ft",)
    above = words(set_papers.of_site(making, making.site(tanks=(replace(tank, burial=None),))))
    assert place(above, "Backfill in thin layers") is None


def test_what_the_site_lacks_is_not_built(set_papers):
    barrels = words(set_papers.example("barrels"))
    assert place(barrels, "pump") is None
    assert place(barrels, "stand is built") is not None
    barn = words(set_papers.example("low-eaves"))
    assert place(barn, "sump's pit") < place(barn, "sump is backfilled") < place(barn, "floats")
    assert place(barn, "sampled") is None


def test_hold_points_name_who_signs(set_papers):
    told = [step for _, step in steps(joined(set_papers.example("whole-house")), US)]
    signs = {one.words.split(" ", 1)[0]: one.signs for one in told if one.signs}
    assert "licensed electrician" in signs["Power"]
    assert len([one for one in told if one.signs]) >= 8


def test_the_first_day_repeats_what_is_boxed(set_papers):
    plain = set_papers.example("whole-house")
    verify = ("pipe 'house main': its way; only its length is known",)
    paper = build_steps_paper(plain, day=set_papers.TODAY, system="us", verify=verify)
    first = next(one for one in paper.blocks if isinstance(one, Ledger))
    assert ("pipe 'house main'", "its way; only its length is known", "boxed", "", "") in first.rows
    assert ("roof 'house'", "level of the gutter outlet", "9 ft 6 in", "", "") in first.rows


def test_the_first_day_lists_every_unknown_level(set_papers, making):
    plain = set_papers.of_site(making)
    paper = build_steps_paper(plain, day=set_papers.TODAY, system="us")
    first = next(one for one in paper.blocks if isinstance(one, Ledger))
    unknown = [one for one in plain["hydraulics"]["levels"] if one["level_m"] is None]
    told = {row[:3] for row in first.rows}
    assert unknown
    for one in unknown:
        assert (one["thing"], f"level of the {one['point']}", "unknown") in told
