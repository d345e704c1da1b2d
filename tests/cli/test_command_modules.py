"""Each command is imported and made by itself, as it is among all of them."""

import ast
import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from typer.main import get_command

from ledger.cli.command_modules import MODULES_OF
from ledger.cli.program import app
from tests._program import whole_program

CLI = Path(__file__).resolve().parents[2] / "ledger" / "cli"
# The commands of each list of modules, asked for in a process that has imported none before it.
EACH_ALONE = """
import json, os
from itertools import groupby
from ledger.cli.command_modules import MODULES_OF
from ledger.cli.program import app
from tests.cli.test_command_modules import described
from typer.main import get_command

for modules, names in groupby(sorted(MODULES_OF, key=MODULES_OF.get), MODULES_OF.get):
    if child := os.fork():
        assert os.waitpid(child, 0)[1] == 0
        continue
    program = get_command(app)
    for name in names:
        print(json.dumps(list(described(program.get_command(None, name), name))), flush=True)
    os._exit(0)
"""
IMPORTED = """
import json, sys
from ledger.cli.main import main
sys.argv = ["fairhours", *{words!r}, "--help"]
try:
    main()
except SystemExit:
    pass
print()
print(json.dumps([each for each in sys.modules if each.startswith("ledger.cli.")]))
"""


def described(command: Any, words: str) -> Iterator[list[Any]]:
    """Yield the words of a command and of all below it, each with its help and its options."""
    yield [words, command.help, [[*each.opts, str(each.help)] for each in command.params]]
    for name, below in getattr(command, "commands", {}).items():
        yield from described(below, f"{words} {name}")


def output(program: str) -> list[str]:
    """Return the lines that a program prints."""
    run = subprocess.run(
        [sys.executable, "-c", program],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
        cwd=CLI.parents[1],
    )
    return run.stdout.rstrip().splitlines()


def test_a_command_asked_for_alone_has_all_that_it_has_among_others() -> None:
    """A group has every command that some module adds to it, in the same order, and its help."""
    alone = [json.loads(line) for line in output(EACH_ALONE)]
    among_others = [[*described(each, name)] for name, each in whole_program().commands.items()]

    assert sorted(alone) == sorted(among_others)


def test_commands_stand_in_their_order_whichever_was_asked_for_first() -> None:
    """A process that asked for single commands before lists all of them as any other does."""
    program: Any = get_command(app)
    turned: list[list[Any]] = []
    for name in reversed([*MODULES_OF]):
        turned.append([*described(program.get_command(None, name), name)])
    among_others = [[*described(each, name)] for name, each in whole_program().commands.items()]

    assert turned[::-1] == among_others
    assert program.list_commands(None) == [*MODULES_OF]


def test_every_module_with_commands_is_named() -> None:
    """What a module adds to the program can be asked for."""
    adding = {
        path.stem
        for path in CLI.glob("*.py")
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef) and node.name == "add_to"
    }

    assert {module for modules in MODULES_OF.values() for module in modules} == adding


@pytest.mark.parametrize(
    ("words", "modules"),
    [(["check"], {"book_commands"}), (["load", "sheets"], {"loads", "tags", "corrections"})],
)
def test_other_commands_are_not_imported(words: list[str], modules: set[str]) -> None:
    """Only the modules that add to the command asked for, and what those share, are imported."""
    *_, imported = output(IMPORTED.format(words=words))
    named = {each.removeprefix("ledger.cli.") for each in json.loads(imported)}

    assert named & {module for all_of in MODULES_OF.values() for module in all_of} == modules
