"""No field that names a part of the site is forgotten when the part is called otherwise."""

import tomllib
from pathlib import Path

import pytest

from eavewell.faults import BadSite
from eavewell.files.site.edit import changed_text
from eavewell.files.site.edit_names import renamed
from eavewell.files.site.fields import fields
from eavewell.files.site.reader import site_of_text

EXAMPLES = Path(__file__).parents[2] / "examples"
WORDS = [
    one
    for known in fields().values()
    for one in known.values()
    if one.quantity in ("text", "names") and not one.choices and one.name != "name"
]
# words, documents and files: nothing that the site file describes elsewhere
FREE = {
    *("cleared", "listed", "document", "by", "tap", "datum", "factor_from", "donor_climate"),
    *("donor_name", "material", "backflow_device", "station", "record", "neighbour"),
    *("authority", "table", "donor", "prices", "fixture"),
    *("kept_in", "zone", "broker", "unit", "topic", "at", "mail_to", "mail_from", "mail_server"),
    *("time", "town"),
}
TOP = {"site": (), "tank": ("tank", 0), "roof": ("roof", 0)}


def test_every_text_field_names_parts_or_is_known_to_be_free():
    free = {one.name for one in WORDS if not one.refers}
    assert free <= FREE
    assert all(one.quantity in ("text", "names", "table goals") for one in _referring())


def test_what_is_named_is_a_list_of_parts_with_names():
    for one in _referring():
        for kind in one.refers.replace("'", "").split("|"):
            section = "site"
            for step in kind.split("."):
                field = fields()[section][step]
                section = field.inner
            assert field.quantity.startswith("list ") and "name" in fields()[section]


@pytest.mark.parametrize("example", sorted(one.parent.name for one in EXAMPLES.glob("*/site.toml")))
def test_a_part_called_otherwise_leaves_the_old_name_nowhere(example):
    text = (EXAMPLES / example / "site.toml").read_text(encoding="utf-8")
    raw = tomllib.loads(text)
    for kind in ("roof", "tank", "sump", "use", "lift", "pipe", "line"):
        for row, part in enumerate(raw.get(kind, [])):
            now = renamed(text, (kind, row), name="quite another")
            expected = _swapped(raw, kind, part["name"])
            assert tomllib.loads(now) == expected
            site_of_text(now)


@pytest.mark.parametrize("field", [one for one in WORDS if not one.refers and one.section in TOP])
def test_a_field_that_names_nothing_takes_any_words(field):
    """A reader that looked the words up among the parts would say that there is none."""
    text = (EXAMPLES / "whole-house" / "site.toml").read_text(encoding="utf-8")
    way = TOP[field.section]
    try:
        site_of_text(changed_text(text, (*way, field.name), value="zzz"))
    except BadSite as refused:
        assert "there is no" not in str(refused)


def _referring():
    return [one for known in fields().values() for one in known.values() if one.refers]


def _swapped(raw, kind, old):
    """The same with the name changed by hand wherever these four files mean the part."""
    new = "quite another"
    store = kind in ("tank", "sump")

    def walk(value, way):
        if isinstance(value, dict):
            return {
                (new if kind == "use" and way == ("goal",) and key == old else key): walk(
                    one, (*way, key)
                )
                for key, one in value.items()
            }
        if isinstance(value, list):
            return [walk(one, way) for one in value]
        return new if value == old and _meant(way) else value

    def _meant(way):
        here = way[-1]
        if way == (kind, "name"):
            return True
        if store:
            return here in ("drains_to", "overflow_to", "draws_from", "from") or (
                here == "to" and way[0] in ("pipe", "hauled", "lift")
            )
        if kind == "roof":
            return here in ("carries", "receives")
        if kind == "use":
            return here in ("serves", "waters")
        return kind == "pipe" and way == ("pipe", "to")

    return walk(raw, ())
