"""An authority's file: read whole, or refused with every fault and its line."""

import re
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from eavewell.faults import BadQuantity, BadRules, BadSite, EavewellFault
from eavewell.files.authority import authority_of_text, model_authority, read_authority
from eavewell.files.record import authority_of
from eavewell.files.site.field_values import value_of
from eavewell.files.site.fields import authority_fields
from eavewell.files.site.new_site import starter_text
from eavewell.files.site.parts import Part
from eavewell.files.site.reader import site_of_text
from eavewell.site.authority import Authority
from eavewell.site.permission import PaperDone
from eavewell.tables import rows
from eavewell.units import quantities

GUIDE = Path(__file__).parents[2] / "docs" / "authority_file.md"
EXAMPLES = re.findall(r"```toml\n(.*?)```", GUIDE.read_text(encoding="utf-8"), re.DOTALL)
RULES = EXAMPLES[1]
LINES = RULES.splitlines()
EVERY = [one for known in authority_fields().values() for one in known.values()]
GALLON_L, FOOT_M = 3.785411784, 0.3048
QUICK = settings(max_examples=120, deadline=None)
WRITTEN = '\nsource = "s"\nplace = "p"\n'
ALL_KINDS = (
    RULES
    + f'[[trigger]]\nname = "tall"\nmeasure = "height over width"\nratio = 2\nasks = "a"{WRITTEN}'
)


def faults(text):
    with pytest.raises(BadRules) as refused:
        authority_of_text(text, file="county.toml")
    return refused.value.faults


def test_the_example_of_the_guide_reads_as_it_says():
    found = authority_of_text(RULES)
    assert (found.name, found.edition, found.is_model) == ("Quailwater County", "2026", False)
    large, indoors = found.triggers
    assert large.above == pytest.approx(5000.0 * GALLON_L)
    assert large.asks == "a building permit for the tank"
    assert (indoors.end_use, indoors.above) == ("indoor", None)
    (setback,) = found.setbacks
    assert (setback.of, setback.to) == ("tank", "property line")
    assert setback.least_m == pytest.approx(5.0 * FOOT_M)
    assert setback.written.place == "section 4.4"
    approval, letter, test = found.papers
    assert (approval.when, approval.who) == ("before purchase", "rebate office")
    assert letter.triggers == ("large tank",)
    assert test.end_uses == ("indoor", "drinking")
    (target,) = found.targets
    assert (target.organism, target.end_use, target.logs) == ("virus", "indoor", 3.0)
    assert found.inspections[0].every_days == 90.0
    (sign,) = found.signs
    assert (sign.ground, sign.letters) == ("#6a3d9a", "#ffd400")
    assert sign.letters_mm == pytest.approx(25.4)
    (limit,) = found.limits
    assert (limit.of, limit.most, limit.every_days) == ("E. coli", 100.0, 365.0)
    assert (found.drainage_years, found.drainage_minutes) == (100, 60.0)
    assert found.drainage_written.place == "section 11"


def test_the_site_file_of_the_guide_reads():
    permission = site_of_text(starter_text("barrels") + EXAMPLES[0]).permission
    assert permission.authority == "county.toml"
    days = (permission.purchase, permission.building, permission.use)
    assert days == (date(2027, 3, 15), date(2027, 4, 1), date(2027, 6, 1))
    assert permission.papers[0] == PaperDone("pre-approval", date(2027, 3, 1), "county")


def test_every_field_is_read_and_no_other(monkeypatch):
    read = set()
    plain = Part.__getitem__

    def noting(part, name):
        read.add((part.section, name))
        return plain(part, name)

    monkeypatch.setattr(Part, "__getitem__", noting)
    authority_of_text(ALL_KINDS)
    assert read == {(one.section, one.name) for one in EVERY}


@pytest.mark.parametrize("field", EVERY, ids=lambda one: f"{one.section} {one.name}")
def test_a_row_is_whole(field):
    assert field.label
    assert field.meaning.endswith(".")
    assert not field.inner or field.inner in authority_fields()
    if field.quantity in quantities() and field.high is not None:
        with pytest.raises(BadQuantity, match="too large"):
            value_of(f"{field.high * 1.001 + 1:.3f} {quantities()[field.quantity].internal}", field)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('name = "large tank"', 'nam = "large tank"', "'nam' is not a field here: did you mean"),
        ('above = "5,000 gal"', "above = 5000", "5000"),
        ('above = "5,000 gal"', 'above = "5,000 ft"', "5,000 ft"),
        ('above = "5,000 gal"', "ratio = 2.0", "above is missing"),
        ('end_use = "indoor"\nasks', 'above = "9 gal"\nasks', "says nothing about end use"),
        ('least = "5 ft"', 'least = "5"', "unit"),
        ('every = "90 days"', 'every = "90"', "unit"),
        ('when = "before purchase"', 'when = "before purchas"', "before purchase"),
        ('triggers = ["large tank"]', 'triggers = ["big tank"]', "did you mean 'large tank'?"),
        ('["indoor", "drinking"]', '["indoors"]', "did you mean 'indoor'?"),
        ('name = "engineer\'s letter"', 'name = "pre-approval"', "used twice"),
        ('organism = "virus"', 'organism = "viruses"', "did you mean 'virus'?"),
        ('most = "100 /100 mL"', 'most = "100 mg/L"', "most:"),
        ('most = "100 /100 mL"', 'most = "< 1 /100 mL"', "one figure"),
        ('ground = "#6a3d9a"', 'ground = "purple"', "no colour"),
        ("years = 100", "years = 0", "small"),
        ("[drainage]", "[drain]", "did you mean 'drainage'?"),
        ("[[setback]]", "[setback]", "must be a list"),
        ('edition = "2026"\n', "", "edition is missing"),
        ('name = "Quailwater County"', 'name = "Quailwater', "quotation mark"),
    ],
)
def test_what_is_wrong_is_said_with_its_line(old, new, says):
    assert old in RULES
    found = [str(one) for one in faults(RULES.replace(old, new, 1))]
    assert any(says in one for one in found), found
    assert all("county.toml" in one for one in found)


@pytest.mark.parametrize("field", ["source", "place"])
def test_a_rule_without_its_source_is_refused(field):
    """Each of the eleven rows of the example, one by one."""
    starts = [at for at, line in enumerate(LINES) if line.startswith(f"{field} =")]
    assert len(starts) == 11
    for at in starts:
        (fault,) = faults("\n".join([*LINES[:at], *LINES[at + 1 :]]))
        assert f"the field {field} is missing" in fault.says.lower()
        assert fault.line


def test_every_fault_at_once():
    text = RULES.replace('least = "5 ft"', 'least = "far"').replace("logs = 3.0", 'logs = "3"')
    text = text.replace("[drainage]\nyears = 100", "[drainage]\nyear = 100")
    lines = text.splitlines()
    found = {fault.line: fault.says for fault in faults(text)}
    for wrong in ('least = "far"', 'logs = "3"', "year = 100"):
        assert lines.index(wrong) + 1 in found


def test_an_empty_a_missing_and_a_huge_file(tmp_path):
    assert "docs/authority_file.md" in faults(" \n")[0].says
    with pytest.raises(BadRules, match="no authority's file here"):
        read_authority(tmp_path / "none.toml")
    huge = tmp_path / "huge.toml"
    huge.write_text("#" * 1_000_001, encoding="utf-8")
    with pytest.raises(BadRules, match="far too large for an authority's file"):
        read_authority(huge)


@given(st.binary(max_size=200))
@QUICK
def test_law_any_bytes_give_rules_or_sentences(tmp_path_factory, data):
    file = tmp_path_factory.getbasetemp() / "authority.toml"
    file.write_bytes(data)
    try:
        assert isinstance(read_authority(file), Authority)
    except EavewellFault as refused:
        assert str(refused)


WORDS = ["nan", "-1", "true", "[]", "{}", '""', '"5"', '"-3 ft"', "[[1, 2]]", "1979-05-27"]
WORDS += ["9" * 400, '"1e999 gal"', "[{}]", '["large tank"]', "0", '"90 days"', "07:32:00"]


@given(st.data())
@QUICK
def test_law_values_swapped_and_lines_lost(data):
    lines = list(LINES)
    for _ in range(data.draw(st.integers(1, 4))):
        row = data.draw(st.integers(0, len(lines) - 1))
        if "=" in lines[row]:
            key = lines[row].partition("=")[0]
            lines[row] = f"{key}= {data.draw(st.sampled_from(WORDS))}"
        else:
            del lines[row]
    text = "\n".join(lines)
    try:
        assert isinstance(authority_of_text(text), Authority)
    except BadRules as refused:
        for fault in refused.faults:
            assert fault.says.endswith((".", "?"))
            assert fault.line is None or 1 <= fault.line <= len(lines) + 1


def test_the_model_says_what_it_is_and_where_each_row_is_from():
    model = model_authority()
    assert model.is_model
    assert "check yours" in model.name
    written = [
        one.written
        for many in (model.triggers, model.setbacks, model.papers, model.inspections)
        for one in many
    ]
    written += [one.written for one in (*model.signs, *model.limits)]
    assert all(re.search(r"\((found|memory|common practice)\)$", one.source) for one in written)
    assert all(one.place for one in written)


def test_the_model_holds_no_target_and_no_storm():
    model = model_authority()
    assert model.targets == ()
    assert model.drainage_years is None
    assert model.drainage_minutes is None


def test_the_models_figures_by_hand():
    """360 and 5,000 gal; twice the width; 10 ft; 3, 6 and 12 months of 30 days and a year."""
    model = model_authority()
    above = {one.name: one.above for one in model.triggers}
    assert above["permit by volume"] == pytest.approx(360.0 * 3.785411784)
    assert above["large tank"] == pytest.approx(5000.0 * 3.785411784)
    assert above["slender tank"] == 2.0
    feet = {one.to: one.least_m / 0.3048 for one in model.setbacks}
    assert feet == pytest.approx({"property line": 5.0, "septic field": 50.0})
    assert [one.every_days for one in model.inspections[:3]] == [90.0, 180.0, 365.0]
    assert all(2 * one.every_days <= 365.0 for one in model.inspections[3:])
    (approval,) = [one for one in model.papers if one.when == "before purchase"]
    assert approval.name == "pre-approval"


def test_the_models_limits_are_those_of_the_table():
    table = {(row["of"], row["end_use"]): float(row["most"]) for row in rows("water_limits")}
    assert model_authority().limits
    for one in model_authority().limits:
        assert one.most == table[one.of, one.end_use]


def test_a_site_takes_its_own_rules_or_the_model(tmp_path):
    text = starter_text("barrels")
    assert authority_of(site_of_text(text)) == model_authority()
    named = site_of_text(text + '[rules]\nauthority = "county.toml"\n', folder=str(tmp_path))
    with pytest.raises(BadSite, match=r"county\.toml"):
        authority_of(named)
    (tmp_path / "county.toml").write_text(RULES, encoding="utf-8")
    assert authority_of(named) == authority_of_text(RULES)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("purchase = 2027-03-10\nbuilding = 2027-03-01", "before purchase"),
        ("building = 2027-03-10\nuse = 2027-03-01", "before building"),
        ('papers = [{ name = "a" }, { name = "a" }]', "named twice"),
        ("papers = [{ done = 2027-03-01 }]", "name is missing"),
        ("use = 7", "not a date"),
        ('authorty = "x"', "did you mean 'authority'?"),
    ],
)
def test_faults_of_the_site_file(text, says):
    with pytest.raises(BadSite, match=re.escape(says)):
        site_of_text(f"{starter_text('barrels')}\n[rules]\n{text}\n")


TANK = '[[tank]]\nname = "far"\neach = "9 L"\n'


def test_distances_are_read():
    text = starter_text("barrels") + TANK
    text += 'distances = { "property line" = "12 ft", building = "3 m" }\n'
    distances = dict(site_of_text(text).tank("far").distances)
    assert distances == pytest.approx({"property line": 12.0 * FOOT_M, "building": 3.0})


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ('"12 ft"', "must be distances by name"),
        ("{}", "must be distances by name"),
        ('{ building = "10" }', "unit"),
        ("{ building = 10 }", "unit"),
        ('{ building = "-1 ft" }', "-1 ft"),
    ],
)
def test_bad_distances(wrong, says):
    with pytest.raises(BadSite, match=re.escape(says)):
        site_of_text(starter_text("barrels") + TANK + f"distances = {wrong}\n")
