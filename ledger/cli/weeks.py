"""The command that shows a week of a job, or of the yard."""

import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli.context import TableOrJson, chosen, day_of, to_read
from ledger.cli.figures import say_closed
from ledger.cli.output import give, to_json
from ledger.cli.wrapping import laid_out

if TYPE_CHECKING:
    from ledger.reports.yard.week import WeekRemark, WeekShown

AnyJob = Annotated[str | None, typer.Option("--job", help="one job; else all with hours")]
To = Annotated[str | None, typer.Option("--to", metavar="DATE", help="any day of the week")]
WIDTH, LABEL = 80, 12


def week(
    context: typer.Context, job: AnyJob = None, to: To = None, format: TableOrJson = "table"
) -> None:
    """Show the week of a job or of the yard: hours, changes, forecast, dates, pay, what opens each.

    Example: fairhours week --job FERRY --to 2026-05-31
    """
    from ledger.cli.wording.pages import COMMANDS
    from ledger.commands.pages import week as known_week
    from ledger.commands.week_as_json import week_json

    chosen("--format", format, ("table", "json"))
    known = known_week(to_read(context), job, day_of(to, "--to"), COMMANDS)
    if format == "json":
        give(to_json(week_json(known)))
    else:
        say_closed(known.closed_to, known.stamp)
        give(laid_out("\n".join(screen_of(known.week))))


def screen_of(week: "WeekShown") -> Iterator[str]:
    """Yield the lines of the screen: of each job its lines, and the commands under them."""
    for each in week.jobs:
        head = f"{each.job} {each.title}, week from {week.first} to {week.last}"
        yield textwrap.shorten(head, WIDTH, placeholder=" ...")
        for line in each.lines:
            yield from _lines(line, each.currency)
    if not week.jobs:
        yield f"no job has hours; week from {week.first} to {week.last}"
    yield "The yard"
    for line in week.of_yard:
        yield from _lines(line, "")


def _lines(line: "WeekRemark", currency: str) -> Iterator[str]:
    """Yield a line's words and, where there is room beside them or under them, its command."""
    from ledger.reports.yard.week_words import LABELS, words

    text = words(line, currency)
    command = line.opened_by.removeprefix("fairhours ").split(" ", 1)[0]
    for number, part in enumerate(textwrap.wrap(f"{text} [{command}]", WIDTH - LABEL)):
        yield f"{'' if number else LABELS[line.what]:<{LABEL}}{part}"


def add_to(app: typer.Typer) -> None:
    """Add this command to the program."""
    app.command()(week)
