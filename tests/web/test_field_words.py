"""What stands beside a field: no words of the text's own, sizes in the units of the page."""

from eavewell.files.site.fields import fields
from eavewell.web.field_words import meaning_of
from eavewell.web.forms import Form


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
