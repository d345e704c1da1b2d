"""The command `help`: the pages of the manual, listed and printed."""

import re
import shutil
from importlib.resources import files
from typing import Annotated

import typer

from ledger.cli.manual_text import as_text
from ledger.cli.output import give
from ledger.errors import WrongUsage

INDEX = "README.md"
ENTRY = re.compile(r"^- \[([\w-]+)\]\(([\w-]+)\.md\): (.+)$", re.MULTILINE)
WIDEST = 100


def page(name: str) -> str:
    """Return a page of the manual as it is written, in Markdown."""
    return (files("ledger") / "manual" / name).read_text(encoding="utf-8")


def topics() -> dict[str, str]:
    """Return each topic with what its page is about, in the order of the index."""
    return {found[2]: found[3] for found in ENTRY.finditer(page(INDEX))}


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
        width = max(map(len, known))
        give("\n".join(f"{name:<{width}}  {about}" for name, about in known.items()))
        give("\nfairhours help TOPIC prints a page; fairhours COMMAND --help explains a command.")
        return
    name = topic.lower()
    if name not in known:
        raise WrongUsage("topic_unknown", topic=topic, known=tuple(known))
    give(as_text(page(f"{name}.md"), min(shutil.get_terminal_size().columns, WIDEST)))


def add_to(app: typer.Typer) -> None:
    """Add this command to the program."""
    app.command("help")(show_help)
