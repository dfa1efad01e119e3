"""The papers' page shows and hands over exactly what the design's papers are."""

from io import BytesIO
from zipfile import ZipFile

from fastapi.testclient import TestClient
from PIL import Image


def test_the_zip_holds_every_paper_that_is_listed(client: TestClient) -> None:
    listed = client.get("/sites/barrels/papers.json").json()["papers"]
    bundle = client.get("/sites/barrels/papers.zip")
    with ZipFile(BytesIO(bundle.content)) as papers:
        assert papers.testzip() is None
        sizes = {one.filename: one.file_size for one in papers.infolist()}
    assert sizes == {one["file"]: one["bytes"] for one in listed}
    assert {"design-report.pdf", "field-sheet.pdf", "sheets/section.svg"} <= sizes.keys()
    again = client.get("/sites/barrels/papers.zip")
    assert again.content == bundle.content


def test_a_page_of_a_paper_is_a_picture_of_its_shape(client: TestClient) -> None:
    picture = client.get("/sites/barrels/papers/page/1/design-report.pdf")
    with Image.open(BytesIO(picture.content)) as page:
        wide, high = page.size
    # a letter sheet stands 11 in high and 8.5 in wide
    assert abs(high / wide - 11.0 / 8.5) < 0.01
    assert client.get("/sites/barrels/papers/page/999/design-report.pdf").status_code == 404


def test_nothing_but_the_papers_is_handed_over(client: TestClient) -> None:
    for way in ("../site.toml", "..%2Fsite.toml", "%2e%2e/site.toml", "no-such.pdf"):
        assert client.get(f"/sites/barrels/papers/file/{way}").status_code == 404


def test_a_site_that_is_not_whole_says_so(client: TestClient, sites) -> None:  # type: ignore[no-untyped-def]
    (sites / "barrels" / "site.toml").write_text('name = "nothing yet"\n', encoding="utf-8")
    assert "not whole" in client.get("/sites/barrels/papers").text
    assert client.get("/sites/barrels/papers.zip").status_code == 422


def test_a_paper_is_called_as_it_calls_itself(client: TestClient) -> None:
    shown = client.get("/sites/barrels/papers/set").text
    for title in ("Owner&#39;s manual", "When something is wrong", "Design report"):
        assert f"<figcaption><b>{title}</b>," in shown
