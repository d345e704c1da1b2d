"""Quotes of changes: what they would cost, charge, take and delay. Nothing is written."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from ledger.commands.access import ReadAccess
from ledger.domain.codes import code_of
from ledger.errors import Refused
from ledger.inputs.change_entry import change_unknown
from ledger.inputs.quote_files import read_lines
from ledger.jobs.jobs import job_card
from ledger.outcomes import Outcome
from ledger.performance.change_list import changes_day
from ledger.performance.quotes import Quote, QuoteAsked, Quoting
from ledger.store.book import Book, Stamp


@dataclass(frozen=True)
class QuotesCompared(Outcome):
    """Quotes side by side, on a day; `pace` is the first and the last day it was taken from."""

    job: str
    status_date: date
    currency: str
    pace: tuple[date, date]
    quotes: tuple[Quote, ...]
    stamp: Stamp


@dataclass(frozen=True)
class ToQuote:
    """What is to be quoted: a change of the job, files of lines, and how new ones are paid for."""

    job: str
    change: str | None
    files: Sequence[Path]
    basis: str = "fixed_price"
    status_date: date | None = None


def quote_change(access: ReadAccess, wanted: ToQuote) -> QuotesCompared:
    """Return quotes of a change as it is priced, and of each file of lines.

    Raises: Refused when there is no such job or change, or nothing to quote; Faults of a file.
    """
    job = code_of(wanted.job)
    with access.reading() as book:
        job_card(book, job)
        day = _day(book, job, wanted.status_date)
        quoting = Quoting(book, job, day)
        asked = list(_asked(quoting, wanted))
        if not asked:
            raise Refused("nothing_to_quote", job=job)
        return QuotesCompared(
            job,
            day,
            book.setting("yard.currency", ""),
            quoting.span,
            quoting.quotes(asked),
            book.stamp(),
        )


def _day(book: Book, job: str, day: date | None) -> date:
    """Return the day given, else that of the list of changes, else the job's planned start."""
    try:
        return changes_day(book, job, day)
    except Refused:
        return job_card(book, job).planned_start


def _asked(quoting: Quoting, wanted: ToQuote) -> Iterator[QuoteAsked]:
    code = code_of(wanted.change or "")
    if code:
        if code not in quoting.changes:
            raise change_unknown(quoting.job, wanted.change or "")
        if quoting.changes[code].lines or not wanted.files:
            yield QuoteAsked(code, code)
    for path in wanted.files:
        read = read_lines(quoting.book, quoting.job, path)
        yield QuoteAsked(read.name, read.change or code or None, read.rows, wanted.basis)
