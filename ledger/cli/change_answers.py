"""Commands that record what the owner says of changes: answers, orders, days and values."""

from typing import Annotated

import typer

from ledger.cli.asking import Question
from ledger.cli.change_options import (
    WHO,
    WHY,
    Attach,
    Capped,
    Granted,
    Note,
    Number,
    On,
    Person,
    Reference,
    Revision,
    Text,
    change_input,
    flag,
    move,
    record,
)
from ledger.cli.context import Job
from ledger.cli.corrections import confirm, group
from ledger.cli.withdrawals import withdraw

approve = group("Record the owner's yes.")
decline = group("Record the owner's no.")
dispute = group("Record that the owner disputes a price.")
instruct = group("Record an order to carry out work.")
deny = group("Record that an instruction is denied.")
stop = group("Record that the work on a change is stopped.")
decide = group("Record the days granted.")
agree = group("Record the value agreed for daywork, or the final account.")


@approve.command("change")
def approve_change(
    context: typer.Context,
    job: Job,
    change: Number,
    person: Person = None,
    reference: Reference = None,
    on: On = None,
    revision: Revision = None,
    days_granted: Granted = None,
    not_to_exceed: Capped = False,
    note: Note = None,
    attach: Attach = None,
) -> None:
    """Record that the owner approved a price as it was sent; its hours enter the baseline.

    Refused without a reference, or from a person not listed for that sum. A partial or conditional
    acceptance, or one of a lapsed price, is a counter-offer.

    Example: fairhours approve change --job FERRY CR4 --person Jo --reference "letter of 5 June"
    """
    facts = {"person": person, "reference": reference, "date": on, "revision": revision}
    facts |= {"days_granted": days_granted, "note": note} | flag("not_to_exceed", not_to_exceed)
    move(context, "approve change", change_input(job, change, facts, attach), (WHO, WHY))


@decline.command("change")
def decline_change(
    context: typer.Context,
    job: Job,
    change: Number,
    person: Person = None,
    reference: Reference = None,
    on: On = None,
    revision: Revision = None,
    note: Note = None,
    attach: Attach = None,
) -> None:
    """Record that the owner declined; an instruction stands until it is stopped.

    Example: fairhours decline change --job FERRY CR4 --person Jo
    """
    facts = {"person": person, "reference": reference, "date": on, "revision": revision}
    facts |= {"note": note}
    move(context, "decline change", change_input(job, change, facts, attach), (WHO,))


@dispute.command("price")
def dispute_price(
    context: typer.Context,
    job: Job,
    change: Number,
    person: Person = None,
    reference: Reference = None,
    on: On = None,
    revision: Revision = None,
    note: Note = None,
    attach: Attach = None,
) -> None:
    """Record that the owner disputes a price that was sent.

    Example: fairhours dispute price --job FERRY CR4 --person Jo --reference "mail of 5 June"
    """
    facts = {"person": person, "reference": reference, "date": on, "revision": revision}
    facts |= {"note": note}
    move(context, "dispute price", change_input(job, change, facts, attach), (WHO,))


@record.command("counter-offer")
def record_counter_offer(
    context: typer.Context,
    job: Job,
    change: Number,
    condition: Annotated[Text, typer.Option("--condition", help="what the yes depends on")] = None,
    person: Person = None,
    reference: Reference = None,
    on: On = None,
    revision: Revision = None,
    days_granted: Granted = None,
    not_to_exceed: Capped = False,
    note: Note = None,
    attach: Attach = None,
) -> None:
    """Record the owner's counter-offer: a partial, conditional or late acceptance.

    It changes no sum until the yard accepts it.

    Example: fairhours record counter-offer --job FERRY CR4 --person Jo --condition "in oak"
    """
    facts = {"condition": condition, "person": person, "reference": reference, "date": on}
    facts |= {"revision": revision, "days_granted": days_granted, "note": note}
    facts |= flag("not_to_exceed", not_to_exceed)
    move(context, "record counter-offer", change_input(job, change, facts, attach), (WHO,))


@decide.command("time")
def decide_time(
    context: typer.Context,
    job: Job,
    change: Number,
    days: Annotated[Text, typer.Option("--days", help="days granted, 0 for none")] = None,
    person: Person = None,
    reference: Reference = None,
    on: On = None,
    note: Note = None,
    attach: Attach = None,
) -> None:
    """Record the days granted for a change, apart from its price; the latest decision counts.

    Example: fairhours decide time --job FERRY CR4 --days 5 --person Jo
    """
    facts = {"days_granted": days, "person": person, "reference": reference, "date": on}
    facts |= {"note": note}
    questions = (Question("days_granted", "--days", "days granted (0 for none)"), WHO)
    move(context, "decide time", change_input(job, change, facts, attach), questions)


@agree.command("value")
def agree_value(
    context: typer.Context,
    job: Job,
    change: Number,
    amount: Annotated[Text, typer.Option("--amount", help="the value agreed, net")] = None,
    hours: Annotated[Text, typer.Option("--hours", help="the hours agreed, if any")] = None,
    person: Person = None,
    reference: Reference = None,
    on: On = None,
    note: Note = None,
    attach: Attach = None,
) -> None:
    """Record the value agreed for approved daywork; it replaces the estimate.

    Example: fairhours agree value --job FERRY CR4 --amount 1840.00 --hours 31.5 --person Jo
    """
    facts = {"agreed_value": amount, "agreed_hours": hours, "person": person, "date": on}
    facts |= {"reference": reference, "note": note}
    questions = (Question("agreed_value", "--amount", "value agreed, net"), WHO)
    move(context, "agree value", change_input(job, change, facts, attach), questions)


# The commands that say no more of a change than who, when, by which letter and why.
PLAIN = (
    (
        withdraw,
        "withdraw change",
        """
        Record that a request was withdrawn before its price was approved.

        Example: fairhours withdraw change --job FERRY CR4 --person Jo
        """,
    ),
    (
        instruct,
        "instruct change",
        """
        Record an instruction, verbal or written, whoever gave it; no price is needed.

        From a person not listed, or above their limit, it counts only once confirmed.

        Example: fairhours instruct change --job FERRY CR4 --person Jo --note "by telephone"
        """,
    ),
    (
        confirm,
        "confirm instruction",
        """
        Record that a listed person confirmed an instruction; it counts from that day.

        Example: fairhours confirm instruction --job FERRY CR4 --person Jo
        """,
    ),
    (
        deny,
        "deny instruction",
        """
        Record that a listed person denied an instruction; it never counts.

        Example: fairhours deny instruction --job FERRY CR4 --person Jo --reference "mail of 5 June"
        """,
    ),
    (
        stop,
        "stop change",
        """
        Record that instructed or approved work was stopped; hours not earned leave the baseline.

        Example: fairhours stop change --job FERRY CR4 --person Jo --reference "site note 12"
        """,
    ),
)


def _add_plain(group_of: typer.Typer, command: str, help_text: str) -> None:
    """Add a command that records who said what it says, and when."""

    def record(
        context: typer.Context,
        job: Job,
        change: Number,
        person: Person = None,
        reference: Reference = None,
        on: On = None,
        note: Note = None,
        attach: Attach = None,
    ) -> None:
        facts = {"person": person, "reference": reference, "date": on, "note": note}
        move(context, command, change_input(job, change, facts, attach), (WHO,))

    group_of.command(command.split()[1], help=help_text)(record)


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    for each in PLAIN:
        _add_plain(*each)
    app.add_typer(approve, name="approve")
    app.add_typer(decline, name="decline")
    app.add_typer(dispute, name="dispute")
    app.add_typer(instruct, name="instruct")
    app.add_typer(deny, name="deny")
    app.add_typer(stop, name="stop")
    app.add_typer(decide, name="decide")
    app.add_typer(agree, name="agree")
