"""The account of a job on paper, from the book."""

from datetime import date
from decimal import Decimal

from ledger.billing.account import Account, account
from ledger.domain.pricing import NOTHING
from ledger.jobs.jobs import job_card
from ledger.reports.commands_named import NONE, Commands, Remade
from ledger.reports.identity import stamp_of, yard_of
from ledger.reports.yard.account import (
    AccountPage,
    DisallowedRow,
    InvoiceRow,
    MoveRow,
    Named,
    RetentionRow,
)
from ledger.store.book import Book


def build_account(book: Book, job: str, day: date, commands: Commands = NONE) -> AccountPage:
    """Return the account of a job by a day.

    Raises: Refused when there is no such job, or an approved change cannot be priced.
    """
    to_date, card, stamp = account(book, job, day), job_card(book, job), stamp_of(book)
    return AccountPage(
        yard=yard_of(book),
        job=job,
        title=card.title,
        owner=book.records("owner/job", job=job)[0]["owner"] or "",
        currency=to_date.claimable.currency,
        day=day,
        known_at=stamp,
        remade_by=commands.makes(Remade("account", stamp.sequence, day, job)),
        rehearsal=book.rehearsal,
        net=_named(_net(to_date)),
        taxed=_named(_taxed(to_date)),
        invoices=tuple(
            InvoiceRow(
                *(each.document, each.issued_on, each.due_on, each.invoiced, each.credited),
                *(each.paid, each.accepted, each.outstanding, each.disputed),
                each.days_overdue(day),
            )
            for each in to_date.balances
        ),
        aged=to_date.aged,
        moves=tuple(
            MoveRow(e.day, e.entry, e.document, e.reference, e.amount, e.balance)
            for e in to_date.statement
        ),
        retention=tuple(
            RetentionRow(e.claim, e.day, e.value, e.kept, e.released, e.held)
            for e in to_date.retention
        ),
        disallowed=tuple(
            DisallowedRow(each.item, each.why, each.amount or NOTHING)
            for each in to_date.disallowed
        ),
    )


def _named(amounts: dict[str, Decimal]) -> tuple[Named, ...]:
    return tuple(Named(name, amount) for name, amount in amounts.items())


def _net(to_date: Account) -> dict[str, Decimal]:
    """Return what is without tax: the contract's sums, then what is claimed of them."""
    sums, claimed = to_date.sums, to_date.claimable.sums
    return {
        "original_sum": sums.original,
        "approved": sums.approved,
        "omissions": sums.omitted,
        "daywork_movement": sums.daywork_movement,
        "adjusted_sum": sums.adjusted,
        "value_to_date": claimed.value_to_date,
        "retention_held": claimed.retention_held,
        "advance_recovered": claimed.advance_recovered,
        "net_to_date": claimed.net_to_date,
        "certified_to_date": claimed.before,
        "to_be_credited": to_date.claimable.to_be_credited,
    }


def _taxed(to_date: Account) -> dict[str, Decimal]:
    """Return what is with tax."""
    return {
        "invoiced_to_date": to_date.invoiced,
        "credited_to_date": to_date.credited,
        "paid_to_date": to_date.paid,
        "deductions_accepted": to_date.deducted,
        "outstanding": to_date.outstanding,
    }
