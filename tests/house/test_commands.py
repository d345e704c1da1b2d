"""Commands are named in the command line alone, and every one that writes ends in one place."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.house.test_help import commands

ROOT = Path(__file__).resolve().parents[2]
COMMANDS = {words for words, _ in commands()}
# One word alone may be any word of a sentence; after the program's name it is a command.
NAMED = re.compile(
    r"fairhours (?:--?[a-z]|[a-z])|(?<![\w-])--[a-z][a-z-]+"
    rf"|\b(?:{'|'.join(sorted(words for words in COMMANDS if ' ' in words))})\b"
)


def texts(source: str) -> Iterator[tuple[int, str]]:
    """Yield the line and text of every string that is no docstring."""
    tree = ast.parse(source)
    docstrings = {node.value for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield from [] if node in docstrings else [(node.lineno, node.value)]


def named(path: str, source: str) -> Iterator[str]:
    """Yield each place where a file names a command or an option.

    What a batch records as its command is the command's whole name, given by `commands`.
    """
    for line, text in sorted(texts(source)):
        recorded = path.startswith("ledger/commands/") and text in COMMANDS
        for found in [] if recorded else NAMED.findall(text):
            yield f"{path}:{line}: {found}"


def unfinished(path: str, source: str) -> Iterator[str]:
    """Yield each function that writes a batch and does not end it with `finish`."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef):
            called = {ast.unparse(c.func) for c in ast.walk(node) if isinstance(c, ast.Call)}
            if called & {"access.writing", "access.batch"} and "finish" not in called:
                yield f"{path}:{node.lineno} {node.name}: writes and does not finish"


def opens_the_book(path: str, source: str) -> Iterator[str]:
    """Yield each import of the store, but for those of its types."""
    tree = ast.parse(source)
    for node in ast.walk(tree):
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            node.body = []
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("ledger.store"):
            yield f"{path}:{node.lineno}: {node.module}"


def sources(folder: str) -> Iterator[tuple[str, str]]:
    for path in sorted((ROOT / folder).rglob("*.py")):
        yield path.relative_to(ROOT).as_posix(), path.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ('x = "see `fairhours held`"', ["ledger/a.py:1: fairhours h"]),
        ('x = f"{name}: give --job"', ["ledger/a.py:1: --job"]),
        ('x = "load changes first"', ["ledger/a.py:1: load changes"]),
        ('def f():\n    """As `fairhours held` does."""', []),
        ('x = "held -- as it was", "loaded", "new"', []),
    ],
)
def test_a_named_command_is_found(source: str, expected: list[str]) -> None:
    """The program's name with a word, an option, or a command of two words names a command."""
    actual = list(named("ledger/a.py", source))

    assert actual == expected


def test_what_commands_return_is_no_sentence() -> None:
    """The functions of ledger/commands name no command; sentences are made in ledger/cli."""
    actual = [text for path, source in sources("ledger/commands") for text in named(path, source)]

    assert actual == []


def test_every_write_is_finished_in_one_place() -> None:
    """A command that writes a batch ends it with `finish`; a migration changes no facts."""
    actual = [
        text
        for path, source in sources("ledger/commands")
        if not path.endswith("access.py")
        for text in unfinished(path, source)
    ]

    assert [text.partition(" ")[2] for text in actual] == ["migrate: writes and does not finish"]


def test_the_command_line_opens_no_book() -> None:
    """What is read and written goes through ledger/commands; ledger/cli knows the store's types."""
    opening = "from ledger.store.book import open_book\n"
    types = f"if TYPE_CHECKING:\n    {opening}"
    actual = [
        text for path, source in sources("ledger/cli") for text in opens_the_book(path, source)
    ]

    assert list(opens_the_book("a.py", f"{types}def f():\n    {opening}")) == [
        "a.py:4: ledger.store.book"
    ]
    assert actual == []
