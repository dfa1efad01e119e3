"""What a tank's material says against drinking; common practice, no source."""

from dataclasses import replace

import pytest

from eavewell.findings.fitness import uses_fit
from eavewell.tables import rows
from eavewell.treatment.classes import fit_for_use

CODES = {"tank-rules-out-drinking", "tank-unknown-for-drinking", "tank-to-be-asked"}


@pytest.fixture
def found(making):
    def _found(end_use="drinking", **fields):
        tank = replace(making.tank(), **fields)
        site = making.site(tanks=(tank,), uses=(making.use(end_use=end_use),))
        return [one for one in uses_fit(site, fit_for_use(site)) if one.code in CODES]

    return _found


@pytest.mark.parametrize(
    ("material", "code", "level"),
    [
        ("", "tank-unknown-for-drinking", "stop"),
        ("papier mache", "tank-unknown-for-drinking", "stop"),
        ("used IBC tote", "tank-rules-out-drinking", "stop"),
        ("polyethylene", "tank-to-be-asked", "watch"),
        ("lined steel", "tank-to-be-asked", "watch"),
        ("fiberglass", "tank-to-be-asked", "watch"),
        # the gravest of what a material says rules
        ("second-hand polyethylene", "tank-rules-out-drinking", "stop"),
    ],
)
def test_each_material(found, material, code, level):
    (one,) = found(material=material)
    assert (one.code, one.level) == (code, level)
    assert "health department decides" in one.says
    assert one.fix


def test_a_listing_answers_what_only_the_maker_can(found):
    assert found(material="polyethylene", listed="NSF/ANSI/CAN 61") == []
    assert found(material="stainless steel") == []
    # a listing does not undo what a used container held, nor name an unknown material
    assert found(material="used drum", listed="NSF/ANSI/CAN 61")
    assert found(material="", listed="NSF/ANSI/CAN 61")


@pytest.mark.parametrize("end_use", ["indoor", "animals", "outdoor"])
def test_only_where_it_is_drunk(found, end_use):
    assert found(end_use=end_use, material="") == []


def test_a_tank_upstream_counts_and_one_apart_does_not(making):
    first = replace(making.tank(), name="upper", material="used drum", overflow_to="tank")
    apart = replace(making.tank(), name="apart", material="used drum")
    sound = replace(making.tank(), material="stainless steel")
    site = making.site(tanks=(sound, first, apart), uses=(making.use(end_use="drinking"),))
    assert [one.tank for one in fit_for_use(site).uses[0].tanks] == ["upper"]


def test_every_row_is_whole():
    for row in rows("tank_fitness"):
        assert row["allowed"] in ("yes", "ask", "no")
        assert bool(row["find_out"]) == (row["allowed"] == "ask")
        assert row["material"].split()[0] in row["says"] or row["allowed"] == "no"
