"""The size laws are measured as they are written: each law broken once, each edge just kept."""

import importlib.util
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parents[1] / "scripts" / "check_sizes.py"


@pytest.fixture(scope="module")
def sizes():
    spec = importlib.util.spec_from_file_location("check_sizes", SCRIPT)
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def breaches(sizes, tmp_path):
    def found(text, name="roof.py"):
        root = tmp_path / "src"
        file = root / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
        return [says.removeprefix(f"{root}/") for says in sizes.measure(root).breaches]

    return found


def body(lines, head="def fill():"):
    return f"{head}\n" + "    x = 1\n" * lines


SHORT = "".join(f"def f{i}():\n    pass\n" for i in range(9))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (SHORT + body(51), "roof.py:19 fill has a body of 51 lines"),
        ("x = 1\n" * 401, "roof.py:401 file of 401 lines"),
        ("def f(a, b, *, c, d, e, g, h): ...", "roof.py:1 f has 7 arguments"),
        ("def f(a, b, c): ...", "roof.py:1 f has 3 positional arguments"),
        ("def f(a, b, *rest, c, d, e, **more): ...", "roof.py:1 f has 7 arguments"),
        ("class A:\n    def f(self, a, b, c): ...", "roof.py:2 f has 3 positional"),
        ("class A:\n    @staticmethod\n    def f(a, b, c): ...", "roof.py:3 f has 3 positional"),
        ("class A:\n    def __init__(self, a, b, c): ...", "roof.py:2 __init__ has 3 positional"),
        ("class A:\n" + "    def f(self): ...\n" * 16, "roof.py:1 class A has 16 methods"),
        ("@app.command()\ndef f(a, b, c): ...", "roof.py:2 f has 3 positional"),
        ("def outer():\n    def f(a, b, c): ...", "roof.py:2 f has 3 positional"),
    ],
)
def test_a_broken_law_is_named_with_its_line(breaches, text, says):
    assert any(found.startswith(says) for found in breaches(text))


@pytest.mark.parametrize(
    "text",
    [
        SHORT + body(50),
        SHORT + body(50, 'def fill():\n    """One.\n\n    Two.\n    """'),
        "x = 1\n" * 150,
        "def f(a, b, *, c, d, e, g): ...",
        "class A:\n    def f(self, a, b, *, c, d, e, g): ...",
        "class A:\n    def __exit__(self, kind, error, trace): ...",
        "class A:\n" + "    def f(self): ...\n" * 15,
        "",
    ],
)
def test_what_just_keeps_the_laws_passes(breaches, text):
    assert breaches(text) == []


def test_a_command_takes_as_many_options_as_it_offers(breaches):
    assert breaches("@app.command()\ndef f(a, b, c, d, e, g, h): ...", "cli.py") == []
    assert breaches("def f(a, b, c, d, e, g, h): ...", "cli.py")


def test_a_compiled_step_may_take_its_six_by_place(breaches):
    step = "@numba.njit(inline='always')\ndef f(a, b, c, d, e, g{}): ..."
    assert breaches(step.format("")) == []
    assert breaches(step.format(", h")) == ["roof.py:2 f has 7 arguments, over 6"]


def test_no_name_without_meaning(breaches):
    assert breaches("", "helpers.py") == [
        "helpers.py:1 the name 'helpers' says nothing of the trade"
    ]
    assert len(breaches("", "core/roof.py")) == 2


def test_few_long_bodies_and_short_median(breaches, sizes):
    six = SHORT.replace("f0", "g0") + body(26) + body(26)
    assert breaches(six)[0].endswith("81.8% of bodies are short, below 85%")
    assert breaches("x = 1\n" * 151) == []
    for name in "abcd":
        found = breaches("x = 1\n" * 151, f"{name}.py")
    assert found == [f"{found[0].split(':')[0]}: median file 151 lines, over 150"]


def test_exit_status_and_figures(sizes, tmp_path, capsys):
    (tmp_path / "roof.py").write_text("def f(a):\n    return a\n", encoding="utf-8")
    assert sizes.main([str(tmp_path)]) == 0
    assert "1 files, median 2 lines, longest 2; 1 bodies, 100.0%" in capsys.readouterr().out
    (tmp_path / "tank.py").write_text("def f(a, b, c): ...\n", encoding="utf-8")
    assert sizes.main([str(tmp_path)]) == 1
    assert "tank.py:1 f has 3 positional" in capsys.readouterr().out
