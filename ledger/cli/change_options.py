"""What the commands about changes share: their options, and how what is typed is recorded."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli.asking import Question, answered
from ledger.cli.context import Options, to_write
from ledger.cli.corrections import group
from ledger.cli.output import say_all

if TYPE_CHECKING:
    from ledger.inputs.change_entry import ChangeInput
    from ledger.tables.small_tables import FileColumn

Text = str | None
Reserve = Annotated[
    list[str] | None,
    typer.Option("--reserve", help="an open matter left out by name: a change, base or a stage"),
]
Number = Annotated[str, typer.Argument(help="the change's number")]
NextNumber = Annotated[Text, typer.Argument(help="its number; the next one if left out")]
On = Annotated[Text, typer.Option("--date", help="the day it happened; today if left out")]
Person = Annotated[Text, typer.Option("--person", help="who said so")]
Reference = Annotated[Text, typer.Option("--reference", help="the letter, mail or minutes")]
Note = Annotated[Text, typer.Option("--note", help="for the yard alone")]
Revision = Annotated[Text, typer.Option("--revision", help="of the price; the latest if left out")]
Attach = Annotated[list[Path] | None, typer.Option("--attach", help="a file to keep with it")]
Granted = Annotated[Text, typer.Option("--days-granted", help="days granted, 0 for none")]
Asked = Annotated[Text, typer.Option("--days-requested", help="0 for none; open if left out")]
Capped = Annotated[bool, typer.Option("--not-to-exceed", help="agreed as a limit")]
Title = Annotated[Text, typer.Option("--title", help="as the owner reads it")]
By = Annotated[Text, typer.Option("--requested-by", help="who asks for it")]
AskedOn = Annotated[
    Text, typer.Option("--requested-on", help="day of the request; today if left out")
]
Basis = Annotated[Text, typer.Option("--basis", help="fixed_price, daywork or no_charge")]
Origin = Annotated[
    Text, typer.Option("--origin", help="owner, yard, change_in_law or unforeseen_condition")
]
Description = Annotated[Text, typer.Option("--description", help="as the owner reads it")]
NeededBy = Annotated[
    Text, typer.Option("--decision-needed-by", help="the day by which the owner must decide")
]
Labour = Annotated[list[str] | None, typer.Option("--labour", help="trade=hours, carpenter=12")]
Omit = Annotated[list[str] | None, typer.Option("--omit", help="package=hours taken out, DECK=10")]
Material = Annotated[
    list[str] | None,
    typer.Option("--material", help='"Ash rail=10 m x 25.00"; with its own addition "... + 15 %"'),
]
Subcontract = Annotated[list[str] | None, typer.Option("--subcontract", help="as --material")]
Plant = Annotated[list[str] | None, typer.Option("--plant", help="as --material")]
Premium = Annotated[
    list[str] | None,
    typer.Option("--premium", help='pay above the rate: "Saturday premium=10 h x 12.50"'),
]
Added = Annotated[
    list[str] | None,
    typer.Option("--addition", help='a percentage on the lines: "Profit=8 %", "Risk=5 % of price"'),
]
ProvisionalSum = Annotated[
    Text, typer.Option("--provisional-sum", help="the provisional sum that pays for the lines")
]
OwnerText = Annotated[
    Text, typer.Option("--owner-text", help="assumptions and exclusions, as the owner reads them")
]
Rough = Annotated[bool, typer.Option("--rough", help="too rough to be approved")]
ValidUntil = Annotated[
    Text, typer.Option("--valid-until", help="the last day on which it can be approved")
]

WHO = Question("person", "--person", "by whom")
WHY = Question("reference", "--reference", "reference (letter, mail, minutes)")

# One group a verb; several modules add to some.
record = group("Record a counter-offer, a notice, what was sent, or a reply.")


def who(context: typer.Context) -> str:
    """Return the handle of who acts, who stands in for a person of the yard that is not named."""
    options: Options = context.obj
    return options.who


def checker(columns: "Sequence[FileColumn]") -> Callable[[str, str], str | None]:
    """Return what says what is wrong with a text for a column, None when nothing is."""
    by_name = {column.name: column for column in columns}

    def wrong_with(name: str, text: str) -> str | None:
        try:
            by_name[name].parse(text)
        except ValueError as error:
            return f"{name} {error}"
        return None

    return wrong_with


def change_input(
    job: str, change: str | None, facts: Mapping[str, Text], attach: Sequence[Path] | None
) -> "ChangeInput":
    """Return what was typed of a change, without what was left out."""
    from ledger.inputs.change_entry import ChangeInput

    typed = {name: text for name, text in facts.items() if text is not None}
    return ChangeInput(job, change, typed, tuple(attach or ()))


def flag(name: str, on: bool) -> dict[str, Text]:
    """Return a mark as the files have it."""
    return {name: "yes"} if on else {}


def move(
    context: typer.Context, command: str, typed: "ChangeInput", questions: Sequence[Question] = ()
) -> None:
    """Record what a command says of a change, asking for what is missing; say where it stands."""
    from ledger.cli.wording.changes import entered_lines
    from ledger.commands.changes import move_change
    from ledger.inputs.columns import CHANGE_EVENTS

    facts = answered(typed.facts, questions, checker(CHANGE_EVENTS))
    whole = change_input(typed.job, typed.change, facts, typed.attach)
    say_all(entered_lines(move_change(to_write(context), command, whole)))
