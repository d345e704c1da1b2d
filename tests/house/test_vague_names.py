"""A name says what it is in its place: one word does not stand for forty things."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

VAGUE = {"told", "said", "found", "shown", "given", "again", "parts"}

# How many such names a room may still have: lower a limit when names of the room became exact.
# One of reports, `YardOverrun.parts`, is a key of what a report gives as JSON.
STILL_ALLOWED = {"reports": 1}


def names(source: str) -> Iterator[tuple[int, str]]:
    """Yield each name that a module gives to a function, argument, variable or field, by line."""
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.FunctionDef(name=name) | ast.AsyncFunctionDef(name=name):
                yield node.lineno, name
            case ast.arg(arg=name) | ast.Name(id=name, ctx=ast.Store()):
                yield node.lineno, name
            case ast.alias(asname=str(name)) | ast.ExceptHandler(name=str(name)):
                yield node.lineno, name
            case ast.MatchAs(name=str(name)) | ast.MatchStar(name=str(name)):
                yield node.lineno, name


def complaints(path: str, source: str) -> list[str]:
    """Return each vague name of one module with its place, in the order of the lines."""
    return [
        f"{path}:{line}: {name}: name it by what it is here"
        for line, name in sorted(names(source))
        if name in VAGUE
    ]


def room_of(path: Path) -> str:
    """Return the folder of `ledger` that a module is in, "" for those at its top."""
    inside = path.relative_to(ROOT / "ledger").parts
    return inside[0] if len(inside) > 1 else ""


@pytest.mark.parametrize(
    "source",
    [
        "def refuse(faults): raise Refused('x', given=faults)",
        "rows = book.rows('found', said=1)",
        "file_parts = path.parts",
        "print(found)",
        "def found_on(day_shown): given_days = 1",
    ],
)
def test_exact_names_are_accepted(source: str) -> None:
    """A word in a longer name, a field of a refusal or an attribute of others may stand."""
    actual = complaints("ledger/a.py", source)

    assert actual == []


@pytest.mark.parametrize(
    ("source", "name"),
    [
        ("def given(): pass", "given"),
        ("def f(*, parts=()): pass", "parts"),
        ("def f(**given): pass", "given"),
        ("key = lambda said: said", "said"),
        ("found = 1", "found"),
        ("found, rest = 1, 2", "found"),
        ("if again := seek(): pass", "again"),
        ("[shown for shown in rows]", "shown"),
        ("with open_book() as told: pass", "told"),
        ("from a import b as found", "found"),
        ("class A:\n    @property\n    def parts(self): pass", "parts"),
        ("class A:\n    given: str", "given"),
    ],
)
def test_vague_names_are_refused(source: str, name: str) -> None:
    """A function, an argument, a variable, an alias or a field so named is refused."""
    line = source.count("\n") + 1
    actual = complaints("ledger/a.py", source)

    assert actual == [f"ledger/a.py:{line}: {name}: name it by what it is here"]


def test_no_name_is_vague() -> None:
    """No room has a vague name, and those that still have some no more than they had."""
    by_room: dict[str, list[str]] = {}
    for path in sorted((ROOT / "ledger").rglob("*.py")):
        own = complaints(path.relative_to(ROOT).as_posix(), path.read_text(encoding="utf-8"))
        by_room.setdefault(room_of(path), []).extend(own)
    actual = [
        text
        for room, texts in by_room.items()
        if len(texts) > STILL_ALLOWED.get(room, 0)
        for text in texts
    ]

    assert by_room.keys() > STILL_ALLOWED.keys()
    assert actual == []
