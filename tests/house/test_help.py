"""The help, the manual's listing and the commands say the same, and help comes at once.

Run as a program, this file puts the program's own listing into the manual.
"""

import ast
import difflib
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests._program import whole_program

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "ledger" / "manual" / "commands.md"
BEGIN, END = "<!-- commands -->\n", "<!-- end of commands -->"
HEAVY = ["duckdb", "polars", "weasyprint", "jinja2", "openpyxl", "pandas", "babel"]

SHOW_HELP = """
import sys
from ledger.cli.main import main
sys.argv = ["fairhours", "--help"]
try:
    main()
except SystemExit as end:
    code = end.code
print()
print([name for name in {heavy!r} if name in sys.modules], code)
"""


def commands(group: Any = None, words: tuple[str, ...] = ()) -> Iterator[tuple[str, Any]]:
    """Yield every command of the program: its words and Typer's command."""
    group = group or whole_program()
    for name, command in group.commands.items():
        if hasattr(command, "commands"):
            yield from commands(command, (*words, name))
        else:
            yield " ".join((*words, name)), command


def listing() -> str:
    """Return the manual's listing: a line a command, its words and the first line of its help."""
    rows = [(f"fairhours {words}", first_line(command)) for words, command in commands()]
    width = max(len(words) for words, _ in rows)
    lines = [f"{words:<{width}}  {what}" for words, what in sorted(rows)]
    return "\n".join(["```", *lines, "```", ""])


def first_line(command: Any) -> str:
    return str(command.help or "").strip().partition("\n")[0].strip()


def manual_listing() -> str:
    """Return what the manual has between its two marks."""
    return PAGE.read_text(encoding="utf-8").partition(BEGIN)[2].partition(END)[0]


def test_help_imports_nothing_heavy() -> None:
    """`fairhours --help` answers before the database, the frames or the page maker is imported."""
    shown = subprocess.run(
        [sys.executable, "-c", SHOW_HELP.format(heavy=HEAVY)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
    )
    help_text, _, imported = shown.stdout.rstrip().rpartition("\n")

    assert "fairhours" in help_text
    assert ast.literal_eval(imported.replace("] ", "], ")) == ([], 0)


def test_every_command_shows_an_example() -> None:
    """The help of each command ends its what with one line to copy."""
    without = [
        words
        for words, command in commands()
        if not re.search(rf"fairhours( --?\S+ \S+)* {words}\b", command.help or "")
    ]

    assert without == []


def test_every_command_says_what_it_does() -> None:
    """The first line of a command's help is a sentence of its own."""
    without = [words for words, command in commands() if not first_line(command).endswith(".")]

    assert without == []


def test_the_manual_lists_every_command() -> None:
    """The manual's listing is the program's own; a difference shows the lines to put right."""
    difference = list(
        difflib.unified_diff(
            manual_listing().splitlines(), listing().splitlines(), PAGE.name, "program", n=0
        )
    )

    assert difference == []


if __name__ == "__main__":
    before, _, rest = PAGE.read_text(encoding="utf-8").partition(BEGIN)
    after = rest.partition(END)[2]
    PAGE.write_text(f"{before}{BEGIN}{listing()}{END}{after}", encoding="utf-8")
