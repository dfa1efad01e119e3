"""A site file that could not be read again is neither brought in nor written."""

from pathlib import Path

from fastapi.testclient import TestClient

LARGEST = 1_000_000


def brought(client: TestClient, data: bytes):
    files = {"file": ("their.toml", data)}
    return client.post("/sites/bring", data={"name": "brought"}, files=files)


def test_what_is_too_large_is_refused_whole_and_not_cut(client: TestClient, sites: Path) -> None:
    text = (sites / "barrels" / "site.toml").read_bytes()
    answer = brought(client, text + b"#" * LARGEST)
    assert answer.status_code == 422 and "too large" in answer.text
    assert not (sites / "brought").exists()


def test_what_is_not_utf_8_is_refused_and_no_letter_of_it_replaced(
    client: TestClient, sites: Path
) -> None:
    text = (sites / "barrels" / "site.toml").read_text()
    answer = brought(client, text.replace("potting", "pötting").encode("latin-1"))
    assert answer.status_code == 422 and "not a text file" in answer.text
    assert not (sites / "brought").exists()


def test_a_value_too_long_for_the_file_is_refused_in_place(client: TestClient, sites: Path) -> None:
    file = sites / "barrels" / "site.toml"
    before = file.read_text() + "#" * (LARGEST - len(file.read_bytes()) - 1)
    file.write_text(before)
    told = {"address": "datum", "value": "x" * 1000, "was": "the ground at the stand"}
    answer = client.post("/sites/barrels/change", data=told)
    assert answer.status_code == 422
    assert 'aria-invalid="true"' in answer.text and "too large" in answer.text
    assert file.read_text() == before


def test_what_is_brought_in_stays_letter_by_letter(client: TestClient, sites: Path) -> None:
    data = (sites / "barrels" / "site.toml").read_bytes().replace(b"\n", b"\r\n")
    assert brought(client, data).status_code == 204
    assert (sites / "brought" / "site.toml").read_bytes() == data
