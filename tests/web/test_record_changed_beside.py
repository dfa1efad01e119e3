"""A record that another one takes the place of: papers and choices follow, as the page does."""

from datetime import date, timedelta
from pathlib import Path

from fastapi.testclient import TestClient

FIRST = date(2000, 1, 1)


def every_week(mm: float) -> str:
    days = (f"{FIRST + timedelta(at)},{mm if at % 7 == 0 else 0}" for at in range(3653))
    return "\n".join(("date,rain_mm", *days, ""))


def test_papers_and_choices_follow_the_record(client: TestClient, sites: Path) -> None:
    file, record = sites / "barrels" / "site.toml", sites / "barrels" / "week.csv"
    text = file.read_text()
    assert 'climate = "dry-uplands"' in text
    file.write_text(text.replace('climate = "dry-uplands"', 'record = "week.csv"\nunit = "mm"'))
    seen = []
    for mm in (10.0, 2.0):
        record.write_text(every_week(mm))
        papers = client.get("/sites/barrels/papers/file/design-report.pdf")
        choices = client.get("/sites/barrels/weighed.json")
        assert papers.status_code == choices.status_code == 200
        seen.append((papers.content, choices.json()["present"]))
    assert seen[0][0] != seen[1][0] and seen[0][1] != seen[1][1]
