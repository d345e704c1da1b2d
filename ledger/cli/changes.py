"""Commands by which the yard enters changes and moves them on."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.asking import Question, answered, lines_typed, on_terminal
from ledger.cli.change_options import (
    Added,
    Asked,
    AskedOn,
    Attach,
    Basis,
    By,
    Description,
    Granted,
    Labour,
    Material,
    NeededBy,
    NextNumber,
    Note,
    Number,
    Omit,
    On,
    Origin,
    OwnerText,
    Person,
    Plant,
    Premium,
    ProvisionalSum,
    Reference,
    Revision,
    Rough,
    Subcontract,
    Text,
    Title,
    ValidUntil,
    change_input,
    checker,
    flag,
    move,
    record,
    who,
)
from ledger.cli.context import DryRun, Job, WithClosed, to_read, to_write
from ledger.cli.corrections import group
from ledger.cli.output import say, say_all
from ledger.cli.raised_changes import (
    Cause,
    CausedFrom,
    CausedReason,
    CausedUntil,
    caused_hours,
    raise_change,
)
from ledger.domain.counting import counted
from ledger.errors import WrongUsage

REQUEST = (
    Question("title", "--title", "title"),
    Question("requested_by", "--requested-by", "requested by"),
    Question("change_basis", "--basis", "fixed_price, daywork or no_charge", usual="fixed_price"),
    Question("description", "--description", "description (may be left out)", needed=False),
)
PRICE_LINE = (
    "line: carpenter=12, omit DECK=10, material Ash rail=10 m x 25.00 + 15 %, addition Profit=8 % "
    "(nothing: done)"
)

request = group("Enter a change request.")
enter = group("Enter the price of a change.")
submit = group("Record that a price was sent to the owner.")
accept = group("Accept a counter-offer.")
save = group("Write a file kept in the book.")
complete = group("Record that the work on a change is done.")


@request.command("change")
def request_change(
    context: typer.Context,
    job: Job,
    change: NextNumber = None,
    title: Title = None,
    requested_by: By = None,
    requested_on: AskedOn = None,
    basis: Basis = None,
    origin: Origin = None,
    description: Description = None,
    decision_needed_by: NeededBy = None,
    days_requested: Asked = None,
    attach: Attach = None,
    cause: Cause = None,
    from_: CausedFrom = None,
    until: CausedUntil = None,
    reason: CausedReason = None,
    with_closed: WithClosed = False,
    dry_run: DryRun = False,
) -> None:
    """Enter a change request; on a terminal it asks for what is missing.

    With --cause the change is raised from hours that `to-notify` lists: they are tagged to it, by
    hand, in the same step. It is then daywork requested by whoever acts, unless said otherwise.

    Example: fairhours request change --job FERRY --title "Bench" --requested-by Jo --basis daywork
    """
    from ledger.cli.wording.changes import entered_lines
    from ledger.commands.changes import number_proposed
    from ledger.commands.changes import request_change as enter_request
    from ledger.inputs.columns import CHANGES

    if change is None and on_terminal():
        change = typer.prompt("number", default=number_proposed(to_read(context), job), err=True)
    facts = {"title": title, "requested_by": requested_by, "requested_on": requested_on}
    facts |= {"change_basis": basis, "origin": origin, "description": description}
    facts |= {"decision_needed_by": decision_needed_by, "days_requested": days_requested}
    if cause is not None:
        facts["requested_by"] = requested_by or who(context)
        facts |= {"change_basis": basis or "daywork", "origin": origin or "owner"}
    elif from_ or until or reason or with_closed or dry_run:
        raise WrongUsage("caused_without_cause")
    whole = change_input(job, change, answered(facts, REQUEST, checker(CHANGES)), attach)
    if cause is not None:
        hours = caused_hours(cause, from_, until, reason, with_closed=with_closed)
        raise_change(context, whole, hours, dry_run=dry_run)
        return
    say_all(entered_lines(enter_request(to_write(context), whole)))


@enter.command("price")
def enter_price(
    context: typer.Context,
    job: Job,
    change: Number,
    labour: Labour = None,
    omit: Omit = None,
    material: Material = None,
    subcontract: Subcontract = None,
    plant: Plant = None,
    premium: Premium = None,
    addition: Added = None,
    provisional_sum: ProvisionalSum = None,
    owner_text: OwnerText = None,
    rough: Rough = False,
    revision: Revision = None,
    on: On = None,
    person: Person = None,
    note: Note = None,
    attach: Attach = None,
) -> None:
    """Price a change by the lines given, or else by the lines loaded for it.

    Once a revision was sent, new lines make a new revision. Nothing goes to the owner yet. Prices
    are without tax.

    Example: fairhours enter price --job FERRY CR4 --labour carpenter=12 --omit DECK=4

    Example: fairhours enter price --job FERRY CR5 --material "Ash rail=10 m x 25.00 + 15 %"

    Example: fairhours enter price --job FERRY CR6 --plant "Crane=2 d x 310" --addition "Profit=8 %"
    """
    from ledger.cli.wording.changes import entered_lines
    from ledger.commands.changes import price_change

    typed = {"labour": labour, "omit": omit, "material": material, "subcontract": subcontract}
    lines = _lines(typed | {"plant": plant, "premium": premium, "addition": addition})
    lines = [_with_price_options(line, provisional_sum, owner_text) for line in lines]
    facts = {"revision": revision, "date": on, "person": person or who(context), "note": note}
    whole = change_input(job, change, facts | flag("rough", rough), attach)
    say_all(entered_lines(price_change(to_write(context), whole, lines)))


def _lines(typed: Mapping[str, Sequence[str] | None]) -> list[dict[str, str]]:
    """Return the price lines typed by kind; on a terminal they are asked for when there are none.

    Raises: WrongUsage for one that cannot be read.
    """
    from ledger.cli import price_lines

    try:
        lines = [price_lines.of_kind(kind, text) for kind in typed for text in typed[kind] or ()]
    except ValueError as error:
        raise WrongUsage("price_line_astray", why=str(error)) from None
    if not lines and on_terminal():
        return lines_typed(PRICE_LINE, price_lines.of_any)
    return lines


def _with_price_options(
    line: dict[str, str], provisional_sum: Text, owner_text: Text
) -> dict[str, str]:
    """Return a line with what is said of all lines of the price."""
    options = {"owner_text": owner_text} if owner_text else {}
    if provisional_sum and line["price_kind"] != "addition":
        options["provisional_sum"] = provisional_sum
    return line | options


@submit.command("price")
def submit_price(
    context: typer.Context,
    job: Job,
    change: Number,
    valid_until: ValidUntil = None,
    days_requested: Asked = None,
    revision: Revision = None,
    on: On = None,
    person: Person = None,
    reference: Reference = None,
    note: Note = None,
    attach: Attach = None,
) -> None:
    """Record that a price was sent to the owner; it replaces the one sent before.

    With the number of a quotation as --reference it is sent as quoted: validity, days and revision
    are the quotation's, and another that is typed is refused.

    Example: fairhours submit price --job FERRY CR4 --valid-until 2026-06-30 --days-requested 0

    Example: fairhours submit price --job FERRY CR4 --reference FERRY-Q-001
    """
    facts = {"valid_until": valid_until, "days_requested": days_requested, "revision": revision}
    facts |= {"date": on, "person": person or who(context), "reference": reference, "note": note}
    move(context, "submit price", change_input(job, change, facts, attach))


@accept.command("counter-offer")
def accept_counter_offer(
    context: typer.Context,
    job: Job,
    change: Number,
    person: Person = None,
    on: On = None,
    revision: Revision = None,
    days_granted: Granted = None,
    note: Note = None,
    attach: Attach = None,
) -> None:
    """Accept the owner's counter-offer; this approves the revision drawn up from it.

    The counter-offer says who approves, up to what sum and by which letter.

    Example: fairhours accept counter-offer --job FERRY CR4 --revision 2
    """
    facts = {"person": person or who(context), "date": on, "revision": revision}
    facts |= {"days_granted": days_granted, "note": note}
    move(context, "accept counter-offer", change_input(job, change, facts, attach))


@complete.command("change")
def complete_change(
    context: typer.Context,
    job: Job,
    change: Number,
    on: On = None,
    person: Person = None,
    reference: Reference = None,
    note: Note = None,
    attach: Attach = None,
) -> None:
    """Record that the work on a change is done; its price may still be open.

    Example: fairhours complete change --job FERRY CR4
    """
    facts = {"person": person or who(context), "reference": reference, "date": on, "note": note}
    move(context, "complete change", change_input(job, change, facts, attach))


@record.command("notice")
def record_notice(
    context: typer.Context,
    job: Job,
    change: Number,
    aware_on: Annotated[
        Text, typer.Option("--aware-on", help="the day the yard became aware of it")
    ] = None,
    on: Annotated[
        Text, typer.Option("--date", help="the day it was sent; today if left out")
    ] = None,
    received_on: Annotated[Text, typer.Option("--received-on")] = None,
    document: Annotated[Text, typer.Option("--document", help="the notice by its name")] = None,
    person: Person = None,
    reference: Reference = None,
    note: Note = None,
    attach: Attach = None,
) -> None:
    """Record a notice sent to the owner; only a recorded notice stops a notice limit.

    What a notice has to say and by when it must arrive is a matter of the contract.

    Example: fairhours record notice --job FERRY CR4 --aware-on 2026-06-01 --document "letter 9"
    """
    facts = {"aware_on": aware_on, "date": on, "received_on": received_on, "document": document}
    facts |= {"person": person or who(context), "reference": reference, "note": note}
    questions = (Question("aware_on", "--aware-on", "became aware on"),)
    move(context, "record notice", change_input(job, change, facts, attach), questions)


@save.command("attachment")
def save_attachment(
    context: typer.Context,
    attachment: Annotated[str, typer.Argument(help="its id, attachment:13.1")],
    out: Annotated[Path, typer.Option("--out", help="the file to write")],
) -> None:
    """Write a file that was attached to a change; `show change` lists the ids.

    Example: fairhours save attachment attachment:13.1 --out letter.pdf
    """
    from ledger.commands.attachments import save_attachment as hand_out

    count = hand_out(to_read(context), attachment, out)
    say(f"{out}: {counted(count, 'byte', 'bytes')}")


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(request, name="request")
    app.add_typer(enter, name="enter")
    app.add_typer(submit, name="submit")
    app.add_typer(accept, name="accept")
    app.add_typer(complete, name="complete")
    app.add_typer(record, name="record")
    app.add_typer(save, name="save")
