"""Rows of closed periods that are not as they were closed, and are open or wait for pay."""

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from ledger.jobs.periods import Closing, closings
from ledger.payroll.reconciliation import PayRow, reconciled, reconciled_in
from ledger.store.book import Book

Period = tuple[date, date]


def changed_since_closed(book: Book, before: date) -> list[PayRow]:
    """Return the rows of periods closed before a day that differ now, and are open or wait.

    So what comes late of a closed period is listed until it is paid, noted or waived; a row waived
    is listed up to the next close.
    """
    closed = [each for each in closings(book) if each.closed_to < before]
    first = book.rows("payroll/first_paid_day")[0][0]
    periods = list(_periods(closed, first)) if first else []
    if not periods:
        return []
    now = [
        row
        for row in reconciled_in(book, [days for _, days in periods])
        if not row.is_settled or row.waits or _is_waived_since(row, closed[-1])
    ]
    return [
        row
        for closing, days in periods
        for row in differing(book, closing, days, _ending(now, days))
    ]


def differing(book: Book, closing: Closing, days: Period, now: list[PayRow]) -> list[PayRow]:
    """Return the rows, of periods that end in some days, that were not the same when closed."""
    if not now:
        return []
    then = reconciled(book.known_by(closing.sequence), *days)
    as_closed = {_hours(row): _standing(row) for row in then}
    return [row for row in now if as_closed.get(_hours(row)) != _standing(row)]


def _hours(row: PayRow) -> tuple[object, ...]:
    """Return whose row it is, and the hours paid and booked."""
    whose = row.worker_id, row.supplier, row.against
    return *whose, row.period_start, row.period_end, row.kind, row.paid_ms, row.booked_ms


def _standing(row: PayRow) -> tuple[int, ...]:
    return row.unexplained_ms, row.owed_ms, row.waiting_ms


def _ending(rows: Iterable[PayRow], days: Period) -> list[PayRow]:
    return [row for row in rows if days[0] <= row.period_end <= days[1]]


def _is_waived_since(row: PayRow, closing: Closing) -> bool:
    when = row.signed_at
    return row.is_open and row.is_settled and when is not None and when >= closing.recorded_at


def _periods(closed: Iterable[Closing], first: date) -> Iterator[tuple[Closing, Period]]:
    """Yield each closed period with its days, from the first day that anybody was paid for."""
    for closing in closed:
        if first <= closing.closed_to:
            yield closing, (first, closing.closed_to)
            first = closing.closed_to + timedelta(days=1)
