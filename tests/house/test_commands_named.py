"""Commands and options are named where they are printed: in `ledger/cli`, and in the manual."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

PRINTED = ("ledger/cli/", "ledger/manual/")
NAMED = re.compile(
    r"`(?:fairhours|(?:correct|reverse|undo|reject|release|show|load) )"
    r"|\bfairhours (?:--[a-z]|load |report |show |new\b|demo\b)"
    r"|(?<![\w-])--[a-z]"
)
# What still names one, each with its reason. A file that does no more is taken off the list.
KNOWN = {
    "queries/macros/question_text.sql": "the words of a question to a held line, as it was kept",
    "queries/macros/reissue_text.sql": "the words of a re-issue's held lines, as they were kept",
}


def texts_of(path: str, source: str) -> Iterator[tuple[int, str]]:
    """Yield each text of a file with its line: of a module all but docstrings and comments."""
    if path.endswith(".sql"):
        for number, line in enumerate(source.splitlines(), start=1):
            yield number, line.partition("--")[0] if line.startswith("--") else line
        return
    tree = ast.parse(source)
    described = {
        id(node.value)
        for each in ast.walk(tree)
        if isinstance(each, ast.Module | ast.ClassDef | ast.FunctionDef)
        for node in each.body[:1]
        if isinstance(node, ast.Expr)
    }
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in described
        ):
            yield node.lineno, node.value


def complaints(path: str, source: str) -> Iterator[str]:
    """Yield each text of a file that names a command or an option."""
    if path.startswith(PRINTED):
        return
    for line, text in texts_of(path, source):
        if found := NAMED.search(text):
            yield f"{path}:{line}: {found.group()} is named by ledger/cli, as the words of a remedy"


def files() -> Iterator[tuple[str, str]]:
    for folder, ending in (("ledger", "*.py"), ("queries", "*.sql")):
        for file in sorted((ROOT / folder).rglob(ending)):
            yield file.relative_to(ROOT).as_posix(), file.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("path", "source"),
    [
        ("ledger/cli/refusals/remedies.py", "x = '`fairhours check`'"),
        ("ledger/store/a.py", 'def f():\n    """Does what `fairhours check` asks: --against."""\n'),
        ("ledger/store/a.py", "# `fairhours check`\nx = 'a book of fairhours (schema 3)'"),
        ("queries/store/a.sql", "-- what: `fairhours check` --against\nSELECT 'a--b'"),
    ],
)
def test_the_command_line_and_remarks_may_name_commands(path: str, source: str) -> None:
    """What prints names commands; docstrings, comments and the program's own name are no words."""
    actual = list(complaints(path, source))

    assert actual == []


@pytest.mark.parametrize(
    ("path", "source", "named"),
    [
        ("ledger/store/a.py", "x = 'see `fairhours check`'", "`fairhours"),
        ("ledger/store/a.py", "x = f'fairhours --known-at {n}'", "fairhours --k"),
        ("ledger/store/a.py", "x = 'or reverse it (`reverse entry`)'", "`reverse "),
        ("ledger/reports/a.py", "x = f'{paper} --paper'", "--p"),
        ("queries/sheets/a.sql", "SELECT 'see `fairhours held`'", "`fairhours"),
    ],
)
def test_a_command_named_below_is_found(path: str, source: str, named: str) -> None:
    """A text of another room or of a query that names a command or an option is found."""
    actual = list(complaints(path, source))

    assert actual == [f"{path}:1: {named} is named by ledger/cli, as the words of a remedy"]


def test_commands_are_named_where_they_are_printed() -> None:
    """No module outside `ledger/cli` names a command, but for those listed, which all still do."""
    found = {path: list(complaints(path, source)) for path, source in files()}

    assert [text for path, told in found.items() if path not in KNOWN for text in told] == []
    assert [path for path in KNOWN if not found.get(path)] == []
