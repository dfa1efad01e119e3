"""Two that bring something in the same moment both keep it."""

import io
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from fastapi.testclient import TestClient
from PIL import Image


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
