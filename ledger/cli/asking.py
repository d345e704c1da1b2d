"""What a command still needs: asked for on a terminal, refused by name in a script."""

import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import typer

from ledger.errors import WrongUsage


@dataclass(frozen=True)
class Question:
    """One fact that a command takes: its column, its option, what is asked, whether it must be.

    `usual` is taken when nothing is typed.
    """

    column: str
    option: str
    words: str
    needed: bool = True
    usual: str = ""


def on_terminal() -> bool:
    """Return whether a person types and reads."""
    return sys.stdin.isatty() and sys.stderr.isatty()


def answered(
    typed: Mapping[str, str | None],
    questions: Sequence[Question],
    check: Callable[[str, str], str | None],
) -> dict[str, str]:
    """Return the facts given, with those that a person adds on a terminal.

    `check` says what is wrong with a text for a column; it is then asked again. Where nobody can be
    asked, nothing is.

    Raises: WrongUsage, naming the options that are missing, where nobody can be asked.
    """
    facts = {name: text for name, text in typed.items() if text is not None}
    missing = [each for each in questions if each.column not in facts]
    if not on_terminal():
        if lacking := [each.option for each in missing if each.needed]:
            raise WrongUsage("options_missing", options=tuple(lacking))
        return facts
    if not any(each.needed for each in missing):
        return facts
    for each in missing:
        if text := _ask(each, check):
            facts[each.column] = text
    return facts


def _ask(question: Question, check: Callable[[str, str], str | None]) -> str:
    while True:
        answer: str = typer.prompt(
            question.words, default=question.usual, show_default=bool(question.usual), err=True
        )
        text = answer.strip()
        wrong = check(question.column, text) if text else None
        if text and wrong is None:
            return text
        if not text and not question.needed:
            return ""
        typer.echo(f"  {wrong or 'needed'}", err=True)


def lines_typed(words: str, read: Callable[[str], dict[str, str]]) -> list[dict[str, str]]:
    """Return what a person types on a terminal a line each, until nothing is typed."""
    lines: list[dict[str, str]] = []
    while text := typer.prompt(words, default="", show_default=False, err=True).strip():
        try:
            lines.append(read(text))
        except ValueError as error:
            typer.echo(f"  {error}", err=True)
    return lines
