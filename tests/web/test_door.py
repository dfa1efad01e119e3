"""What the door lets through, and with which sentence it refuses the rest."""

import io
import socket
import zipfile
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from eavewell.faults import BadSite, EavewellFault
from eavewell.web import guard, serving
from eavewell.web.app import pages
from eavewell.web.site_folders import SiteFolder

TOLD = {"address": "name", "value": "Theirs", "was": "Quailwater potting shed"}
CHANGE = "/sites/barrels/change"


def kept(sites: Path) -> bytes:
    return (sites / "barrels" / "site.toml").read_bytes()


@pytest.mark.parametrize(
    "host", ["elsewhere.example", "127.0.0.1.elsewhere.example", "[", "", "127.0.0.1@elsewhere"]
)
def test_another_host_is_refused(client: TestClient, host: str):
    answer = client.get("/", headers={"host": host})
    assert answer.status_code == 400 and "not served under that name" in answer.text


def test_two_hosts_are_refused(client: TestClient):
    assert (
        client.get("/", headers=[("host", "127.0.0.1"), ("host", "x.example")]).status_code == 400
    )


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://elsewhere.example"},
        {"origin": "null"},
        {"origin": "http://["},
        {"origin": "http://127.0.0.1:81"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"x-eavewell-mark": ""},
        {"x-eavewell-mark": "über".encode()},
    ],
)
def test_a_change_from_elsewhere_is_refused(client: TestClient, sites: Path, headers):
    before = kept(sites)
    assert client.post(CHANGE, data=TOLD, headers=headers).status_code == 403
    assert kept(sites) == before


def test_what_is_too_large_or_unmeasured_is_refused(client: TestClient, sites: Path):
    before = kept(sites)
    large = client.post(CHANGE, content=b"", headers={"content-length": "200000000"})
    assert large.status_code == 413 and "25 MB" in large.text
    endless = client.post(CHANGE, content=iter([b"a"]))
    assert endless.status_code == 411 and "beforehand" in endless.text
    for length in ("-1", "²", "1e3", "9" * 400):
        answer = client.post(CHANGE, content=b"", headers={"content-length": length.encode()})
        assert answer.status_code in (411, 413)
    assert kept(sites) == before


def test_a_body_that_lies_about_its_length_is_cut_off(client: TestClient, monkeypatch):
    monkeypatch.setattr(guard, "MOST_BYTES", 1_000)
    headers = {"content-length": "10", "content-type": "application/x-www-form-urlencoded"}
    answer = client.post(CHANGE, content=b"value=" + b"a" * 5_000, headers=headers)
    assert answer.status_code == 413 and "too large" in answer.text


def asked(app, messages, *, method="POST", path=CHANGE):
    """One request by hand; messages : an async function that gives what comes in."""
    import anyio

    told = []

    async def send(message):
        told.append(message)

    scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": method,
        "scheme": "http",
        "path": path,
        "raw_path": path.encode(),
        "query_string": b"",
        "headers": [
            (b"host", b"127.0.0.1"),
            (b"content-length", b"10"),
            (b"content-type", b"application/x-www-form-urlencoded"),
            (b"x-eavewell-mark", b"ours"),
        ],
        "client": ("127.0.0.1", 1),
        "server": ("127.0.0.1", 80),
    }
    anyio.run(app, scope, messages, send)
    return told


def test_a_body_that_never_comes_is_given_up(sites: Path, monkeypatch):
    import anyio

    monkeypatch.setattr(guard, "SLOWEST_S", 0.05)
    told = asked(pages(sites, mark="ours"), anyio.sleep_forever)
    assert told[0]["status"] == 408
    assert b"too slowly" in b"".join(one.get("body", b"") for one in told)


@pytest.mark.parametrize(
    "path",
    [
        "/sites/..%2f..%2fetc%2fpasswd",
        "/sites/%2e%2e/site.toml",
        "/sites/..%5c..%5csite",
        "/sites/barrels%00.json",
        "/sites/.bin",
        "/sites/" + "a" * 3_000,
        "/things/..%2fapp.py",
        "/things/%2e%2e%2f%2e%2e%2fapp.py",
        "/things/..%5capp.css",
        "/things/a%00.css",
        "/things/" + "a" * 3_000 + ".css",
        "/things/letters/..%2f..%2fa.woff",
        "/sites/barrels/papers/file/../../site.toml",
        "/sites/barrels/papers/file/..%2f..%2fsite.toml",
        "/sites/barrels/papers/page/1/..%2fsite.toml",
    ],
)
def test_no_address_leads_out_of_the_folder(client: TestClient, sites: Path, path: str):
    answer = client.get(path)
    assert answer.status_code in (400, 404)
    assert str(sites) not in answer.text and "Traceback" not in answer.text


def test_an_endless_address_is_refused(client: TestClient):
    assert client.get("/" + "a" * 5_000).status_code == 414


def test_a_link_to_elsewhere_is_no_site(client: TestClient, sites: Path, tmp_path_factory):
    away = tmp_path_factory.mktemp("away")
    (away / "site.toml").write_text('name = "Away"')
    (sites / "linked").symlink_to(away)
    (sites / "half").mkdir()
    (sites / "half" / "site.toml").symlink_to(away / "site.toml")
    assert {one["name"] for one in client.get("/sites.json").json()["sites"]} == {"barrels"}
    for name in ("linked", "half"):
        assert client.get(f"/sites/{name}").status_code == 404
    (sites / "barrels" / "records").symlink_to(away)
    bring(client, "rain.csv", b"date,mm\n2001-01-01,1\n")
    assert {one.name for one in away.iterdir()} == {"site.toml"}


@pytest.mark.parametrize("name", ["a\0b", "a" * 300, "家" * 90, "..", "../x"])
def test_no_file_outside_a_site_is_named(sites: Path, name: str):
    with pytest.raises(BadSite):
        SiteFolder(sites / "barrels").inside(name)


def bring(client: TestClient, name: str, data: bytes):
    return client.post(
        "/sites/barrels/rain/file", files={"file": (name, data)}, data={"unit": "mm"}
    )


def test_an_upload_of_another_kind_is_refused_with_a_sentence(client: TestClient, sites: Path):
    zipped = io.BytesIO()
    with zipfile.ZipFile(zipped, "w") as made:
        made.writestr("rain.csv", "date,mm\n2001-01-01,1\n")
    before = kept(sites)
    drawing = b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>"
    for name, data in (
        ("rain.csv", zipped.getvalue()),
        ("roof.svg", drawing),
        ("rain.csv", b"\0" * 1_000),
        ("../../rain.csv", b"nothing"),
        ("", b"x"),
        ("a" * 400 + ".csv", b"x"),
    ):
        answer = bring(client, name, data)
        assert answer.status_code == 422, name
        assert "Traceback" not in answer.text and str(sites) not in answer.text
    assert kept(sites) == before
    records = sites / "barrels" / "records"
    assert not records.exists() or not any(records.iterdir())


def test_a_site_file_brought_in_of_another_kind_is_refused(client: TestClient, sites: Path):
    for data in (b"PK\x03\x04", b"<svg onload='x'/>", b"\xff\xfe\0", b"[" * 10_000, b"a=1\n" * 9):
        file = {"file": ("site.toml", data)}
        answer = client.post("/sites/bring", files=file, data={"name": "brought"})
        assert answer.status_code == 422
    assert not (sites / "brought").exists()


def test_a_new_name_sets_no_header_and_leads_nowhere(client: TestClient, sites: Path):
    names = (
        "a\r\nset-cookie: x=y",
        "..",
        "../x",
        "/x",
        "a\0",
        "a" * 300,
        ".x",
        "",
        "家" * 90,
        "CON",
    )
    for name in names:
        answer = client.post("/sites", data={"name": name, "like": "barrels"})
        assert answer.status_code < 500 and "set-cookie" not in answer.headers, name
        assert "\n" not in answer.headers.get("hx-redirect", "")
    assert not (sites.parent / "x").exists()


def test_a_name_in_other_letters_is_led_to(client: TestClient):
    answer = client.post("/sites", data={"name": "家の水", "like": "barrels"})
    if answer.status_code == 204:
        assert client.get(answer.headers["hx-redirect"]).status_code == 200
    else:
        assert answer.status_code == 422


def test_head_answers_as_get_without_the_body(client: TestClient):
    for path in ("/", "/things/page.css", "/sites.json", "/nowhere"):
        head, get = client.head(path), client.get(path)
        assert head.status_code == get.status_code and head.content == b""
        assert head.headers["content-type"] == get.headers["content-type"]


def test_other_ways_of_asking_change_nothing(client: TestClient, sites: Path):
    before = kept(sites)
    for way in ("OPTIONS", "TRACE", "PUT", "DELETE", "PATCH", "CONNECT", "BREW"):
        assert client.request(way, CHANGE).status_code == 405
    for header in ("x-http-method-override", "x-http-method", "x-method-override"):
        assert client.get(CHANGE + "?_method=POST", headers={header: "POST"}).status_code == 405
        assert client.get("/sites/barrels", headers={header: "DELETE"}).status_code == 200
    assert kept(sites) == before


def test_every_answer_carries_the_headers(client: TestClient):
    for answer in (
        client.get("/"),
        client.get("/nowhere"),
        client.get("/things/page.css"),
        client.get("/", headers={"host": "x"}),
        client.post("/sites"),
    ):
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy and "unsafe" not in policy
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["x-frame-options"] == "DENY"
        assert "access-control-allow-origin" not in answer.headers


def test_a_fault_of_ours_is_a_sentence_and_is_logged(client: TestClient, monkeypatch, capsys):
    def broken(*_, **__):
        raise ValueError("secret words")

    monkeypatch.setattr("eavewell.web.register_page._register", broken)
    answer = client.get("/")
    assert answer.status_code == 500 and answer.text == guard.OUR_FAULT + "\n"
    assert "content-security-policy" in answer.headers
    assert "secret words" in capsys.readouterr().err


def test_what_the_disk_refuses_is_a_sentence_without_its_path(client: TestClient, monkeypatch):
    def full(*_, **__):
        raise OSError(28, "No space left on device", "/somewhere/site.toml")

    monkeypatch.setattr("eavewell.web.register_page._register", full)
    answer = client.get("/")
    assert answer.status_code == 422
    assert "No space left" in answer.text and "somewhere" not in answer.text


def test_the_next_free_port_is_taken():
    first, second = serving.listening("127.0.0.1", None), serving.listening("127.0.0.1", None)
    try:
        assert first.getsockname()[1] != second.getsockname()[1]
        assert first.getsockname()[0] == "127.0.0.1"
        with pytest.raises(EavewellFault, match="cannot be used"):
            serving.listening("127.0.0.1", first.getsockname()[1])
    finally:
        first.close()
        second.close()


def test_what_keeps_it_from_opening_is_said(tmp_path: Path, monkeypatch):
    asked = {"port": None, "browser": False, "share": False}
    with pytest.raises(EavewellFault, match="There is no folder"):
        serving.serve(tmp_path / "none", **asked)
    monkeypatch.setattr(serving, "is_built", lambda: False)
    with pytest.raises(EavewellFault, match=r"browser_libraries\.py"):
        serving.serve(tmp_path, **asked)


def test_own_addresses_name_this_computer():
    assert socket.gethostname().lower() in serving.own_addresses()
