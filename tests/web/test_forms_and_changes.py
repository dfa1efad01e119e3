"""Parts are opened, filled in, added, taken out and moved; nothing acknowledged is ever lost."""

import html
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import threading
import time
import tomllib
from datetime import date
from pathlib import Path

import httpx2 as httpx
import pytest
from fastapi.testclient import TestClient

from eavewell.web.app import pages

EXAMPLES = Path(__file__).parents[2] / "examples"
MARK = {"x-eavewell-mark": "ours"}
SITE = "/sites/barrels"


@pytest.fixture
def file(tmp_path):
    """A site without sizes of its tanks: changed like any other, and nothing is reckoned."""
    shutil.copytree(EXAMPLES / "barrels", tmp_path / "barrels")
    return unsized(tmp_path / "barrels" / "site.toml")


def unsized(file):
    text = file.read_text(encoding="utf-8")
    file.write_text(re.sub(r"(?m)^(each|diameter|height|datum) = .*\n", "", text), encoding="utf-8")
    return file


@pytest.fixture
def client(file):
    return TestClient(pages(file.parents[1], mark="ours"), base_url="http://127.0.0.1")


def post(client, what, **told):
    return client.post(f"{SITE}/{what}", data=told, headers=MARK)


def changed(client, address, value, was="", **more):
    return post(client, "change", address=address, value=value, was=was, of="", **more)


def version(client):
    return re.search(r'name="version" value="([^"]*)"', client.get(SITE).text)[1]


def raw(file):
    return tomllib.loads(file.read_text(encoding="utf-8"))


def test_parts_come_when_they_are_opened_and_their_lines_tell_the_facts(client):
    page = client.get(SITE).text
    assert 'id="p-tank-0"' in page and "f-tank-0-name" not in page
    body = client.get(f"{SITE}/part/tank/0").text
    assert 'id="f-tank-0-name"' in body and 'id="p-tank-0-link"' in body
    assert client.get(f"{SITE}/part/tank/0/name").status_code == 404
    assert client.get(f"{SITE}/part/nothing").status_code == 404
    assert client.get(f"{SITE}/part/site").status_code == 200


def test_every_part_of_every_example_opens(tmp_path):
    shutil.copytree(EXAMPLES, tmp_path / "all")
    client = TestClient(pages(tmp_path / "all", mark="ours"), base_url="http://127.0.0.1")
    for name in ("barrels", "whole-house"):
        unsized(tmp_path / "all" / name / "site.toml")
        todo = re.findall(r'hx-get="(/sites/[^"]*/part/[^"]*)"', client.get(f"/sites/{name}").text)
        seen = set()
        while todo:
            way = html.unescape(todo.pop())
            if way not in seen and way.count("/") < 8:
                seen.add(way)
                answer = client.get(way)
                assert answer.status_code == 200, way
                todo += re.findall(r'hx-get="(/sites/[^"]*/part/[^"]*)"', answer.text)
        assert len(seen) > 20


@pytest.mark.parametrize(
    ("address", "typed", "way", "said"),
    [
        ("place/latitude", "31.5", ("place", "latitude"), 31.5),
        ("tank/0/count", "3", ("tank", 0, "count"), 3),
        ("tank/0/sight_tube", "yes", ("tank", 0, "sight_tube"), True),
        ("tank/0/link/length", "2 ft", ("tank", 0, "link", "length"), "2 ft"),
        ("rules/purchase", "2027-03-01", ("rules", "purchase"), date(2027, 3, 1)),
        ("use/0/when/months", ["Jun", "Jul"], ("use", 0, "when", "months"), [6, 7]),
        (
            "tank/0/distances",
            ["well", "90 ft", "", ""],
            ("tank", 0, "distances"),
            {"well": "90 ft"},
        ),
        ("line/0/fittings", ["90 elbow", "2", "", ""], ("line", 0, "fittings"), {"90 elbow": 2}),
        ("weigh/counts", ["2", "4", ""], ("weigh", "counts"), [2, 4]),
        ("roof/0/eave", "2.9 m", ("roof", 0, "eave"), "2.9 m"),
    ],
)
def test_what_is_typed_is_written_as_the_file_wants_it(client, file, address, typed, way, said):
    shown = client.get(f"{SITE}/entry", params={"address": address})
    vals = json.loads(html.unescape(re.search(r'hx-vals="([^"]*)"', shown.text)[1]))
    answer = post(client, "change", **{**vals, "value": typed})
    assert answer.status_code == 200, answer.text[:900]
    found = raw(file)
    for step in way:
        found = found[step]
    assert found == said
    # emptied again, it is unknown
    again = client.get(f"{SITE}/entry", params={"address": address})
    vals = json.loads(html.unescape(re.search(r'hx-vals="([^"]*)"', again.text)[1]))
    assert post(client, "change", **{**vals, "value": ""}).status_code == 200


@pytest.mark.parametrize(
    ("address", "typed", "reason"),
    [
        ("place/latitude", "north", "not a number"),
        ("place/latitude", "95", "too large"),
        ("tank/0/distances", ["well", ""], "half empty"),
        ("rules/purchase", "soon", "not a date"),
        ("roof/0/drains_to", "nowhere", "no tank"),
    ],
)
def test_a_faulty_value_is_refused_in_place(client, file, address, typed, reason):
    before = file.read_bytes()
    vals = html.unescape(
        re.search(
            r'hx-vals="([^"]*)"', client.get(f"{SITE}/entry", params={"address": address}).text
        )[1]
    )
    answer = post(client, "change", **{**json.loads(vals), "value": typed})
    assert answer.status_code == 422
    assert reason in html.unescape(answer.text)
    assert html.escape(typed if isinstance(typed, str) else typed[0]) in answer.text
    assert file.read_bytes() == before


def test_a_part_that_is_not_whole_is_kept_and_the_page_says_what_is_needed(client, file):
    answer = post(client, "add", address="tank")
    assert answer.status_code == 200
    assert "has no size" in answer.text and 'href="#p-tank-1"' in answer.text
    assert raw(file)["tank"][1] == {"name": "tank"}
    taken = post(client, "take-out", address="tank/1", version=version(client))
    assert "Taken out: tank" in taken.text and len(raw(file)["tank"]) == 1


def test_a_copy_has_a_name_of_its_own_and_goes_up_and_down(client, file):
    post(client, "copy-part", address="tank/0", version=version(client))
    first, second = raw(file)["tank"]
    assert first["name"] != second["name"]
    assert {**first, "name": ""} == {**second, "name": ""}
    assert (
        post(client, "shift", address="tank/1", by=-1, version=version(client)).status_code == 200
    )
    assert raw(file)["tank"] == [second, first]
    assert (
        post(client, "shift", address="tank/0", by=-1, version=version(client)).status_code == 422
    )


def test_a_name_is_followed_by_all_that_say_it(client, file):
    old = raw(file)["tank"][0]["name"]
    assert changed(client, "tank/0/name", "butts", old, version=version(client)).status_code == 200
    now = raw(file)
    assert now["tank"][0]["name"] == "butts" and now["roof"][0]["drains_to"] == "butts"
    assert old not in [one for use in now["use"] for one in use["draws_from"]]


def test_two_windows_lose_nothing(client, file):
    was = raw(file)["roof"][0]["eave"]
    of = raw(file)["roof"][0]["name"]
    told = {"address": "roof/0/eave", "was": was, "of": of}
    assert post(client, "change", value="9 ft", **told).status_code == 200
    clash = post(client, "change", value="10 ft", **told)
    assert clash.status_code == 409
    assert "9 ft" in clash.text and 'value="10 ft"' in clash.text
    assert "Keep mine" in clash.text and "Take the file" in clash.text
    assert raw(file)["roof"][0]["eave"] == "9 ft"
    kept = post(client, "change", value="10 ft", **{**told, "was": "9 ft"})
    assert kept.status_code == 200 and raw(file)["roof"][0]["eave"] == "10 ft"


def test_parts_in_another_order_are_not_confused(client, file):
    shown = version(client)
    name = raw(file)["use"][0]["name"]
    text = file.read_text(encoding="utf-8").replace(f'"{name}"', '"quite another"')
    file.write_text(text, encoding="utf-8")
    told = {"address": "use/0/people", "was": "", "of": name, "version": shown}
    assert post(client, "change", value="3", **told).status_code == 409
    assert post(client, "take-out", address="use/0", of=name, version=shown).status_code == 409


def test_a_change_outside_is_noticed_and_can_be_taken_back(client, file):
    shown = version(client)
    assert client.get(f"{SITE}/seen", params={"version": shown}).status_code == 204
    changed(client, "datum", "the gate", raw(file).get("datum", ""))
    before = file.read_text(encoding="utf-8")
    file.write_text(before + "\n# from outside\n", encoding="utf-8")
    assert "changed outside" in client.get(f"{SITE}/seen", params={"version": shown}).text
    assert post(client, "undo").status_code == 200
    assert file.read_text(encoding="utf-8") == before
    assert post(client, "redo").status_code == 200
    assert file.read_text(encoding="utf-8").endswith("# from outside\n")


def test_undo_and_redo_outlive_the_server(client, file):
    texts = [file.read_text(encoding="utf-8")]
    for value in ("the gate", "the well", "the gate", "the step"):
        was = raw(file).get("datum", "")
        assert changed(client, "datum", value, was).status_code == 200
        texts.append(file.read_text(encoding="utf-8"))
    other = TestClient(pages(file.parents[1], mark="ours"), base_url="http://127.0.0.1")
    for text in reversed(texts[:-1]):
        assert post(other, "undo").status_code == 200
        assert file.read_text(encoding="utf-8") == text
    assert post(other, "undo").status_code == 422
    third = TestClient(pages(file.parents[1], mark="ours"), base_url="http://127.0.0.1")
    for text in texts[1:]:
        assert post(third, "redo").status_code == 200
        assert file.read_text(encoding="utf-8") == text
    assert post(third, "redo").status_code == 422


def test_a_broken_file_opens_to_its_text_and_is_mended(client, file):
    good = file.read_text(encoding="utf-8")
    file.write_text(good.replace('name = "', "name = ", 1), encoding="utf-8")
    page = client.get(SITE).text
    assert "cannot be read" in page and 'data-line="' in page and 'class="bad"' in page
    shown = re.search(r'name="version" value="([^"]*)"', page)[1]
    saved = post(client, "text", text="still = \nwrong", version=shown)
    assert saved.status_code == 204 and file.read_text(encoding="utf-8") == "still = \nwrong"
    late = post(client, "text", text=good, version=shown)
    assert late.status_code == 409 and "Save mine" in late.text
    now = re.search(r'name="version" value="([^"]*)"', client.get(SITE).text)[1]
    assert post(client, "text", text=good.replace("\n", "\r\n"), version=now).status_code == 204
    assert file.read_text(encoding="utf-8") == good
    assert 'id="section"' in client.get(SITE).text


def test_a_text_that_broke_the_file_is_taken_back_where_it_is_told(client, file):
    good = file.read_text(encoding="utf-8")
    assert "Undo: the file as it was before" not in client.get(f"{SITE}/text").text
    shown = re.search(r'name="version" value="([^"]*)"', client.get(f"{SITE}/text").text)[1]
    post(client, "text", text=good.replace("[place]", "[plce", 1), version=shown)
    assert "Undo: the file as it was before" in client.get(SITE).text
    assert post(client, "undo").headers["hx-redirect"] == SITE
    assert file.read_text(encoding="utf-8") == good


def test_a_file_that_is_no_text_is_kept_for_undo(client, file):
    file.write_bytes(b"\xff\xfe\x00 not text")
    page = client.get(SITE)
    assert page.status_code == 200 and "not a text file" in page.text
    shown = re.search(r'name="version" value="([^"]*)"', page.text)[1]
    assert post(client, "text", text="name = 'x'\n", version=shown).status_code == 204
    assert post(client, "undo").status_code in (200, 204)
    assert file.read_bytes() == b"\xff\xfe\x00 not text"


SERVER = """
import os, signal, sys, threading, uvicorn
from fastapi.testclient import TestClient
from eavewell.web.app import pages
# asked once, and refused, so that what answers is loaded before the servers are begun
asks = TestClient(pages(sys.argv[1], mark="ours"), base_url="http://127.0.0.1")
refused = asks.post(
    "/sites/barrels/change",
    data={"address": "datum", "value": "1", "was": "never"},
    headers={"x-eavewell-mark": "ours"},
)
assert refused.status_code == 409, refused.text
for one in threading.enumerate()[1:]:
    one.join(10)
assert threading.active_count() == 1, "threads before a fork"
signal.signal(signal.SIGCHLD, signal.SIG_IGN)
for line in sys.stdin:
    pid = os.fork()
    if not pid:
        uvicorn.run(pages(sys.argv[1], mark="ours"), port=int(line), log_level="error")
        os._exit(0)
    print(pid, flush=True)
"""


def test_nothing_acknowledged_is_lost_when_the_server_is_killed(file):
    """The file is whole at any moment and says at least what was acknowledged."""
    command = [sys.executable, "-c", SERVER, str(file.parents[1])]
    pipe = subprocess.PIPE
    said = 0
    with subprocess.Popen(command, stdin=pipe, stdout=pipe, text=True) as server:
        for moment in range(20):
            acknowledged, sent = _killed_while_changing(server, said, pause=0.02 + 0.007 * moment)
            now = raw(file).get("datum", "0")
            assert acknowledged <= int(now) <= sent
            states = sorted((file.parent / ".undo").glob("*.toml"))
            assert all(tomllib.loads(one.read_text(encoding="utf-8")) for one in states)
            said = int(now)
        server.stdin.close()
    assert said > 20


def _killed_while_changing(server, said, *, pause):
    """The last value acknowledged, and the last one sent, when the server was killed."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    print(port, file=server.stdin, flush=True)
    pid = int(server.stdout.readline())
    known = {"acknowledged": said, "sent": said}
    first = threading.Event()

    def change():
        with httpx.Client(base_url=f"http://127.0.0.1:{port}", headers=MARK) as client:
            while True:
                was = str(known["acknowledged"]) if known["acknowledged"] else ""
                told = {"address": "datum", "value": str(known["acknowledged"] + 1), "was": was}
                try:
                    known["sent"] = known["acknowledged"] + 1
                    answer = client.post(f"{SITE}/change", data=told)
                except httpx.ConnectError:
                    if first.is_set():
                        return
                    time.sleep(0.02)
                    continue
                except httpx.HTTPError:
                    return
                assert answer.status_code == 200, answer.text
                known["acknowledged"] += 1
                first.set()

    thread = threading.Thread(target=change)
    thread.start()
    assert first.wait(20)
    time.sleep(pause)
    os.kill(pid, signal.SIGKILL)
    thread.join(20)
    return known["acknowledged"], known["sent"]
