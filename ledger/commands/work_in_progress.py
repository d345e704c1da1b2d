"""Work in progress of a job, as known now or as its period was closed."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.billing.days import asked_by_to
from ledger.billing.work_in_progress import JobInProgress
from ledger.billing.work_in_progress import work_in_progress as work_in_progress_of
from ledger.commands.access import ReadAccess
from ledger.commands.as_json import Json, known_at
from ledger.commands.changes_as_json import money
from ledger.domain.allocation import to_places
from ledger.domain.codes import code_of
from ledger.outcomes import Outcome
from ledger.performance.status_dates import status_date_of
from ledger.store.book import Stamp


@dataclass(frozen=True)
class WorkInProgressKnown(Outcome):
    """Work in progress, the batch it is known at, and the end of its period if closed."""

    in_progress: JobInProgress
    stamp: Stamp
    closed_to: date | None


def work_in_progress(access: ReadAccess, job: str, to: date | None) -> WorkInProgressKnown:
    """Return what a job has earned by a day by its cost, and what was billed of it.

    Raises: Refused when it is paid by the hour, has no costs beside its hours, or a cost or price
    is not defined.
    """
    code = code_of(job)
    with access.reading() as book:
        with asked_by_to(code):
            day = status_date_of(book, code, to)
        closed_to = access.as_closed(book, code, day)
        return WorkInProgressKnown(work_in_progress_of(book, code, day), book.stamp(), closed_to)


def in_progress_amounts(known: WorkInProgressKnown) -> dict[str, Decimal]:
    """Return the amounts of work in progress by their names, in order."""
    work = known.in_progress.work
    return {
        "adjusted_sum": work.price,
        "labour_cost_to_date": work.labour,
        "job_costs_to_date": work.other,
        "cost_to_date": work.cost_to_date,
        "cost_to_come": work.cost_to_come,
        "cost_total": work.cost_total,
        "uninstalled": work.uninstalled,
        "revenue_to_date": work.revenue,
        "expected_loss_to_come": work.loss_to_come,
        "unapproved_cost": work.unapproved,
        "profit_to_date": work.profit,
        "expected_profit": work.expected_profit,
        "billed_to_date": work.billed,
        "under_billed": work.under_billed,
        "over_billed": work.over_billed,
    }


def work_in_progress_json(known: WorkInProgressKnown) -> Json:
    """Return work in progress for machines: money and percent of 4 places, costs by kind."""
    in_progress = known.in_progress
    return {
        "job": in_progress.job,
        "to": in_progress.day,
        "currency": in_progress.currency,
        "percent_complete": to_places(in_progress.work.share * 100, 4),
        **{name: money(amount) for name, amount in in_progress_amounts(known).items()},
        "costs": [
            {
                "cost_kind": each.kind,
                "spent": money(each.spent),
                "to_come": money(each.to_come),
                "uninstalled": money(each.uninstalled),
            }
            for each in in_progress.work.costs
        ],
        "known_at": known_at(known.stamp),
        "closed_to": known.closed_to,
    }
