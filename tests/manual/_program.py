"""The program's commands and options, as its parser has them."""

import shlex
from functools import cache
from typing import Any

from tests._program import whole_program


@cache
def program() -> Any:
    return whole_program()


@cache
def commands() -> dict[str, Any]:
    """Return every command by its words, and every group by its own."""
    return dict(_commands(program(), ()))


def _commands(group: Any, words: tuple[str, ...]) -> list[tuple[str, Any]]:
    found = []
    for name, command in group.commands.items():
        found.append((" ".join((*words, name)), command))
        if hasattr(command, "commands"):
            found += _commands(command, (*words, name))
    return found


@cache
def options() -> set[str]:
    """Return every option that some command, or the program, has."""
    every = [program(), *commands().values()]
    return {name for each in every for param in each.params for name in param.opts} | {"--help"}


def parse(example: str) -> None:
    """Parse a command line as the program would, without running it.

    What is only the name of a command is looked up. Raises: what the parser raises when the words
    do not fit.
    """
    words = shlex.split(example.partition(" > ")[0])[1:]
    if " ".join(words) in {*commands(), "COMMAND --help", "help TOPIC"}:
        return
    context = program().make_context("fairhours", words)
    while hasattr(context.command, "commands"):
        name, command, rest = context.command.resolve_command(
            context, [*context._protected_args, *context.args]
        )
        context = command.make_context(name, rest, parent=context)
