"""Browser libraries come by a lockfile that pins each by its digest and names no address."""

import json
import subprocess
from pathlib import Path

ROOT = Path(__file__).parents[2]
LICENCES = {"htmx.org": "0BSD", "uplot": "MIT", "axe-core": "MPL-2.0"}


def locked() -> dict:
    text = (ROOT / "browser" / "package-lock.json").read_text()
    assert "://" not in text and '"resolved"' not in text
    found = json.loads(text)["packages"]
    return {path.rpartition("node_modules/")[2]: one for path, one in found.items() if path}


def test_every_library_is_pinned_and_of_a_known_licence():
    found = locked()
    assert {name: one["license"] for name, one in found.items()} == LICENCES
    assert all(one["integrity"].startswith("sha512-") for one in found.values())
    assert found["htmx.org"]["version"].startswith("2.")


def test_what_only_tests_use_stays_out_of_the_package():
    asked = json.loads((ROOT / "browser" / "package.json").read_text())
    assert list(asked["devDependencies"]) == ["axe-core"] and locked()["axe-core"]["dev"]
    assert all(version[0].isdigit() for version in asked["dependencies"].values())


def test_no_library_is_kept_in_the_source():
    try:
        command = ["git", "ls-files"]
        files = subprocess.check_output(command, cwd=ROOT, text=True, stderr=subprocess.DEVNULL)
    except (OSError, subprocess.CalledProcessError):
        return
    kept = files.split("\n")
    assert not [one for one in kept if "/built/" in one or "node_modules" in one or ".min." in one]
