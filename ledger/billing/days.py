"""The day that figures of claims and money are of, where none is given."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date

from ledger.documents.invoices import invoices_of
from ledger.documents.issued_claims import claims_of
from ledger.documents.payments import payments_of
from ledger.errors import Refused, Remedy
from ledger.performance.change_list import changes_day
from ledger.store.book import Book


@contextmanager
def asked_by_to(job: str) -> Iterator[None]:
    """Have what is refused for want of a day say the option that these commands take."""
    try:
        yield
    except Refused as error:
        if error.kind != "status_date_missing":
            raise
        raise Refused("status_date_missing", job=job, remedy=Remedy("to_day")) from None


def claims_day(book: Book, job: str, day: date | None) -> date:
    """Return the day given, else the usual one of changes.

    Raises: Refused as `changes_day` does.
    """
    with asked_by_to(job):
        return changes_day(book, job, day)


def money_day(book: Book, job: str, day: date | None) -> date:
    """Return the day given, else the usual one of changes or that of the newest money if later.

    Money is a claim, an invoice, a credit note or a payment. Raises: Refused when there is no such
    job, or no day to be told.
    """
    newest = [each.day for each in claims_of(book, job)]
    newest += [each.issued_on for each in invoices_of(book, job)]
    newest += [each.day for each in payments_of(book, job)]
    try:
        usual = claims_day(book, job, day)
    except Refused as error:
        if error.kind != "status_date_missing" or not newest:
            raise
        return max(newest)
    return day or max([usual, *newest])
