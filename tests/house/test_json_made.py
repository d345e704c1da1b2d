"""What machines read is made in `ledger/commands`; the command line writes it out."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def complaints(path: str, source: str) -> Iterator[str]:
    """Yield each place that writes out JSON of its own making."""
    for node in ast.walk(ast.parse(source)):
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name)):
            continue
        made = node.args[0] if node.func.id == "to_json" else None
        if made is None:
            continue
        maker = made.func if isinstance(made, ast.Call) else None
        if not (isinstance(maker, ast.Name) and maker.id.endswith("_json")):
            yield f"{path}:{node.lineno}: ledger/commands makes JSON, in a function named for it"


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ("give(to_json(doubts_json(found)))", []),
        ("give(to_json({'a': 1}))", ["a.py:1"]),
        ("give(to_json(head | more))", ["a.py:1"]),
        ("give(to_json(vars(found)))", ["a.py:1"]),
    ],
)
def test_json_of_the_command_line_is_found(source: str, expected: list[str]) -> None:
    """What is put together where it is printed is found."""
    actual = [text.partition(": ")[0] for text in complaints("a.py", source)]

    assert actual == expected


def test_json_is_made_in_commands() -> None:
    """Rows of a table alone are written out as they are, by `give_rows`."""
    actual = [
        text
        for file in sorted((ROOT / "ledger" / "cli").rglob("*.py"))
        if file.name != "output.py"
        for text in complaints(file.relative_to(ROOT).as_posix(), file.read_text(encoding="utf-8"))
    ]

    assert actual == []
