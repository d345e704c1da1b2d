"""Commands about what was issued, what was sent, and what was replied."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.change_options import Text, record
from ledger.cli.context import Day, Format, chosen, day_of, to_read, to_write
from ledger.cli.document_tables import give_documents, give_sendings
from ledger.cli.output import FORMATS, say_all

Document = Annotated[str, typer.Argument(help="its number, FERRY-Q-001")]
OfJob = Annotated[str | None, typer.Option("--job", help="one job only; else all")]


def documents(context: typer.Context, job: OfJob = None, format: Format = "table") -> None:
    """List the documents issued, with their numbers.

    Example: fairhours documents --job FERRY
    """
    from ledger.commands.documents import known_documents

    chosen("--format", format, FORMATS)
    give_documents(known_documents(to_read(context), job), format)


def sendings(
    context: typer.Context,
    job: OfJob = None,
    status_date: Day = None,
    is_open: Annotated[
        bool, typer.Option("--open", help="only those that wait for a reply, overdue ones first")
    ] = False,
    format: Format = "table",
) -> None:
    """List what was sent, to whom and how, with replies due, overdue and received.

    Example: fairhours sendings --job FERRY --open
    """
    from ledger.commands.documents import known_sendings

    chosen("--format", format, FORMATS)
    known = known_sendings(to_read(context), job, day_of(status_date))
    give_sendings(known, format, is_open=is_open)


@record.command("sending")
def record_sending(
    context: typer.Context,
    document: Document,
    to: Annotated[str, typer.Option("--to", help="the person it went to")],
    by: Annotated[str, typer.Option("--by", help="email, post, courier, by_hand or portal")],
    on: Annotated[Text, typer.Option("--date", help="the day; today if left out")] = None,
    reply_by: Annotated[
        Text, typer.Option("--reply-by", help="reply due; else by the contract's days (settings)")
    ] = None,
    note: Annotated[Text, typer.Option("--note", help="for the yard alone")] = None,
) -> None:
    """Record that a document was sent.

    Which days count and when a letter has arrived is a matter of the contract and of local law.

    Example: fairhours record sending FERRY-Q-001 --to "Jo Lind" --by email
    """
    from ledger.cli.wording.documents import sending_lines
    from ledger.commands import documents as commands

    typed = {"to": to, "by": by, "date": on, "reply_by": reply_by, "note": note}
    facts = {name: text for name, text in typed.items() if text is not None}
    say_all(sending_lines(commands.record_sending(to_write(context), document, facts)))


@record.command("reply")
def record_reply(
    context: typer.Context,
    document: Document,
    person: Annotated[str, typer.Option("--person", help="who replied")],
    on: Annotated[Text, typer.Option("--date", help="the day; today if left out")] = None,
    answer: Annotated[Text, typer.Option("--answer", help="what was replied, in words")] = None,
    sending: Annotated[
        Text, typer.Option("--sending", help="which sending; the last one open if left out")
    ] = None,
    attach: Annotated[
        Path | None, typer.Option("--attach", help="the reply itself: a scan, a mail")
    ] = None,
) -> None:
    """Record a reply to a document that was sent, with its file.

    It decides nothing: record the owner's answer by `approve change` and the like.

    Example: fairhours record reply FERRY-Q-001 --person "Jo Lind" --attach scan.pdf
    """
    from ledger.cli.wording.documents import reply_lines
    from ledger.commands import documents as commands

    typed = {"person": person, "date": on, "answer": answer, "sending": sending}
    facts = {name: text for name, text in typed.items() if text is not None}
    say_all(reply_lines(commands.record_reply(to_write(context), document, facts, attach)))


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program; those of `record` are added with its group."""
    app.command()(documents)
    app.command()(sendings)
