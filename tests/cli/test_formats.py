"""The help of a command names the formats that it gives."""

import pytest
import typer

from ledger.cli.main import app


@pytest.mark.parametrize("words", [("status",), ("quote", "change")])
def test_what_gives_no_csv_does_not_offer_it(words: tuple[str, ...]) -> None:
    """A screen and a comparison are a table for people, or JSON."""
    command = typer.main.get_command(app)
    for word in words:
        command = command.commands[word]  # type: ignore[attr-defined]
    [given] = [each for each in command.params if each.name == "format"]

    assert given.help == "table or json"  # type: ignore[attr-defined]
