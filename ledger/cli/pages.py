"""Commands that make pages: report and demo."""

import typer


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
