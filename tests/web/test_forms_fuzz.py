"""Any text in any field of any form: never a fault of ours, and nothing changed where refused."""

import random
from pathlib import Path

from fastapi.routing import APIRoute
from fastapi.testclient import TestClient

from eavewell.web.app import pages

SEED, TRIES = 20_200_202, 3
TEXTS = (
    "",
    " ",
    "\0",
    "a\r\nb: c",
    "../..",
    "..%2f",
    "1e999",
    "-0",
    "nan",
    "9" * 5_000,
    "[" * 2_000,
    "家の水\u202e",
    "{{ 7 * 7 }}",
    "<script>alert(1)</script>",
    '"""',
    "place/elevation",
    "tank/0/volume",
    "tank/-1/volume",
    "uses/99999999999999999999",
    "name",
    "barrels",
    "1,480 ft",
    "a/" * 500,
)


def forms(app):
    """Every address that takes a form, with the names of its fields."""
    for route in app.routes:
        for one in getattr(getattr(route, "original_router", None), "routes", [route]):
            if isinstance(one, APIRoute) and "POST" in one.methods:
                yield one.path, [field.alias for field in one.dependant.body_params]


def filled(path: str, some: random.Random) -> str:
    from urllib.parse import quote

    pieces = [
        ("barrels" if some.random() < 0.8 else quote(some.choice(TEXTS[1:9]), safe=""))
        if piece.startswith("{")
        else piece
        for piece in path.split("/")
    ]
    return "/".join(pieces)


def test_any_text_in_any_form(sites: Path):
    app = pages(sites, mark="ours")
    asks = {"x-eavewell-mark": "ours"}
    client = TestClient(
        app, base_url="http://127.0.0.1", headers=asks, raise_server_exceptions=False
    )
    assert client.get("/data").status_code == 200  # loads every page
    some, file = random.Random(SEED), sites / "barrels" / "site.toml"
    whole = file.read_bytes()
    asked = [(path, fields) for path, fields in forms(app) if "/bin" not in path]
    assert len(asked) >= 20
    for path, fields in asked:
        for _ in range(TRIES):
            data = {name: some.choice(TEXTS) for name in fields if some.random() < 0.9}
            before = file.read_bytes()
            answer = client.post(filled(path, some), data=data)
            assert answer.status_code < 500, (path, data, answer.text)
            assert str(sites) not in answer.text, (path, data)
            if answer.status_code >= 400:
                assert file.read_bytes() == before, (path, data)
            file.write_bytes(whole)
