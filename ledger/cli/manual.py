"""The command `help`: the pages of the manual, listed and printed."""

import re
import shutil
import textwrap
from collections.abc import Iterator
from importlib.resources import files
from typing import Annotated

import typer

from ledger.cli.manual_text import as_text
from ledger.cli.output import give
from ledger.cli.tables import table_width
from ledger.cli.wrapping import laid_out
from ledger.errors import WrongUsage

INDEX = "README.md"
ENTRY = re.compile(r"^- \[([\w-]+)\]\(([\w-]+)\.md\): (.+)$", re.MULTILINE)
WIDEST = 100


def page(name: str) -> str:
    """Return a page of the manual as it is written, in Markdown."""
    return (files("ledger") / "manual" / name).read_text(encoding="utf-8")


def topics() -> dict[str, str]:
    """Return each topic with what its page is about, in the order of the index."""
    return {entry[2]: entry[3] for entry in ENTRY.finditer(page(INDEX))}


def show_help(
    topic: Annotated[str | None, typer.Argument(help="the page to print; else all are listed")] = (
        None
    ),
) -> None:
    """Print a page of the manual, or list its pages.

    Example: fairhours help held-lines
    """
    known = topics()
    if topic is None:
        give(laid_out("\n".join(_listed(known))))
        give("\nfairhours help TOPIC prints a page; fairhours COMMAND --help explains a command.")
        return
    name = topic.lower()
    if name not in known:
        raise WrongUsage("topic_unknown", topic=topic, known=tuple(known))
    width = min(shutil.get_terminal_size().columns, WIDEST)
    give(laid_out(as_text(page(f"{name}.md"), width)))


def _listed(known: dict[str, str]) -> Iterator[str]:
    """Yield each topic beside what it is about, in as many lines as the terminal needs for it."""
    column = max(map(len, known)) + 2
    for name, about in known.items():
        line = f"{name:<{column}}{about}"
        yield textwrap.fill(line, table_width() or len(line), subsequent_indent=" " * column)


def add_to(app: typer.Typer) -> None:
    """Add this command to the program."""
    app.command("help")(show_help)
