"""Counts have their nouns from `counted`, and pages from `ngettext`: 1 row, 2 rows."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
COUNT = "\N{OBJECT REPLACEMENT CHARACTER}"
# This file runs beside the pages that it checks, without the program.
ALONE = "check_pack.py"
# A count before a plural, unless it is a limit, which is never 1: "more than {most} columns".
BARE = re.compile(
    rf"(?<!than )(?<!over )(?<!at most )(?<!least )(?<!as ){COUNT} "
    r"(?:(?:held|sheet|more|working|other|new|claimed|open) )?"
    r"(?:batches|budgets|bytes|changes|columns|cells|days|documents|doubts|entries|"
    r"errors|examples|facts|faults|files|invoices|items|jobs|lines|notes|packages|"
    r"people|periods|places|postings|questions|reversals|revisions|rows|sheets|tables|tabs|texts|"
    r"workers)\b(?! (?:and|or) )"
)
BY_HAND = re.compile(r"'(?:s|es|ies)'$")


def text_of(node: ast.expr) -> str:
    """Return a text as it is written, with a mark in place of what is put in."""
    if isinstance(node, ast.Constant):
        return re.sub(r"\{\w*\}", COUNT, node.value) if isinstance(node.value, str) else ""
    assert isinstance(node, ast.JoinedStr)
    return "".join(
        str(part.value) if isinstance(part, ast.Constant) else COUNT for part in node.values
    )


def hand_made(path: str, source: str) -> Iterator[str]:
    """Yield each plural that stands whatever the count, or has its s put on by hand."""
    tree = ast.parse(source)
    told = {
        id(part)
        for node in ast.walk(tree)
        for part in (
            node.args
            if isinstance(node, ast.Call) and ast.unparse(node.func) == "ngettext"
            else node.values
            if isinstance(node, ast.JoinedStr)
            else []
        )
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.IfExp):
            is_wrong = bool(BY_HAND.match(ast.unparse(node.body)))
        elif isinstance(node, ast.JoinedStr | ast.Constant):
            is_wrong = id(node) not in told and bool(BARE.search(text_of(node)))
        else:
            continue
        if is_wrong:
            yield f"{path}:{node.lineno}: {ast.unparse(node)}: use counted"


@pytest.mark.parametrize(
    "source",
    [
        "f\"{counted(n, 'row', 'rows')} left out\"",
        'ngettext("{count} day", "{count} days", n)',
        '"has over {most} rows; split it"',
        '"{rows:row|rows} left out"',
        'f"sheets of the yard: {name}"',
    ],
)
def test_nouns_that_follow_the_count_are_accepted(source: str) -> None:
    """One and more have a noun each; a limit is always more."""
    assert list(hand_made("a.py", source)) == []


@pytest.mark.parametrize(
    "source",
    [
        'f"{n} rows left out"',
        '"rate: {} budgets now rated"',
        'f"{days} working days late"',
        "f\"{n} day{'s' if n != 1 else ''}\"",
        'f"{n} entr" + ("ies" if n > 1 else "y")',
    ],
)
def test_plurals_made_by_hand_are_refused(source: str) -> None:
    """Nothing may say 1 rows."""
    assert len(list(hand_made("a.py", source))) == 1


def test_no_wording_makes_a_plural_by_hand() -> None:
    """Every count that people read has the noun that goes with it."""
    modules = sorted((ROOT / "ledger").rglob("*.py"))
    found = [
        fault
        for path in modules
        if path.name != ALONE
        for fault in hand_made(str(path.relative_to(ROOT)), path.read_text(encoding="utf-8"))
    ]

    assert len(modules) > 100
    assert found == []
