"""What has to be told of a roof or a garden: raw food nobody spoke of, what makers are asked."""

from dataclasses import replace

import pytest

from eavewell.findings.fitness import roofs_fit, uses_fit
from eavewell.site.surface import Surface
from eavewell.treatment.classes import fit_for_use

KNOWN = Surface("none", "none", False, "none", "none", flue=False, panels=False)
DECIDES = "Screening, not design approval; the health department decides."


@pytest.fixture
def made(making):
    def build(end_use="drinking", *, finish="slate", edible=None, **surface):
        roof = replace(making.roof(), finish=finish, surface=replace(KNOWN, **surface))
        use = replace(making.use(end_use=end_use), edible=edible)
        return making.site(roofs=(roof,), uses=(use,))

    return build


def found(site):
    fitness = fit_for_use(site)
    return {one.code: one for one in (*roofs_fit(site, fitness), *uses_fit(site, fitness))}


@pytest.mark.parametrize(
    "sheds", [{"flashing": "lead"}, {"paint": "lead"}, {"treated_timber": True}], ids=str
)
def test_a_garden_of_which_nobody_says_what_grows_there(made, sheds):
    finding = found(made("outdoor", **sheds))["eaten-raw-unknown"]
    assert finding.level == "watch"
    assert "not for food eaten raw. Does it wet any?" in finding.says
    assert finding.says.endswith(DECIDES)
    # told, either way
    for edible in (True, False):
        assert finding.code not in found(made("outdoor", edible=edible, **sheds))
    assert finding.code not in found(made("outdoor"))
    assert finding.code not in found(made("indoor", **sheds))


@pytest.mark.parametrize(
    "asks", [{"finish": "membrane"}, {"finish": "fibre cement"}, {"flue": True}], ids=str
)
def test_what_a_maker_is_asked_is_answered_by_a_document(made, asks):
    site = made(**asks)
    assert fit_for_use(site).uses[0].ask_maker
    assert "as cleared of the roof" in found(site)["roof-to-be-asked"].fix
    answered = made(**asks, cleared="letter of the maker, 2026")
    assert not fit_for_use(answered).uses[0].ask_maker
    assert found(answered) == {}


@pytest.mark.parametrize("asks", [{"flashing": "copper"}, {"trees": "many"}], ids=str)
def test_what_a_test_answers_no_document_does(made, asks):
    site = made(**asks, cleared="letter")
    assert not fit_for_use(site).uses[0].ask_maker
    assert "roof-to-be-asked" in found(site)


def test_nothing_clears_lead(made):
    assert "roof-rules-out-use" in found(made(flashing="lead", cleared="letter"))
