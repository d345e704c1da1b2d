"""Reasons are facts: a kind with its fields; `ledger/cli` has one sentence for each."""

import ast
import string
from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.cli.wording.reasons import WORDS
from ledger.store.checking import INVARIANTS

ROOT = Path(__file__).resolve().parents[2]


def made(source: str) -> Iterator[tuple[int, str, set[str]]]:
    """Yield the line, kind and names of fields of each reason that a module gives."""
    for node in ast.walk(ast.parse(source)):
        called = node.func if isinstance(node, ast.Call) else None
        if isinstance(node, ast.Call) and isinstance(called, ast.Name) and called.id == "because":
            kind = str(ast.literal_eval(node.args[0]))
            yield node.lineno, kind, {str(each.arg) for each in node.keywords}


def complaints(path: str, source: str) -> Iterator[str]:
    """Yield the reasons that have no words, or other fields than these take."""
    for line, kind, given in made(source):
        if kind not in WORDS:
            yield f"{path}:{line}: {kind} has no words"
        elif given != (taken := {n for _, n, _, _ in string.Formatter().parse(WORDS[kind]) if n}):
            yield f"{path}:{line}: {kind} is worded with {sorted(taken)}, given {sorted(given)}"


def modules() -> Iterator[tuple[str, str]]:
    for file in sorted((ROOT / "ledger").rglob("*.py")):
        yield file.relative_to(ROOT).as_posix(), file.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ("because('no_money')", "no_money has no words"),
        ("because('finished_on')", "finished_on is worded with ['day'], given []"),
        ("because('no_budget', day=day)", "no_budget is worded with [], given ['day']"),
    ],
)
def test_a_reason_that_does_not_fit_its_words_is_found(source: str, expected: str) -> None:
    """An unknown kind and a field too many or too few are found."""
    actual = list(complaints("ledger/domain/a.py", source))

    assert actual == [f"ledger/domain/a.py:1: {expected}"]


def test_every_reason_fits_its_words_and_every_word_is_used() -> None:
    """Each reason given has a sentence with its fields, and no sentence is kept for none."""
    actual = [text for path, source in modules() for text in complaints(path, source)]
    used = {kind for _, source in modules() for _, kind, _ in made(source)} | {*INVARIANTS}

    assert actual == []
    assert sorted(set(WORDS) - used) == []
