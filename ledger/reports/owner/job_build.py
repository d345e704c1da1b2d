"""A job on one page for its owner, from the book: its statement, and what was billed."""

from dataclasses import replace
from datetime import date

from ledger.billing.account import Billed, billed
from ledger.domain.pricing import NOTHING
from ledger.domain.receivables import overdue
from ledger.reports.commands_named import NONE, Commands, Remade
from ledger.reports.owner.build import build
from ledger.reports.owner.job_view import InvoiceStands, JobAccount, OwnerJob
from ledger.reports.owner.job_wording import CAUTION
from ledger.store.book import Book


def build_job(
    book: Book, job: str, status_date: date | None, commands: Commands = NONE
) -> OwnerJob:
    """Return a job as its owner may see it on a day.

    Raises: Refused as `build` does.
    """
    statement = build(book, job, status_date)
    day, known_at = statement.status_date, statement.known_at.sequence
    remade_by = commands.makes(Remade("job", known_at, day, job))
    return OwnerJob(
        replace(statement, remade_by=remade_by, caution=CAUTION),
        job_account(billed(book, job, day)),
    )


def job_account(account: Billed) -> JobAccount:
    """Return what of an account is the owner's: documents they have, and what they paid."""
    claims, day = account.claims, account.day
    certified = [each.sums for each in claims if each.sums]
    return JobAccount(
        claimed_to=claims[-1].claim.day if claims else None,
        claimed_value=claims[-1].value if claims else NOTHING,
        certified_value=certified[-1].value_to_date if certified else NOTHING,
        held_back=certified[-1].retention_held if certified else NOTHING,
        invoiced_to_date=account.invoiced,
        credited_to_date=account.credited,
        paid_to_date=account.paid,
        deductions_accepted=account.deducted,
        outstanding=account.outstanding,
        overdue=overdue(account.aged),
        disputed=account.disputed,
        invoices=tuple(
            InvoiceStands(
                *(each.document, each.issued_on, each.due_on, each.invoiced, each.credited),
                *(each.paid, each.accepted, each.outstanding, each.days_overdue(day)),
            )
            for each in account.balances
        ),
    )
