"""Functions, modules and lists of parameters stay small enough to be one thing."""

import ast
import inspect
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests._program import whole_program

ROOT = Path(__file__).resolve().parents[2]

FUNCTION_LINES = 50
MODULE_LINES = 500
PARAMETERS = 5

Function = ast.FunctionDef | ast.AsyncFunctionDef


def functions(source: str) -> Iterator[Function]:
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def parameter_count(function: Function) -> int:
    """Return how many parameters a caller gives: self and cls are not given."""
    arguments = function.args
    names = [*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs]
    names += [star for star in (arguments.vararg, arguments.kwarg) if star]
    return sum(1 for name in names if name.arg not in {"self", "cls"})


def commands(command: Any) -> Iterator[tuple[str, str]]:
    """Yield the file and the name of every function that Typer calls with options."""
    if command.callback:
        called = inspect.unwrap(command.callback)
        file = Path(called.__code__.co_filename).resolve()
        yield file.relative_to(ROOT).as_posix(), called.__name__
    for below in getattr(command, "commands", {}).values():
        yield from commands(below)


COMMANDS = {place for place in commands(whole_program()) if place[0].startswith("ledger/cli/")}


def complaints(path: str, source: str) -> Iterator[str]:
    """Yield what is too large in one file."""
    lines = source.count("\n")
    if lines > MODULE_LINES:
        yield f"{path}: module of {lines} lines, {MODULE_LINES} at most"
    for function in functions(source):
        place = f"{path}:{function.lineno} {function.name}"
        length = (function.end_lineno or function.lineno) - function.lineno + 1
        if length > FUNCTION_LINES:
            yield f"{place}: {length} lines, {FUNCTION_LINES} at most"
        count = parameter_count(function)
        command = (path, function.name) in COMMANDS
        if count > PARAMETERS and path.startswith("ledger/") and not command:
            yield f"{place}: {count} parameters, {PARAMETERS} at most; more is a dataclass"


def body(lines: int) -> str:
    return "def f():\n" + "    pass\n" * (lines - 1)


@pytest.mark.parametrize(
    ("path", "source"),
    [
        ("ledger/store/a.py", body(50)),
        ("ledger/store/a.py", "x = 1\n" * 500),
        ("ledger/store/a.py", "def f(a, b, c, d, *, e): pass\n"),
        ("ledger/store/a.py", "class A:\n    def f(self, a, b, c, d, e): pass\n"),
        ("ledger/cli/program.py", "def options(a, b, c, d, e, g): pass\n"),
        ("tests/store/test_a.py", "def test_f(a, b, c, d, e, g): pass\n"),
    ],
)
def test_sizes_up_to_the_limits_are_accepted(path: str, source: str) -> None:
    """Fifty lines, five hundred lines and five parameters are within the limits."""
    actual = list(complaints(path, source))

    assert actual == []


@pytest.mark.parametrize(
    ("path", "source", "expected"),
    [
        ("ledger/store/a.py", body(51), "ledger/store/a.py:1 f: 51 lines, 50 at most"),
        ("tests/a.py", "x = 1\n" * 501, "tests/a.py: module of 501 lines, 500 at most"),
        (
            "ledger/store/a.py",
            "def options(a, b, c, d, e, g): pass\n",
            "ledger/store/a.py:1 options: 6 parameters, 5 at most; more is a dataclass",
        ),
        (
            "ledger/cli/a.py",
            "def f(a, b, c, *, d, e, **rest): pass\n",
            "ledger/cli/a.py:1 f: 6 parameters, 5 at most; more is a dataclass",
        ),
    ],
)
def test_sizes_over_the_limits_are_refused(path: str, source: str, expected: str) -> None:
    """One line or one parameter more is two things."""
    actual = list(complaints(path, source))

    assert actual == [expected]


def test_everything_is_small_enough() -> None:
    """No function, module or list of parameters is over the limits, without exemptions."""
    files = sorted([*(ROOT / "ledger").rglob("*.py"), *(ROOT / "tests").rglob("*.py")])
    actual = [
        text
        for path in files
        for text in complaints(path.relative_to(ROOT).as_posix(), path.read_text(encoding="utf-8"))
    ]

    assert actual == []
