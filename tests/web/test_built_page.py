"""Built systems on a page; everything invented."""

import json
from datetime import date

import jsonschema
import pytest

from eavewell.district.register import Register
from eavewell.district.register_answer import register_answer
from eavewell.district.register_papers import register_files, write_files
from eavewell.district.shared_site import MoneyShared, ServiceShared, SharedSite, SupplyShared
from eavewell.logbook.upkeep.serviced import Due
from eavewell.site.share import Share
from eavewell.web import built_page, district_layouts

TODAY = date(2027, 6, 1)
TOWNS = ("Fernridge", "Saltcote", "Tallgrass")


def due(at):
    return Due(
        kind="care",
        task="clean the screens",
        things=("screen",),
        says="Take leaves off.",
        due=date(2027, 5, 1 + at % 28),
        today=TODAY,
        by="days",
        why="",
        source="invented",
    )


def built(at):
    """Every other one shares; every seventh stopped."""
    shares = at % 2 == 0
    return SharedSite(
        f"site-{at:03d}",
        "stopped" if at % 7 == 0 else "working",
        TODAY,
        share=Share(("service", "money", "supply") if shares else (), TOWNS[at % 3]),
        service=ServiceShared((due(at),), at % 2) if shares else None,
        money=MoneyShared(100.0 + at, "USD", 10_000.0) if shares else None,
        supply=SupplyShared(at % 4 == 0, None) if shares else None,
    )


@pytest.fixture
def registered(sites):
    answer = register_answer(Register("valley", TODAY, tuple(map(built, range(120)))))
    write_files(register_files(answer, days=30), sites / "register")
    return answer


def asked(client, path="/built.json", **said):
    answer = client.get(path, params=said)
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_before_the_sites_were_read(client):
    assert asked(client)["day"] is None
    for page in ("/built", "/built/round"):
        assert "Read the sites" in client.get(page).text
    assert client.get("/built/papers/board.pdf").status_code == 404


def test_the_sites_are_read_at_a_press(client, sites):
    assert client.post("/built").status_code == 204
    told = asked(client)
    assert [(one["site"], one["status"]) for one in told["rows"]] == [("barrels", "no log")]
    assert client.get("/built/papers/board.pdf").content.startswith(b"%PDF")
    assert client.get("/built/papers/register.json").status_code == 404
    assert (sites / "register" / "round.ics").is_file()


def test_too_many_sites_are_left_to_the_command(client, monkeypatch):
    monkeypatch.setattr(built_page, "MOST_HERE", 0)
    refused = client.post("/built")
    assert refused.status_code == 422
    assert "eavewell register" in refused.text


def test_pages_of_the_register(client, registered):
    pages = [asked(client, page=number) for number in (1, 2, 3)]
    assert [len(one["rows"]) for one in pages] == [50, 50, 20]
    names = [row["site"] for one in pages for row in one["rows"]]
    assert names == [one["site"] for one in registered["sites"]]


def test_sorted_what_is_not_shared_last(client, registered):
    rows = asked(client, sort="yearly_cost", falling=True)["rows"]
    assert [one["yearly_cost"] for one in rows[:3]] == [218.0, 216.0, 214.0]
    last = asked(client, sort="yearly_cost", page=3)["rows"]
    assert {one["yearly_cost"] for one in last} == {None}


def test_looked_for(client, registered):
    stopped = asked(client, status="stopped", town="Saltcote")
    wanted = [at for at in range(120) if at % 7 == 0 and at % 3 == 1]
    assert [one["site"] for one in stopped["rows"]] == [f"site-{at:03d}" for at in wanted]
    assert asked(client, second_supply="yes")["found"] == 30
    assert asked(client, second_supply="no")["found"] == 30
    assert asked(client, site="SITE-01")["found"] == 10
    assert client.get("/built.json", params={"second_supply": "maybe"}).status_code == 422


def test_the_round(client, registered):
    told = asked(client, "/built/round.json", town="Tallgrass", sort="due")
    assert told["found"] == 20
    days = [one["due"] for one in told["rows"]]
    assert days == sorted(days)
    page = client.get("/built/round").text
    assert "1 to 50 of 60" in page
    assert "/built/papers/round.ics" in page


def test_data_is_as_declared(client, registered):
    checked = jsonschema.FormatChecker()
    form = district_layouts.built()
    jsonschema.validate(asked(client), form, format_checker=checked)
    form = district_layouts.built_round()
    told = asked(client, "/built/round.json")
    jsonschema.validate(told, form, format_checker=checked)


def test_the_page_tells_the_board_first_and_names_no_row_that_is_not_there(client, registered):
    page = client.get("/built", params={"sort": "overdue", "falling": "yes"}).text
    assert page.index("of 120 work") < page.index("site-")
    assert "modelled, not verified" in page
    assert 'aria-sort="descending"' in page


def test_a_register_that_is_not_whole_is_said(client, sites, registered):
    file = sites / "register" / "register.json"
    file.write_text(json.dumps(registered)[:500], encoding="utf-8")
    refused = client.get("/built.json")
    assert refused.status_code == 422
    assert "not whole" in refused.json()["says"][0]


def test_a_name_is_no_markup(client, sites):
    bad = SharedSite("<b>x</b>", "working", TODAY, share=Share((), "<i>y</i>"))
    answer = register_answer(Register("<u>", TODAY, (bad,)))
    write_files({"register.json": json.dumps(answer)}, sites / "register")
    page = client.get("/built").text
    assert "<b>x" not in page
    assert "<i>y" not in page
    assert "&lt;b&gt;x" in page
