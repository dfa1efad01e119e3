"""Water runs downhill, and so do imports: a stage may import only itself and those above it."""

import ast
import graphlib
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import eavewell

HOME = Path(eavewell.__file__).parent
ORDER = re.findall(
    r"\w+",
    """faults units tables site weather files demand catchment storage hydraulics structure
    stormwater treatment rules cost design findings answers weigh report drawings papers logbook
    district web terminal cli __main__""",
)
HEAVY = {"numba", "numpy", "polars", "scipy", "matplotlib", "pandas", "sqlalchemy", "aiomqtt"}


def modules(home: Path) -> dict[str, Path]:
    """Every module of the package by its dotted name."""
    named = {}
    for file in sorted(home.rglob("*.py")):
        parts = ("eavewell", *file.relative_to(home).with_suffix("").parts)
        named[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = file
    return named


def imports(file: Path) -> Iterator[tuple[int, ast.Import | ast.ImportFrom]]:
    """Every import at any depth, inside functions too."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import | ast.ImportFrom):
            yield node.lineno, node


def stage(module: str) -> int:
    """Place in the order; the package's own __init__ stands below all."""
    parts = module.split(".")
    return ORDER.index(parts[1]) if len(parts) > 1 else len(ORDER)


def breaches(home: Path) -> list[str]:
    """Every import that runs uphill or is written in another form than the one allowed."""
    found = []
    for name, file in modules(home).items():
        if name != "eavewell" and name.split(".")[1] not in ORDER:
            found.append(f"{name}: not a stage of the house")
            continue
        found += [
            f"{name}:{line} {says}" for line, node in imports(file) if (says := fault(name, node))
        ]
    return found


def fault(name: str, node: ast.Import | ast.ImportFrom) -> str:
    """What is wrong with one import; "" where nothing is."""
    if isinstance(node, ast.Import):
        own = [alias.name for alias in node.names if alias.name.split(".")[0] == "eavewell"]
        return f"import {own[0]}; write from ... import" if own else ""
    if node.level:
        return "relative import"
    source = node.module or ""
    if source.split(".")[0] != "eavewell":
        return ""
    if source == "eavewell":
        return "import from the package itself"
    if source.split(".")[1] not in ORDER:
        return f"{source} is not a stage of the house"
    return f"imports {source}, which stands below it" if stage(source) > stage(name) else ""


def links(home: Path) -> dict[str, set[str]]:
    """Which module imports which."""
    named = modules(home)
    return {name: set(_sources(file, named)) - {name} for name, file in named.items()}


def _sources(file: Path, named: dict[str, Path]) -> Iterator[str]:
    for _, node in imports(file):
        if isinstance(node, ast.ImportFrom) and node.module in named:
            inner = {f"{node.module}.{alias.name}" for alias in node.names} & set(named)
            yield from inner or {node.module}


def cycle(home: Path) -> list[str]:
    """One ring of modules that import each other; [] where there is none."""
    try:
        graphlib.TopologicalSorter(links(home)).prepare()
    except graphlib.CycleError as error:
        return error.args[1]
    return []


def test_every_import_runs_downhill():
    assert breaches(HOME) == []


def test_no_ring_of_imports():
    assert cycle(HOME) == []


def planted(home: Path, files: dict[str, str]) -> Path:
    for name, text in files.items():
        file = home / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
    return home


def test_a_planted_breach_is_found(tmp_path):
    files = {
        "site/roof.py": "from eavewell.storage.kernel import x\n",
        "site/tank.py": "def f():\n    from eavewell.cost import x\n",
        "units.py": "import eavewell.faults\n",
        "weather/days.py": "from .gaps import x\n",
        "demand/people.py": "from eavewell import x\n",
        "misc.py": "x = 1\n",
        "cli.py": "from eavewell.misc import x\n",
        "design.py": "import numpy\nfrom eavewell.site.roof import x\n",
    }
    found = breaches(planted(tmp_path, files))
    assert {says.split()[0].split(":")[0] for says in found} == {
        "eavewell.site.roof",
        "eavewell.site.tank",
        "eavewell.units",
        "eavewell.weather.days",
        "eavewell.demand.people",
        "eavewell.misc",
        "eavewell.cli",
    }
    assert "eavewell.site.tank:2 imports eavewell.cost, which stands below it" in found


def test_a_planted_ring_is_found(tmp_path):
    files = {
        "site/roof.py": "from eavewell.site.tank import x\n",
        "site/tank.py": "def f():\n    from eavewell.site.roof import x\n",
    }
    assert set(cycle(planted(tmp_path, files))) == {"eavewell.site.roof", "eavewell.site.tank"}


def loaded_by(statement: str) -> set[str]:
    asked = f"{statement}; import sys; print(*sys.modules)"
    run = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    return set(run.stdout.split())


def test_what_is_loaded_is_seen():
    assert "numpy" in loaded_by("import numpy")


if (HOME / "cli.py").exists():

    def test_the_command_line_loads_nothing_heavy():
        assert sorted(loaded_by("import eavewell.cli") & HEAVY) == []
