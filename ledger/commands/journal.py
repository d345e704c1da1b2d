"""The labour journal at cost rates, by posting period, and what is unpaid at its end."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.commands.access import ReadAccess
from ledger.commands.as_json import Json, known_at
from ledger.domain.allocation import hours_of
from ledger.domain.journal import JournalLine
from ledger.outcomes import Outcome
from ledger.payroll.accruals import Accruals
from ledger.payroll.accruals import accruals as accruals_of
from ledger.performance.journal import Journal
from ledger.performance.journal import journal as journal_of
from ledger.store.book import Stamp


@dataclass(frozen=True)
class JournalKnown(Outcome):
    """A labour journal and the stamp it was known at."""

    journal: Journal
    stamp: Stamp


@dataclass(frozen=True)
class AccrualsKnown(Outcome):
    """What is worked and unpaid, and the stamp it was known at."""

    accruals: Accruals
    stamp: Stamp


def unpaid_work(access: ReadAccess, to: date | None) -> AccrualsKnown:
    """Return what is worked and unpaid at the end of a posting period; of the open one by now."""
    with access.reading() as book:
        accruals = accruals_of(book, to)
        upto = accruals.closing.sequence if accruals.closing else book.upto
        return AccrualsKnown(accruals, book.stamp(upto))


def accruals_json(known: AccrualsKnown) -> Json:
    """Return what is worked and unpaid by worker; a cost without a rate is null."""
    accruals = known.accruals
    return {
        "to": accruals.to,
        "state": "closed" if accruals.closing else "open",
        "currency": accruals.currency,
        "rows": [
            {
                "worker_id": each.worker_id,
                "supplier": each.supplier,
                "kind": each.kind,
                "is_late": each.is_late,
                "first_day": each.first_day,
                "last_day": each.last_day,
                "hours": hours_of(each.ms, 4),
                "cost": each.cost,
                **({"premium": each.premium} if accruals.has_premium else {}),
            }
            for each in accruals.rows
        ],
        "hours": hours_of(sum(each.ms for each in accruals.rows), 4),
        "cost": accruals.cost,
        **({"premium": accruals.premium} if accruals.has_premium else {}),
        "known_at": known_at(known.stamp),
    }


def labour_journal(access: ReadAccess, to: date | None) -> JournalKnown:
    """Return the labour journal of the period that ends on a day; of the open one if left out."""
    with access.reading() as book:
        journal = journal_of(book, to)
        upto = journal.closing.sequence if journal.closing else book.upto
        return JournalKnown(journal, book.stamp(upto))


def journal_json(known: JournalKnown) -> Json:
    """Return the journal with its lines and sums; hours of four places, money as rounded."""
    journal = known.journal
    return {
        "after": journal.after,
        "to": journal.to,
        "state": "closed" if journal.closing else "open",
        "currency": journal.currency,
        "lines": [_line(each) for each in journal.lines],
        "debit": sum((each.debit for each in journal.lines), Decimal(0)),
        "credit": sum((each.credit for each in journal.lines), Decimal(0)),
        "known_at": known_at(known.stamp),
    }


def _line(each: JournalLine) -> Json:
    return {
        "account": each.account,
        "kind": each.kind,
        "job": each.job,
        "cause": each.cause,
        "is_late": each.is_late,
        "hours": hours_of(each.ms, 4),
        "debit": each.debit,
        "credit": each.credit,
    }
