"""The program's entry: how a process that runs one command begins."""

from ledger.collecting import collect_for_one_command


def main() -> None:
    """Run the command line."""
    collect_for_one_command()
    # Only then, as much is made by importing it, and all of that stays.
    from ledger.cli.program import app

    app()


if __name__ == "__main__":
    main()
