"""The command line: what it writes, what it refuses, and with which exit code.

What rests on a process of its own is begun as one; the rest is called in this one.
"""

import json
import os
import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest
from tests.commanded import commanded as run

EXAMPLES = Path(__file__).parents[1] / "examples"
BARRELS = (EXAMPLES / "barrels" / "site.toml").read_text(encoding="utf-8")


def begun(*words: str, folder: Path, **extra: str) -> subprocess.CompletedProcess[str]:
    env = os.environ | {"COLUMNS": "88", "PYTHONIOENCODING": "utf-8"} | extra
    return subprocess.run(
        [sys.executable, "-m", "eavewell", *words],
        cwd=folder,
        env=env,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        stdin=subprocess.DEVNULL,
    )


def refused(done: subprocess.CompletedProcess[str], *words: str) -> None:
    assert done.returncode == 2, done.stderr
    assert "Traceback" not in done.stderr + done.stdout
    for word in words:
        assert word in done.stderr


def rained(days: int, depth: str = "12", every: int = 9) -> list[str]:
    start = date(2000, 1, 1)
    return [
        f"{start + timedelta(days=k)},{depth if k % every == 0 else '0'}\n" for k in range(days)
    ]


def on_record(folder: Path, lines: list[str]) -> None:
    (folder / "rain.csv").write_text("date,rain_mm\n" + "".join(lines), encoding="utf-8")
    site = BARRELS.replace('climate = "dry-uplands"', 'record = "rain.csv"')
    assert site != BARRELS
    (folder / "site.toml").write_text(site, encoding="utf-8")


def test_from_a_starter_to_report_and_json(tmp_path):
    done = begun("new", "shed", "--like", "barrels", folder=tmp_path)
    assert done.returncode == 0, done.stderr
    done = begun("design", "shed", "--out", "out", "--json", "answer.json", folder=tmp_path)
    assert done.returncode == 0, done.stderr
    answer = json.loads((tmp_path / "answer.json").read_text(encoding="utf-8"))
    assert answer == json.loads((tmp_path / "out" / "design.json").read_text(encoding="utf-8"))
    assert answer["site"] == "shed"
    report = (tmp_path / "out" / "report.txt").read_text(encoding="utf-8")
    assert report.strip().startswith("shed")
    assert "INVENTED CLIMATE" in report
    assert "INVENTED CLIMATE" in done.stdout
    assert max(len(line) for line in done.stdout.splitlines()) <= 88


def test_json_to_the_screen_is_json_alone(tmp_path):
    done = begun("design", str(EXAMPLES / "part-year"), "--json", "-", folder=tmp_path)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["schema"] == "eavewell-design/1"


def test_a_starter_overwrites_nothing(tmp_path):
    begun("new", "shed", folder=tmp_path)
    file = tmp_path / "shed" / "site.toml"
    file.write_text("mine", encoding="utf-8")
    refused(begun("new", "shed", folder=tmp_path), "shed")
    assert file.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("", None, ["empty"]),
        ("plan = ", "pln = ", ["pln", "plan"]),
        ('overflow_to = "', 'overflow_to = "barrels" # "', ["circle", "barrels"]),
        ('draws_from = ["barrels"]', 'draws_from = ["barels"]', ["barels", "did you mean"]),
        ("latitude = 30.9", "latitude = 200", ["latitude", "200"]),
        ('each = "', 'dead = "900 gal"\neach = "', ["dead storage"]),
        ("count = 2", "count = -2", ["count"]),
    ],
)
def test_a_faulty_site_is_refused_with_its_line(tmp_path, old, new, words):
    text = "" if new is None else BARRELS.replace(old, new, 1)
    assert text != BARRELS
    (tmp_path / "site.toml").write_text(text, encoding="utf-8")
    done = run("design", "site.toml", "--out", "out", folder=tmp_path)
    refused(done, "site.toml", *words)
    assert not (tmp_path / "out").exists()


def test_a_binary_site_is_refused(tmp_path):
    (tmp_path / "site.toml").write_bytes(bytes(range(256)) * 9)
    refused(run("design", "site.toml", folder=tmp_path), "site.toml", "text")


def test_a_site_without_a_roof_is_refused(tmp_path):
    at = BARRELS.index("[[roof]]")
    text = BARRELS[:at] + BARRELS[BARRELS.index("[[tank]]", at) :]
    (tmp_path / "site.toml").write_text(text, encoding="utf-8")
    refused(run("design", "site.toml", folder=tmp_path), "oof is missing")


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        (rained(3), ["3 days", "whole year"]),
        (rained(900, depth="0"), ["No rain"]),
        (["hello\n", "there\n"], []),
    ],
)
def test_a_hopeless_record_is_refused(tmp_path, lines, words):
    on_record(tmp_path, lines)
    refused(run("design", ".", folder=tmp_path), *words)


def test_days_out_of_order_or_doubled_are_said(tmp_path):
    lines = rained(1500)
    lines[10], lines[50] = lines[50], lines[10]
    lines.insert(101, lines[100].replace(",0", ",7"))
    on_record(tmp_path, lines)
    done = run("design", ".", folder=tmp_path)
    assert done.returncode == 0, done.stderr
    words = " ".join(done.stdout.split())
    assert "out of order" in words
    assert "Twice with different readings: 1 day (first " in words


def test_inches_called_millimetres_are_noticed(tmp_path):
    # 0.4 every ninth day is 16 in a year: in mm a desert, in inches an ordinary place.
    on_record(tmp_path, rained(1500, depth="0.4"))
    done = run("design", ".", "--out", "out", folder=tmp_path)
    assert done.returncode == 2, done.stderr
    words = " ".join(done.stderr.split())
    assert "inches read as mm" in words
    assert 'unit = "in" or unit = "mm" under [rain]' in words
    assert not (tmp_path / "out").exists()
    site = (tmp_path / "site.toml").read_text(encoding="utf-8")
    stated = site.replace('record = "rain.csv"', 'record = "rain.csv"\nunit = "mm"', 1)
    (tmp_path / "site.toml").write_text(stated, encoding="utf-8")
    done = run("design", ".", folder=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "inches read as mm" in " ".join(done.stdout.split())


def test_a_record_that_is_not_there_names_the_way(tmp_path):
    on_record(tmp_path, rained(400))
    (tmp_path / "rain.csv").unlink()
    refused(run("design", ".", folder=tmp_path), "rain.csv", "eavewell rain station")


def test_rain_is_looked_at_and_written(tmp_path):
    on_record(tmp_path, rained(1500))
    look = run("rain", "look", "rain.csv", folder=tmp_path)
    assert look.returncode == 0, look.stderr
    # Nine tenths of the days are dry: 8 days between two rains.
    assert "Longest run without rain: 8 days" in " ".join(look.stdout.split())
    assert run("rain", "write", "rain.csv", "mine.csv", folder=tmp_path).returncode == 0
    again = run("rain", "look", "mine.csv", folder=tmp_path)
    # All but the name of the record is the same when it is read back.
    assert look.stdout.replace("rain", "mine") == again.stdout.replace("rain", "mine")
    refused(run("rain", "write", "rain.csv", "mine.csv", folder=tmp_path), "mine.csv")


def test_an_invented_climate_says_so_in_its_file_name(tmp_path):
    done = run("rain", "climate", "dry-uplands", "hills.csv", "--years", "3", folder=tmp_path)
    assert done.returncode == 0, done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["hills-invented.csv"]


@pytest.mark.parametrize(
    "words",
    [
        ["rain", "near", "200", "5"],
        ["rain", "station", "not a station"],
        ["rain", "look", "nowhere.csv"],
        ["rain", "climate", "moon", "out.csv"],
        ["design", "nowhere"],
        ["design", str(EXAMPLES / "barrels"), "--show", "furlong"],
        ["design", str(EXAMPLES / "barrels"), "--nope"],
        ["new", "../up"],
    ],
)
def test_bad_requests_are_refused_in_a_sentence(tmp_path, words):
    done = run(*words, folder=tmp_path)
    refused(done)
    assert done.stderr.strip()
    assert list(tmp_path.iterdir()) == []


def test_the_schema_is_printed(tmp_path):
    layout = json.loads(run("schema", folder=tmp_path).stdout)
    assert layout["properties"]["storage"]["properties"]["supplied_share"]["unit"] == "share"


def test_a_fault_of_ours_is_said_without_a_traceback(tmp_path):
    code = (
        "import eavewell.cli as c; c._designed = lambda *given: 1 / 0; import sys;"
        f"sys.argv = ['eavewell', 'design', {str(EXAMPLES / 'barrels')!r}]; c.main()"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "fault of ours" in done.stderr
    assert "Traceback" not in done.stderr


def test_western_longitudes_are_read_as_written(tmp_path):
    done = run("rain", "near", "200", "-95.36", folder=tmp_path)
    refused(done, "latitude 200", "longitude -95.36")


def test_a_terminal_that_lacks_a_letter_still_gets_its_report(tmp_path):
    text = BARRELS.replace('name = "Quailwater potting shed"', 'name = "Regenhütte"')
    assert text != BARRELS
    (tmp_path / "site.toml").write_text(text, encoding="utf-8")
    done = begun("design", ".", folder=tmp_path, PYTHONIOENCODING="ascii")
    assert done.returncode == 0, done.stderr
    assert done.stdout.isascii()
    assert "Regenh?tte" in done.stdout


@pytest.mark.parametrize("columns", ["40", "300"])
def test_a_printed_page_is_plain_and_between_72_and_100_columns(tmp_path, columns):
    place = str(EXAMPLES / "part-year")
    done = run("design", place, folder=tmp_path, COLUMNS=columns, NO_COLOR="1")
    assert "\x1b" not in done.stdout + done.stderr
    assert not [line for line in done.stdout.splitlines() if line != line.rstrip()]
    width = max(len(line) for line in done.stdout.splitlines())
    assert width == max(72, min(100, int(columns)))


def test_a_refused_design_leaves_what_was_written_before(tmp_path):
    (tmp_path / "site.toml").write_text(BARRELS, encoding="utf-8")
    assert run("design", ".", "--out", "out", "--quiet", folder=tmp_path).returncode == 0
    before = {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}
    assert set(before) == {"design.json", "report.txt"}
    (tmp_path / "site.toml").write_text(BARRELS.replace("[[tank]]", "[[tnk]]"), encoding="utf-8")
    refused(run("design", ".", "--out", "out", folder=tmp_path), "tnk")
    assert {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()} == before


def test_a_folder_is_no_file_to_write(tmp_path):
    done = run("design", str(EXAMPLES / "barrels"), "--json", ".", folder=tmp_path)
    refused(done, "name a file")
    assert list(tmp_path.iterdir()) == []


def test_each_fault_has_a_line_of_its_own(tmp_path):
    text = BARRELS.replace("latitude = 30.9", "latitude = 200").replace("count = 2", "count = -2")
    (tmp_path / "site.toml").write_text(text, encoding="utf-8")
    done = run("design", ".", folder=tmp_path)
    refused(done)
    assert [line.split(":")[0] for line in done.stderr.splitlines()] == ["site.toml"] * 2
    lines = [int(line.split(":")[1]) for line in done.stderr.splitlines()]
    faulty = [n for n, line in enumerate(text.splitlines(), 1) if "= 200" in line or "= -2" in line]
    assert lines == faulty


def test_a_reader_that_leaves_early_is_no_fault(tmp_path):
    code = (
        "import subprocess, sys;"
        "page = subprocess.Popen([sys.executable, '-m', 'eavewell', 'schema'],"
        " stdout=subprocess.PIPE, stderr=subprocess.PIPE);"
        "page.stdout.readline(); page.stdout.close();"
        "print(page.stderr.read().decode()); page.stderr.close(); page.wait()"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.stdout.strip() == ""


def test_help_loads_neither_the_engine_nor_the_page():
    code = (
        "import sys; sys.argv = ['eavewell', '--help']\n"
        "from eavewell.cli import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print(*sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "Usage" in done.stdout
    loaded = set(done.stdout.split())
    assert not loaded & {"numpy", "numba", "polars", "scipy", "tomlkit", "rich"}
    assert not {name for name in loaded if name.startswith(("eavewell.storage", "eavewell.files"))}
