"""A server over a copy of the examples, and a browser in which any complaint fails the test."""

import os
import shutil
import socket
import threading
import time
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import sync_playwright

from eavewell.web.app import pages

EXAMPLES = Path(__file__).parents[2] / "examples"
CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")


@pytest.fixture(scope="session")
def browser():
    if not Path(CHROMIUM).exists():
        pytest.skip(f"there is no browser at {CHROMIUM}")
    with sync_playwright() as drive:
        opened = drive.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield opened
        opened.close()


@pytest.fixture
def folder(tmp_path):
    """A folder of sites: every example."""
    shutil.copytree(EXAMPLES, tmp_path / "sites")
    return tmp_path / "sites"


@pytest.fixture
def address(folder):
    """Where the pages of the folder are served."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = uvicorn.Server(uvicorn.Config(pages(folder), port=port, log_level="error"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join(10)


@pytest.fixture
def window(browser):
    """Opens windows of the browser; whatever one complains of fails the test at its end.

    A refusal, 409 or 422, is an answer of ours, which the browser reports as well.
    """
    complaints, opened = [], []

    def new(*, width=1400, height=1000):
        page = browser.new_page(viewport={"width": width, "height": height})
        page.on("console", lambda said: _heard(said.text, complaints))
        page.on("pageerror", lambda said: complaints.append(str(said)))
        page.on("requestfailed", lambda asked: _failed(asked, complaints))
        opened.append(page)
        return page

    yield new
    for page in opened:
        page.close()
    assert complaints == []


def _heard(text, complaints):
    if "status of 409" not in text and "status of 422" not in text:
        complaints.append(text)


def _failed(asked, complaints):
    if "ERR_ABORTED" not in (asked.failure or ""):
        complaints.append(f"{asked.url}: {asked.failure}")
