"""The labour journal at cost rates, by posting period."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.commands.access import ReadAccess
from ledger.commands.as_json import Json, known_at
from ledger.domain.allocation import hours_of
from ledger.domain.journal import JournalLine
from ledger.outcomes import Outcome
from ledger.performance.journal import Journal
from ledger.performance.journal import journal as journal_of
from ledger.store.book import Stamp


@dataclass(frozen=True)
class JournalKnown(Outcome):
    """A labour journal and the stamp it was known at."""

    journal: Journal
    stamp: Stamp


def labour_journal(access: ReadAccess, to: date | None) -> JournalKnown:
    """Return the labour journal of the period that ends on a day; of the open one if left out."""
    with access.reading() as book:
        found = journal_of(book, to)
        upto = found.closing.sequence if found.closing else book.upto
        return JournalKnown(found, book.stamp(upto))


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
