"""What stands beside a field: no words of the text's own, sizes in the units of the page."""

from fastapi.testclient import TestClient

from eavewell.files.site.fields import fields
from eavewell.units import read
from eavewell.web.field_words import hint_of, limits_of, meaning_of
from eavewell.web.forms import Form

SYSTEMS = ("us", "metric")


def test_no_table_is_named_and_every_size_is_in_the_units_of_the_page() -> None:
    every = [one for section in fields().values() for one in section.values()]
    assert not any("tables/" in meaning_of(one) for one in every)
    form = Form.of({}, (), system="us")
    bleed = form.entry(("roof", 0, "first_flush", "bleed"))
    assert bleed.otherwise == "0 gal/h"
    assert (
        Form.of({}, (), system="metric").entry(("tank", 0, "burial", "anchor")).otherwise == "0 kg"
    )
    fixture = form.entry(("line", 0, "outlets", 0, "fixture"))
    assert fixture.kind == "words" and "kitchen sink" in fixture.choices


def test_no_field_is_shown_an_example_that_it_refuses() -> None:
    every = [one for section in fields().values() for one in section.values()]
    sized = [(one, hint) for one in every for system in SYSTEMS if (hint := hint_of(one, system))]
    assert len(sized) > 200
    for field, hint in sized:
        value = read(hint, field.quantity)
        assert field.low is None or value >= field.low, (field.section, field.name)
        assert field.high is None or value <= field.high, (field.section, field.name)
    assert "x" in hint_of(fields()["roof"]["plan"], "us")


def test_units_and_listed_words_keep_their_letters(client: TestClient) -> None:
    page = client.get("/sites/barrels/part/ground").text
    assert "-76 F to 104 F" in page  # -60 C and 40 C
    assert meaning_of(fields()["site"]["rule"]).startswith("yas:")
    assert meaning_of(fields()["tank"]["vent_screened"]).startswith("No where")


def test_limits_are_written_out() -> None:
    assert limits_of(fields()["tank"]["count"], "us") == "1 to 1,000"
    bare = [
        limits_of(one, "us")
        for part in fields().values()
        for one in part.values()
        if one.quantity in ("number", "count")
    ]
    assert not any("e+" in one for one in bare)


def test_a_goal_tells_what_it_asks_and_whether_somebody_said_so(client: TestClient) -> None:
    page = client.get("/sites/barrels").text
    told = {"bowl": "at most 60 dry days", "bed": "0.4 of the water supplied"}
    for use, says in told.items():
        assert f"<b>{use}</b> <span>{says}</span>" in page
    assert '<b>bucket and hose</b> <span class="none">starting value</span>' in page
    assert "must reach</h3>" in page
