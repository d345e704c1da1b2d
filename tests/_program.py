"""The program with all of its commands: it makes each only when that is asked for."""

from typing import Any

from typer.main import get_command

from ledger.cli.program import app


def whole_program() -> Any:
    """Return Typer's group of every command."""
    program: Any = get_command(app)
    program.list_commands(program.make_context("fairhours", [], resilient_parsing=True))
    return program
