"""The first page: small, soon there, and without the engine's weight."""

import re
import socket
import subprocess
import sys
import threading
import time
from pathlib import Path
from urllib.request import urlopen

import uvicorn
from fastapi.testclient import TestClient

from eavewell.web import impatient, serving
from eavewell.web.app import pages

MOST_BYTES = 300_000
HEAVY = ("numba", "polars", "matplotlib", "typst", "scipy", "ezdxf", "pypdfium2", "xlsxwriter")
ASKED = {"accept-encoding": "gzip"}


def sent(client: TestClient, address: str) -> int:
    """Bytes of one answer as they go over the line."""
    with client.stream("GET", address, headers=ASKED) as answer:
        assert answer.status_code == 200, address
        return sum(len(piece) for piece in answer.iter_raw())


def test_the_first_page_with_all_it_needs_is_small(client: TestClient):
    page, style = client.get("/").text, client.get("/things/page.css").text
    needed = re.findall(r'(?:href|src)="(/things/[^"]+)"', page)
    letters = [f"/things/{one}" for one in re.findall(r"(letters/[a-z-]+\.woff)", style)]
    assert len(needed) >= 3 and letters
    assert sum(sent(client, one) for one in ("/", *needed, *letters)) < MOST_BYTES


def test_text_goes_over_the_line_packed(client: TestClient):
    answer = client.get("/things/htmx.min.js", headers=ASKED)
    assert answer.headers["content-encoding"] == "gzip"


def test_the_register_needs_nothing_heavy(sites: Path):
    asks = f"""
import sys
from fastapi.testclient import TestClient
from eavewell.web.app import pages
page = TestClient(pages({str(sites)!r}, mark="ours"), base_url="http://127.0.0.1").get("/")
assert page.status_code == 200 and "working out" in page.text
print([one for one in {HEAVY!r} if one in sys.modules])
"""
    told = subprocess.run([sys.executable, "-c", asks], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"


def test_the_first_page_loads_neither_the_log_nor_the_papers(sites: Path):
    asks = """
import sys
from fastapi.testclient import TestClient
from eavewell.web.app import pages
asked = TestClient(pages(sys.argv[1]), base_url="http://127.0.0.1")
assert asked.get("/").status_code == asked.get("/things/page.css").status_code == 200
others = ("sqlalchemy", "eavewell.logbook.store.store", "eavewell.papers", "eavewell.drawings")
print([one for one in others if one in sys.modules])
assert asked.get("/data").status_code == 200
print([one for one in others if one in sys.modules])
"""
    run = [sys.executable, "-c", asks, str(sites)]
    first, later = subprocess.run(
        run, capture_output=True, text=True, check=True
    ).stdout.splitlines()
    assert first == "[]"
    assert "sqlalchemy" in later and "eavewell.papers" in later


def test_a_line_comes_when_worked_out_and_is_then_known(client: TestClient):
    assert "working out" in client.get("/").text
    line = client.get("/sites/barrels/line").text
    assert line.lstrip().startswith("<tr>") and "days" in line
    assert "working out" not in client.get("/").text


def test_opened_and_stopped_by_the_keyboard(sites: Path):
    command = [sys.executable, "-m", "eavewell", "open", str(sites), "--no-browser"]
    run = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        says = run.stdout.readline()
        (address,) = re.findall(r"http://127\.0\.0\.1:\d+/", says)
        with urlopen(address, timeout=20) as page:
            assert b"Register of sites" in page.read()
        run.send_signal(2)
        out, err = run.communicate(timeout=20)
    finally:
        run.kill()
    assert run.returncode == 0 and err == "" and out.strip() == "Stopped."


def test_a_line_on_which_nobody_asks_is_given_up(sites: Path, monkeypatch):
    monkeypatch.setattr(impatient, "LONGEST_S", 0.2)
    door = serving.listening("127.0.0.1", None)
    settings = uvicorn.Config(
        pages(sites, mark="ours"), http=impatient.Impatient, log_level="error"
    )
    server = uvicorn.Server(settings)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [door]}, daemon=True)
    thread.start()
    try:
        with socket.create_connection(door.getsockname(), timeout=20) as line:
            line.sendall(b"GET / HTTP/1.1\r\nHost: 127")
            assert line.recv(100) == b""
    finally:
        server.should_exit = True
        thread.join(20)
        door.close()


def test_an_address_that_cannot_be_opened_is_a_sentence(tmp_path: Path):
    command = [sys.executable, "-m", "eavewell", "open", str(tmp_path / "none")]
    run = subprocess.run(command, capture_output=True, text=True, check=False)
    assert run.returncode == 2 and run.stderr.startswith("There is no folder")


def test_the_help_needs_neither_pages_nor_engine():
    begun = time.perf_counter()
    asks = "import sys; import eavewell.cli; print([m for m in sys.modules if 'fastapi' in m])"
    told = subprocess.run([sys.executable, "-c", asks], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]" and time.perf_counter() - begun < 20


def test_sites_of_one_name_are_told_apart(client: TestClient, sites: Path) -> None:
    client.post("/sites/barrels/copy")
    page = client.get("/").text
    assert page.count(">Quailwater potting shed</a>") == 2
    assert '<span class="meaning">barrels</span>' in page
    assert '<span class="meaning">barrels 2</span>' in page


def test_one_thing_to_mend_is_one(client: TestClient, sites: Path) -> None:
    (sites / "barrels" / "site.toml").write_text("name = [", encoding="utf-8")
    assert "1 thing to mend in its file" in client.get("/sites/barrels/line").text
