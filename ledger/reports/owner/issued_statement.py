"""The owner's statement as it is issued: with its number, and what moved since the last one."""

from dataclasses import replace

from ledger.documents.issued import documents
from ledger.jobs.periods import closing_of
from ledger.performance.status_dates import status_date_of
from ledger.reports.commands_named import Commands
from ledger.reports.owner.build import LastStatement, build
from ledger.reports.owner.document_ground import DocumentWanted
from ledger.reports.owner.variations import OwnerVariations
from ledger.store.book import Book

KIND = "statement"


def issued_statement(book: Book, wanted: DocumentWanted, commands: Commands) -> OwnerVariations:
    """Return the statement of a status date, of a closed period as it was closed.

    It says what moved since the job's last statement that was issued, if that is of an earlier day.
    Raises: Refused as the report does.
    """
    day = status_date_of(book, wanted.job, wanted.day_to)
    closing = closing_of(book, day)
    known = book.known_by(closing.sequence) if closing else book
    last = _last(book, wanted.job)
    if last is None or last.status_date > day:
        view = build(known, wanted.job, day, commands)
    else:
        view = build(known, wanted.job, day, commands, last)
    return replace(
        view,
        number=wanted.number or None,
        issued_on=wanted.on if wanted.number else None,
        prepared_by=wanted.prepared_by or None,
    )


def _last(book: Book, job: str) -> LastStatement | None:
    """Return the job's last statement that was issued, as it was known; None before the first."""
    issued = [each for each in documents(book) if (each.kind, each.job) == (KIND, job)]
    if not issued:
        return None
    day, known_at = issued[-1].day_to, issued[-1].known_at
    assert day is not None
    then = closing_of(book.known_by(known_at), day)
    return LastStatement(day, then.sequence if then else known_at)
