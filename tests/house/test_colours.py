"""Colours stand in one place: the stylesheet of tokens."""

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
COLOUR = re.compile(r"#[0-9a-fA-F]{3,8}\b|\brgba?\(")
FILES = [
    *(ROOT / "templates").glob("*.css"),
    *(ROOT / "templates").glob("*.html"),
    *(ROOT / "ledger" / "reports").rglob("*.py"),
]


def test_a_colour_is_a_token() -> None:
    """No template, stylesheet or module of reports has a colour of its own."""
    astray = [
        f"{path.relative_to(ROOT)}:{number}: {line.strip()}"
        for path in FILES
        if path.name not in {"tokens.css", "tokens.py"}
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1)
        if COLOUR.search(line)
    ]

    assert astray == []
