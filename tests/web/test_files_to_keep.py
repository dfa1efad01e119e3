"""Files to take away go under the name of their site, whatever its letters."""

import shutil
from pathlib import Path
from urllib.parse import quote

from fastapi.testclient import TestClient


def test_a_field_sheet_is_called_after_its_site(client: TestClient, sites: Path) -> None:
    name = 'Höhe "5"\n家'
    shutil.copytree(sites / "barrels", sites / name)
    answer = client.get(f"/sites/{quote(name, '')}/field-sheet.html")
    assert answer.headers["content-disposition"] == (
        'attachment; filename="H_he _5___ field sheet.html"; '
        "filename*=UTF-8''H%C3%B6he%20%225%22%0A%E5%AE%B6%20field%20sheet.html"
    )
