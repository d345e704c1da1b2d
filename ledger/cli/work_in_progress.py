"""The command that shows work in progress of a job, for its accountant."""

from decimal import Decimal
from typing import TYPE_CHECKING

import typer

from ledger.cli.claims import To
from ledger.cli.context import Format, Job, chosen, day_of, to_read
from ledger.cli.figures import say_closed
from ledger.cli.output import FORMATS, as_csv, give, say, to_json

if TYPE_CHECKING:
    from ledger.commands.work_in_progress import WorkInProgressKnown

CAUTION = (
    "Cost to cost, without tax. Whether a contract is accounted for in this way, and what counts "
    "as cost, is for the accounting rules that apply; take advice."
)
WORDS = {
    "adjusted_sum": "adjusted sum, approved variations only",
    "labour_cost_to_date": "labour cost to date",
    "job_costs_to_date": "job costs to date",
    "cost_to_date": "cost to date",
    "cost_to_come": "cost to come",
    "cost_total": "cost in all",
    "uninstalled": "of it bought and not installed",
    "revenue_to_date": "earned to date",
    "expected_loss_to_come": "less the rest of an expected loss",
    "unapproved_cost": "less cost of changes not approved",
    "profit_to_date": "profit to date",
    "expected_profit": "expected profit of the contract",
    "billed_to_date": "billed to date",
    "under_billed": "under-billed",
    "over_billed": "over-billed",
}


def work_in_progress(
    context: typer.Context, job: Job, to: To = None, format: Format = "table"
) -> None:
    """Show what is earned of a job's price by its cost, and what is billed over or under that.

    Cost to cost, from labour cost and job-costs; materials not yet installed count at their cost.
    Changes that are not approved raise no revenue; an expected loss is taken at once.

    Example: fairhours work-in-progress --job FERRY --to 2026-05-31
    """
    from ledger.commands.work_in_progress import work_in_progress as known_work
    from ledger.commands.work_in_progress import work_in_progress_json

    chosen("--format", format, FORMATS)
    known = known_work(to_read(context), job, day_of(to, "--to"))
    if format == "json":
        give(to_json(work_in_progress_json(known)))
    else:
        say_closed(known.closed_to, known.stamp)
        _give_table(known, format)


def _give_table(known: "WorkInProgressKnown", format: str) -> None:
    from ledger.cli.tables import as_table
    from ledger.commands.work_in_progress import in_progress_amounts
    from ledger.domain.allocation import to_places

    in_progress, amounts = known.in_progress, in_progress_amounts(known)
    percent = to_places(in_progress.work.share * 100, 2)
    if format == "csv":
        every = {**amounts, "percent_complete": to_places(in_progress.work.share * 100, 4)}
        give(as_csv(("name", "amount"), [list(each) for each in every.items()]))
        return
    say(f"{in_progress.job} to {in_progress.day}, {in_progress.currency}".rstrip(" ,"))
    give(as_table(("", "amount"), list(_shown(amounts))))
    give(f"\n{percent} % of the cost is spent, without what is not installed")
    give(CAUTION)


def _shown(amounts: dict[str, Decimal]) -> list[list[object]]:
    """Return the rows for people: what is taken off is below 0."""
    less = {"expected_loss_to_come", "unapproved_cost"}
    return [[WORDS[n], -amount if n in less else amount] for n, amount in amounts.items()]


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command("work-in-progress")(work_in_progress)
