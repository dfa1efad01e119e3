"""A server over a copy of the examples, and a browser in which any complaint fails the test.

All servers share what they remember of stages, so that a site is worked out once.
"""

import os
import shutil
import socket
import threading
import time
from pathlib import Path
from urllib.parse import urlsplit

import pytest
import uvicorn
from playwright.sync_api import expect, sync_playwright

from eavewell.web import desk
from eavewell.web.app import pages
from eavewell.web.recall import Recall

EXAMPLES = Path(__file__).parents[2] / "examples"
CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
LOOPBACK = "127.0.0.1"
# no name is looked up but this computer's own
CUT_OFF = f"--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE {LOOPBACK}"
LONGEST_MS = 20_000
REMEMBERED = Recall()
expect.set_options(timeout=LONGEST_MS)


def unproven(says):
    """Where a program is missing: failed where proof is asked, left out elsewhere."""
    if os.environ.get("CI"):
        pytest.fail(says)
    pytest.skip(says)


@pytest.fixture(autouse=True)
def _remembered(monkeypatch):
    monkeypatch.setattr(desk, "Recall", lambda: REMEMBERED)


@pytest.fixture(scope="module")
def browser():
    """One for each module: while it is open, no other test could run an event loop."""
    if not Path(CHROMIUM).exists():
        unproven(f"there is no browser at {CHROMIUM}")
    with sync_playwright() as drive:
        opened = drive.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", CUT_OFF])
        yield opened
        opened.close()


@pytest.fixture
def folder(tmp_path):
    """A folder of sites: every example."""
    shutil.copytree(EXAMPLES, tmp_path / "sites")
    return tmp_path / "sites"


class Served:
    """The pages of a folder on a port of their own; they can be stopped and begun again."""

    def __init__(self, folder):
        self.folder = folder
        with socket.socket() as free:
            free.bind((LOOPBACK, 0))
            self.port = free.getsockname()[1]
        self.address = f"http://{LOOPBACK}:{self.port}"

    def begin(self):
        made = uvicorn.Config(pages(self.folder), port=self.port, log_level="error")
        self.server = uvicorn.Server(made)
        self.thread = threading.Thread(target=self.server.run, daemon=True)
        self.thread.start()
        while not self.server.started:
            assert self.thread.is_alive()
            time.sleep(0.02)

    def stop(self):
        self.server.should_exit = True
        self.thread.join(10)


@pytest.fixture
def served(folder):
    """The server of the folder, for what happens when it stops."""
    running = Served(folder)
    running.begin()
    yield running
    running.stop()


@pytest.fixture
def address(served):
    """Where the pages of the folder are served."""
    return served.address


@pytest.fixture
def window(browser):
    """Opens windows of the browser; whatever one complains of fails the test at its end.

    A refusal, 409 or 422, is an answer of ours, which the browser reports as well. So is every
    request for anything but this computer. Keywords are those of a window of playwright's;
    forgiven : words of complaints that the test itself brings about.
    """
    complaints, opened = [], []

    def new(*, width=1400, height=1000, forgiven=(), **kinds):
        page = browser.new_page(viewport={"width": width, "height": height}, **kinds)
        expected = ("status of 409", "status of 422", *forgiven)
        page.set_default_timeout(LONGEST_MS)
        page.on("console", lambda said: _heard(said.text, complaints, expected=expected))
        page.on("pageerror", lambda said: _heard(str(said), complaints, expected=expected))
        page.on("requestfailed", lambda asked: _failed(asked, complaints, expected=expected))
        page.on("request", lambda asked: _asked(asked.url, complaints))
        opened.append(page)
        return page

    yield new
    for page in opened:
        page.close()
    assert complaints == []


def _heard(text, complaints, *, expected):
    if not any(one in text for one in expected):
        complaints.append(text)


def _failed(asked, complaints, *, expected):
    says = f"{asked.url}: {asked.failure}"
    if "ERR_ABORTED" not in says:
        _heard(says, complaints, expected=expected)


def _asked(url, complaints):
    if urlsplit(url).scheme in ("http", "https") and urlsplit(url).hostname != LOOPBACK:
        complaints.append(f"asked of the network: {url}")
