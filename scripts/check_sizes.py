"""The size laws of the house, measured: short bodies, few arguments, short files, plain names.

Run as `python scripts/check_sizes.py [ROOT ...]`; exit status 1 where a law is broken.
"""

import ast
import statistics
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

ROOTS = ("src", "scripts", "benchmarks", "tests")
FORBIDDEN = {"utils", "core", "common", "helpers", "models", "services", "manager"}
BODY_LINES, SHORT_BODY_LINES, SHORT_SHARE = 50, 25, 0.85
ARGUMENTS, POSITIONAL = 6, 2
FILE_LINES, MEDIAN_FILE_LINES = 400, 150
MEDIAN_OF = 5  # a median says little of fewer files
METHODS = 15

Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass
class Measured:
    """What was measured under one root."""

    root: Path
    bodies: list[int] = field(default_factory=list)
    files: list[int] = field(default_factory=list)
    breaches: list[str] = field(default_factory=list)

    @property
    def short_share(self) -> float:
        """Share of bodies that are short."""
        short = sum(lines <= SHORT_BODY_LINES for lines in self.bodies)
        return short / len(self.bodies) if self.bodies else 1.0

    @property
    def median_file(self) -> float:
        """Lines of the middle file."""
        return statistics.median(self.files) if self.files else 0.0

    def __str__(self) -> str:
        return (
            f"{self.root}: {len(self.files)} files, median {self.median_file:g} lines, "
            f"longest {max(self.files, default=0)}; {len(self.bodies)} bodies, "
            f"{self.short_share:.1%} of {SHORT_BODY_LINES} lines or fewer, "
            f"longest {max(self.bodies, default=0)}"
        )


def measure(root: Path) -> Measured:
    """Measure every Python file under a root; the breaches carry file and line."""
    found = Measured(root)
    for file in sorted(root.rglob("*.py")):
        _measure_file(file, found)
    if found.short_share < SHORT_SHARE:
        found.breaches.append(
            f"{root}: {found.short_share:.1%} of bodies are short, below {SHORT_SHARE:.0%}"
        )
    if len(found.files) >= MEDIAN_OF and found.median_file > MEDIAN_FILE_LINES:
        found.breaches.append(
            f"{root}: median file {found.median_file:g} lines, over {MEDIAN_FILE_LINES}"
        )
    return found


def _measure_file(file: Path, found: Measured) -> None:
    text = file.read_text(encoding="utf-8")
    lines = len(text.splitlines())
    found.files.append(lines)
    if lines > FILE_LINES:
        found.breaches.append(f"{file}:{FILE_LINES + 1} file of {lines} lines, over {FILE_LINES}")
    for name in (file.stem, *file.relative_to(found.root).parent.parts):
        if name in FORBIDDEN:
            found.breaches.append(f"{file}:1 the name {name!r} says nothing of the trade")
    tree = ast.parse(text)
    found.bodies += [body_lines(function) for function, _ in functions(tree)]
    found.breaches += [f"{file}:{says}" for says in _breaches(tree, file)]


def _breaches(tree: ast.Module, file: Path) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.ClassDef) and (count := methods(node)) > METHODS:
            yield f"{node.lineno} class {node.name} has {count} methods, over {METHODS}"
    for function, owner in functions(tree):
        at = f"{function.lineno} {function.name}"
        if (lines := body_lines(function)) > BODY_LINES:
            yield f"{at} has a body of {lines} lines, over {BODY_LINES}"
        if not _signature_is_given(function, file, owner=owner):
            yield from _argument_breaches(function, at, owner=owner)


def _argument_breaches(function: Function, at: str, *, owner: ast.ClassDef | None) -> Iterator[str]:
    named = function.args
    positional = len(named.posonlyargs) + len(named.args)
    if owner is not None and "staticmethod" not in _decorators(function):
        positional -= 1
    rest = len(named.kwonlyargs) + (named.vararg is not None) + (named.kwarg is not None)
    if positional + rest > ARGUMENTS:
        yield f"{at} has {positional + rest} arguments, over {ARGUMENTS}"
    if positional > POSITIONAL and not _is_compiled(function):
        yield f"{at} has {positional} positional arguments; keyword-only after {POSITIONAL}"


def _signature_is_given(function: Function, file: Path, *, owner: ast.ClassDef | None) -> bool:
    """Whether the arguments are not ours to choose.

    pytest hands a test its fixtures by name; a command's arguments are its options; Python fixes
    those of special methods.
    """
    if "tests" in file.parts or file.name.startswith("test_"):
        return True
    if file.name == "cli.py" or file.name.endswith("_commands.py"):
        return bool({"command", "callback"} & set(_decorators(function)))
    special = function.name.startswith("__") and function.name.endswith("__")
    return (
        owner is not None and special and function.name not in {"__init__", "__new__", "__call__"}
    )


def _is_compiled(function: Function) -> bool:
    """Whether numba compiles it: its inliner cannot bind keyword-only arguments."""
    return bool({"njit", "jit", "_step"} & set(_decorators(function)))


def _decorators(function: Function) -> list[str]:
    names = []
    for node in function.decorator_list:
        called = node.func if isinstance(node, ast.Call) else node
        names.append(called.attr if isinstance(called, ast.Attribute) else ast.unparse(called))
    return names


def functions(tree: ast.AST) -> Iterator[tuple[Function, ast.ClassDef | None]]:
    """Every function at any depth, with the class it is a method of."""
    for node in ast.walk(tree):
        owner = node if isinstance(node, ast.ClassDef) else None
        for child in ast.iter_child_nodes(node):
            if isinstance(child, Function):
                yield child, owner


def methods(node: ast.ClassDef) -> int:
    """Number of methods, properties included."""
    return sum(isinstance(child, Function) for child in node.body)


def body_lines(function: Function) -> int:
    """Lines from the first statement to the last, docstring not counted."""
    body = function.body[1:] if ast.get_docstring(function) is not None else function.body
    return (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


def main(roots: list[str]) -> int:
    """Print the figures and every breach; 1 where there is one."""
    measured = [measure(Path(root)) for root in roots or ROOTS if Path(root).is_dir()]
    breaches = [says for found in measured for says in found.breaches]
    print(*measured, *breaches, sep="\n")
    return 1 if breaches else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
