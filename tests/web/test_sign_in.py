"""Sharing: nothing is seen before the passphrase, and guessing it takes ever longer."""

import stat
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from eavewell.faults import EavewellFault
from eavewell.web import passphrase, serving, sign_in
from eavewell.web.app import pages
from eavewell.web.passphrase import Waits, has_passphrase, is_passphrase, set_passphrase
from eavewell.web.sign_in import COOKIE, Keys

WORDS = "seven dry weeks"
HERE = {"origin": "http://127.0.0.1"}


@pytest.fixture(autouse=True)
def cheap(monkeypatch):
    monkeypatch.setitem(passphrase.COST, "n", 2**4)


@pytest.fixture
def keys(tmp_path_factory) -> Keys:
    folder = tmp_path_factory.mktemp("state")
    set_passphrase(WORDS, folder=folder)
    return Keys(folder)


@pytest.fixture
def shared(sites: Path, keys: Keys) -> TestClient:
    app = pages(sites, mark="ours", keys=keys)
    mark = {"x-eavewell-mark": "ours"}
    return TestClient(app, base_url="http://127.0.0.1", headers=mark, follow_redirects=False)


def signs_in(client: TestClient, words: str):
    return client.post("/sign-in", data={"words": words}, headers=HERE)


def test_a_passphrase_is_kept_as_a_hash_for_the_user_alone(tmp_path: Path):
    assert not has_passphrase(tmp_path) and not is_passphrase("", folder=tmp_path)
    with pytest.raises(EavewellFault, match="at least 12"):
        set_passphrase("eleven long", folder=tmp_path)
    set_passphrase(WORDS, folder=tmp_path)
    (file,) = tmp_path.iterdir()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert "seven" not in file.read_text()
    assert is_passphrase(WORDS, folder=tmp_path) and not is_passphrase(WORDS + " ", folder=tmp_path)
    file.write_text("nothing of use")
    assert not is_passphrase(WORDS, folder=tmp_path)


def test_nothing_is_seen_before(shared: TestClient, sites: Path):
    before = (sites / "barrels" / "site.toml").read_bytes()
    for path in ("/", "/sites/barrels", "/data", "/sign-out", "/nowhere"):
        answer = shared.get(path)
        assert (answer.status_code, answer.headers["location"]) == (303, "/sign-in")
    for path in ("/sites.json", "/sites/barrels.json", "/openapi.json"):
        assert shared.get(path).json() == {"says": ["Sign in first."]}
    change = shared.post("/sites/barrels/change", data={"address": "name", "value": "x"})
    assert change.status_code == 303
    assert shared.get("/", headers={"hx-request": "true"}).status_code == 401
    assert (sites / "barrels" / "site.toml").read_bytes() == before
    assert "ours" not in shared.get("/sign-in").text
    assert shared.get("/things/page.css").status_code == 200


def test_signing_in_and_out(shared: TestClient):
    answer = signs_in(shared, WORDS)
    assert answer.status_code == 303
    told = answer.headers["set-cookie"].lower()
    assert "httponly" in told and "samesite=strict" in told and "max-age=43200" in told
    assert "Sign out" in shared.get("/").text
    old = shared.cookies[COOKIE]
    assert shared.post("/sign-out").status_code == 204
    shared.cookies.set(COOKIE, old)
    assert shared.get("/").status_code == 303


def test_signing_in_must_come_from_the_page(shared: TestClient):
    for headers in ({}, {"origin": "null"}, {"origin": "http://elsewhere.example"}):
        answer = shared.post("/sign-in", data={"words": WORDS}, headers=headers)
        assert answer.status_code == 403 and "set-cookie" not in answer.headers


def test_a_cookie_cannot_be_made_or_outlived(shared: TestClient, keys: Keys, monkeypatch):
    good = keys.cookie()
    assert keys.is_good(good)
    until, nonce, signed = good.split(".")
    made = ("", ".", "..", good[:-1], f"{int(until) + 1}.{nonce}.{signed}", f"x.{nonce}.{signed}")
    assert not any(keys.is_good(one) for one in (*made, "ü.ü.ü", Keys(keys.folder).cookie()))
    monkeypatch.setattr(sign_in, "time", lambda: float(until))
    assert not keys.is_good(good)


def test_wrong_words_wait_ever_longer(shared: TestClient, keys: Keys):
    now = [0.0]
    keys.waits.clock = lambda: now[0]
    for _ in range(3):
        assert signs_in(shared, "wrong").status_code == 403
    waits = []
    for _ in range(4):
        answer = signs_in(shared, "wrong")
        assert answer.status_code == 429 and "the next try is heard in" in answer.text
        waits.append(int(answer.headers["retry-after"]))
        assert signs_in(shared, WORDS).status_code == 429
        now[0] += waits[-1]
    assert waits == [2, 4, 8, 16]
    assert signs_in(shared, WORDS).status_code == 303


def test_many_addresses_gain_nothing():
    waits = Waits(clock=lambda: 0.0)
    for row in range(20):
        waits.wrong(f"10.0.0.{row}")
    assert waits.left_s("10.0.1.1") == 0.0
    for row in range(2_000):
        waits.wrong(f"10.1.{row // 250}.{row % 250}")
    assert waits.left_s("10.0.1.1") == 60.0
    assert len(waits._each) <= 1_000


def test_sharing_without_a_passphrase_is_refused(tmp_path: Path, monkeypatch):
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    monkeypatch.setattr(serving.sys, "stdin", open("/dev/null"))  # noqa: SIM115, PTH123
    with serving.sys.stdin, pytest.raises(EavewellFault, match="needs a passphrase"):
        serving.ask_passphrase()


def test_cookies_that_have_run_out_are_no_longer_named(keys: Keys, monkeypatch) -> None:
    now_s = [1_000_000_000.0]
    monkeypatch.setattr(sign_in, "time", lambda: now_s[0])
    for _ in range(5):
        cookie = keys.cookie()
        keys.end(cookie)
        assert not keys.is_good(cookie)
        now_s[0] += sign_in.LASTS_S + 1
    assert len(keys._ended) == 1
