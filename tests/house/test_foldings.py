"""Codes are folded in one place: `ledger/domain/codes.py`, and the macros made of it."""

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
CODES = re.compile(r"strip\(\)\.upper\(\)|\bstr\.(?:upper|lower)\b|casefold\(")
# Digests are written in small letters; they are no codes.
IN_SQL = re.compile(r"\b(?:upper|lower|casefold)\((?!hex\()")


def test_no_code_is_folded_by_other_means() -> None:
    """No query folds a text but by the book's macros, and no module but by the program's."""
    macros = set((ROOT / "queries" / "macros").glob("*.sql"))
    queries = dict.fromkeys(set((ROOT / "queries").rglob("*.sql")) - macros, IN_SQL)
    modules = dict.fromkeys((ROOT / "ledger").rglob("*.py"), CODES)
    found = [
        f"{path.relative_to(ROOT)}:{number}: {line.strip()}"
        for path, pattern in {**queries, **modules}.items()
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1)
        if pattern.search(line)
    ]

    assert len(queries) > 100
    assert found == []
