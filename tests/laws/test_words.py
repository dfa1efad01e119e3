"""What is published speaks of the project alone, and its public names are in order."""

import os
import re
import subprocess
from pathlib import Path
from subprocess import DEVNULL

import eavewell

ROOT = Path(__file__).parents[2]
# Put together here so that this file does not hold what it looks for.
FORBIDDEN = {
    "a path of one machine": r"(?<![\w.])/(?:"
    + "|".join(["wo" + "rk", "fa" + "rm", "ro" + "ot"])
    + r")/",
    "a person's folder": r"/(?:ho" + r"me|Us" + r"ers)/[a-z]",
    "a temporary folder": r"(?<![\w.}])/t" + r"mp\b",
    "a registry's address": "python" + r"hosted|registry\.npm" + "js",
}
GENERATED = {".git", ".venv", "out", "build", "dist", "node_modules"}


def published() -> list[Path]:
    """Files tracked by git; every file outside generated folders where there is no git."""
    try:
        listed = subprocess.check_output(
            ["git", "ls-files", "-z"], cwd=ROOT, stderr=DEVNULL
        ).decode()
    except (OSError, subprocess.CalledProcessError):
        return [Path(folder, name) for folder, names in walk() for name in names]
    return [file for name in listed.split("\0") if name and (file := ROOT / name).is_file()]


def walk():
    for folder, inner, names in os.walk(ROOT):
        inner[:] = [name for name in inner if name not in GENERATED and "cache" not in name]
        yield folder, names


def forbidden(text: str) -> list[str]:
    return [what for what, pattern in FORBIDDEN.items() if re.search(pattern, text, re.IGNORECASE)]


def test_no_machine_and_no_registry_is_named():
    found = {}
    for file in published():
        if says := forbidden(file.read_text(encoding="utf-8", errors="ignore")):
            found[str(file.relative_to(ROOT))] = says
    assert found == {}


def test_the_words_are_seen():
    machine, registry = "/wo" + "rk/a.csv", "files.python" + "hosted.org"
    assert forbidden(f"see {machine} at {registry}") == [
        "a path of one machine",
        "a registry's address",
    ]
    assert forbidden("frame" + "wo" + "rk/a.csv, roof/ro" + "ot/b") == []


def order(name: str) -> tuple[bool, bool, str]:
    """Constants, then classes, then functions, each by name: as ruff sorts an export list."""
    return not name.isupper(), not name[0].isupper(), name


def test_public_names_are_sorted_and_there():
    names = list(eavewell.__all__)
    assert names == sorted(set(names), key=order)
    assert [name for name in names if not hasattr(eavewell, name)] == []
