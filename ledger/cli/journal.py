"""The labour journal, for the accountant."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from ledger.cli.context import Format, chosen, day_of, to_read
from ledger.cli.output import FORMATS, as_csv, give, hours_in_format, say, to_json
from ledger.cli.tables import as_table, title_of

if TYPE_CHECKING:
    from ledger.domain.journal import JournalLine

HEAD = ("account", "what", "job", "cause", "worked", "hours", "debit", "credit")
WHAT = {
    "work_in_progress": "work in progress",
    "overhead": "overhead",
    "absence": "absence",
    "untagged": "untagged",
    "overtime_premium": "overtime premium",
    "labour_recovered": "labour recovered",
}


def journal(
    context: typer.Context,
    to: Annotated[
        str | None, typer.Option("--to", help="the last day of the period; else the open one's")
    ] = None,
    format: Format = "table",
) -> None:
    """Show the labour journal of a period at cost rates: jobs, overhead and absence against labour.

    Debits equal credits. A closed period is as it was closed; hours of it that came in later are
    in the next one, as late. Wages are not posted here.

    Example: fairhours journal --to 2026-03-31 --format csv
    """
    from ledger.commands.journal import journal_json, labour_journal

    chosen("--format", format, FORMATS)
    known = labour_journal(to_read(context), day_of(to, "--to"))
    if format == "json":
        give(to_json(journal_json(known)))
        return
    period = known.journal
    rows = [_row(each, format) for each in period.lines]
    if format == "csv":
        give(as_csv(HEAD, rows))
        return
    debit, credit = (sum(row[at] for row in rows) for at in (-2, -1))
    state = "closed" if period.closing else "open"
    since = f"after {period.after}, " if period.after else ""
    say(f"{since}to {period.to}, {state}; {period.currency}, record stamp {known.stamp.sequence}")
    give(as_table(HEAD, [*rows, ["", "total", None, None, None, None, debit, credit]]))


def _row(each: "JournalLine", format: str) -> list[Any]:
    hours = hours_in_format(each.ms, format)
    worked = "earlier" if each.is_late else "in the period"
    if each.kind == "labour_recovered":
        worked = ""
    what = WHAT[each.kind] if format == "table" else each.kind
    return [each.account, what, each.job, each.cause, worked, hours, each.debit, each.credit]


UNPAID = ("worker_id", "supplier", "kind", "late", "first_day", "last_day", "hours", "cost")


def accruals(
    context: typer.Context,
    to: Annotated[
        str | None, typer.Option("--to", help="the last day of the period; else the open one's")
    ] = None,
    format: Format = "table",
) -> None:
    """List hours worked and unpaid at the end of a period, by worker, with their cost.

    Unpaid is what no pay period that has ended by then holds; late is what came after its pay. Who
    is paid by contract is left out.
    What is owed is for the payroll: the cost is at cost rates.

    Example: fairhours accruals --to 2026-03-31
    """
    from ledger.commands.journal import accruals_json, unpaid_work

    chosen("--format", format, FORMATS)
    known = unpaid_work(to_read(context), day_of(to, "--to"))
    if format == "json":
        give(to_json(accruals_json(known)))
        return
    unpaid = known.accruals
    rows: list[list[Any]] = [
        [
            *(each.worker_id, each.supplier, each.kind, "yes" if each.is_late else ""),
            *(each.first_day, each.last_day),
            *(hours_in_format(each.ms, format), each.cost),
            *([each.premium] if unpaid.has_premium else []),
        ]
        for each in unpaid.rows
    ]
    head = (*UNPAID, "premium") if unpaid.has_premium else UNPAID
    if format == "csv":
        give(as_csv(head, rows))
        return
    rows = [[worker, supplier, title_of(kind), *more] for worker, supplier, kind, *more in rows]
    state = "closed" if unpaid.closing else "open"
    say(f"to {unpaid.to}, {state}; {unpaid.currency}, record stamp {known.stamp.sequence}")
    hours = hours_in_format(sum(each.ms for each in unpaid.rows), format)
    total = ["total", None, None, None, None, None, hours, unpaid.cost]
    give(as_table(head, [*rows, [*total, *([unpaid.premium] if unpaid.has_premium else [])]]))


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.command()(journal)
    app.command()(accruals)
