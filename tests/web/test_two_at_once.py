"""Two that bring something in the same moment both keep it; no site waits for another one."""

import io
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from PIL import Image

from eavewell.web import papers_page, weighings
from eavewell.web.app import pages
from eavewell.web.pages import Pages


def photograph(shade: int) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (800, 600), (shade, shade, shade)).save(out, "JPEG")
    return out.getvalue()


def test_photographs_of_one_item_are_all_kept(client: TestClient, sites: Path) -> None:
    way = "/sites/barrels/field-sheet/photographs"

    def bring(shade: int) -> int:
        files = {"files": ("seen.jpg", photograph(shade))}
        return client.post(way, data={"of": "roof-0-eave"}, files=files).status_code

    shades = [20, 60, 100, 140, 180, 220]
    with ThreadPoolExecutor(6) as at_once:
        assert set(at_once.map(bring, shades)) == {200}
    assert len(list((sites / "barrels" / "photos").glob("roof-0-eave*.jpg"))) == len(shades)


def test_a_site_is_not_copied_nor_binned_while_it_is_being_changed(sites: Path) -> None:
    at_hand: list[Pages] = []
    made = Pages.of
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Pages, "of", lambda *said: at_hand.append(made(*said)) or at_hand[0])
        app = pages(sites, mark="ours")
    client = TestClient(app, base_url="http://127.0.0.1", headers={"x-eavewell-mark": "ours"})
    with ThreadPoolExecutor(2) as at_once:
        with at_hand[0].desk.lock_of(at_hand[0].folders["barrels"]):
            asked = [
                at_once.submit(client.post, f"/sites/barrels/{way}") for way in ("copy", "bin")
            ]
            done = threading.Event()
            assert not done.wait(0.5)
            assert [one.name for one in sites.iterdir()] == ["barrels"]
        assert {one.result().status_code for one in asked} <= {204, 404}
    assert not (sites / "barrels").exists()


def test_what_was_changed_before_stays_with_the_site(client: TestClient, sites: Path) -> None:
    client.post("/sites/barrels/versions/keep", data={"version": "as bought"})
    file = sites / "barrels" / "site.toml"
    (sites / "barrels" / "versions" / "as bought.toml").write_text(
        file.read_text(encoding="utf-8").replace("count = 2 ", "count = 3 "), encoding="utf-8"
    )
    client.post("/sites/barrels/versions/take", data={"version": "as bought"})
    client.post("/sites/barrels/copy")
    assert (sites / "barrels" / ".undo").is_dir()
    assert (sites / "barrels 2" / "versions" / "as bought.toml").is_file()
    assert not (sites / "barrels 2" / ".undo").exists()


WAYS = {
    "papers.json": (papers_page, "_drawn"),
    "weighed.json": (weighings, "weigh"),
}


@pytest.mark.parametrize("way", WAYS)
def test_what_takes_long_at_one_site_keeps_no_other_waiting(
    client: TestClient, *, monkeypatch: pytest.MonkeyPatch, way: str
) -> None:
    module, does = WAYS[way]
    begun, both = getattr(module, does), threading.Barrier(2, timeout=120)

    def begun_together(*said: object, **more: object) -> object:
        both.wait()  # broken where the second one is kept out until the first is done
        return begun(*said, **more)

    client.post("/sites/barrels/copy")
    monkeypatch.setattr(module, does, begun_together)
    with ThreadPoolExecutor(2) as at_once:
        told = at_once.map(client.get, (f"/sites/barrels{row}/{way}" for row in ("", " 2")))
        assert [one.status_code for one in told] == [200, 200]
