"""Signing off hours paid and booked as they stand, and what is to be looked at before a close."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from ledger.errors import Refused, Remedy
from ledger.inputs.small_files import columns_of
from ledger.jobs.periods import closing_of
from ledger.outcomes import Outcome
from ledger.payroll.closed_rows import differing
from ledger.payroll.reconciliation import PayRow, reconciled
from ledger.store.batches import Batch
from ledger.store.book import Book


@dataclass(frozen=True)
class SignedOff(Outcome):
    """Rows signed off; of these, waived with a reason; signed before; left without a reason.

    Of the rows waived, those `unpaid` are explained, and booked without pay; those `unsheeted` are
    paid without a sheet; those `waiting` are settled, if the next pay has their hours. Rows of a
    closed period that stay as they were closed are counted by `as_closed`.
    """

    signed: int
    waived: int
    unpaid: int
    unsheeted: int
    waiting: int
    as_before: int
    as_closed: int
    left: tuple[PayRow, ...]


@dataclass(frozen=True)
class OffAsked:
    """The periods that end from a day to another, of one worker or all; a reason waives hours."""

    start: date
    end: date
    worker: str | None
    reason: str | None


def sign_off(book: Book, batch: Batch, asked: OffAsked) -> SignedOff:
    """Keep that a person signed rows off, as they stand: those explained, with a reason all.

    A row that waits for pay is explained by what has not come yet: it is left like an open one.
    Of a closed period only those that are not as they were closed: the others read as closed.
    Raises: Refused when there is nothing to sign off.
    """
    every = reconciled(book, asked.start, asked.end)
    asked_rows = [row for row in every if asked.worker in (None, row.worker_id)]
    if not asked_rows:
        raise Refused("sign_off_nothing", start=asked.start, end=asked.end)
    rows = _not_as_closed(book, asked, asked_rows)
    fresh = [row for row in rows if not row.is_signed]
    signed = [row for row in fresh if row.is_settled and not row.waits]
    unsettled = [row for row in fresh if not row.is_settled or row.waits]
    waived = unsettled if asked.reason else []
    _keep(batch, signed, None)
    _keep(batch, waived, asked.reason)
    named = [row.owed_ms for row in waived if not row.unexplained_ms]
    return SignedOff(
        signed=len(signed) + len(waived),
        waived=len(waived),
        unpaid=sum(ms < 0 for ms in named),
        unsheeted=sum(ms > 0 for ms in named),
        waiting=sum(row.waits for row in waived),
        as_before=len(rows) - len(fresh),
        as_closed=len(asked_rows) - len(rows),
        left=() if asked.reason else tuple(unsettled),
    )


def _not_as_closed(book: Book, asked: OffAsked, asked_rows: list[PayRow]) -> list[PayRow]:
    """Return the rows that can be signed off: of a closed period those that changed and are open.

    Raises: Refused when all are as they were closed: nothing would show a signature.
    """
    closing = closing_of(book, asked.end)
    if closing is None:
        return asked_rows
    live = [row for row in asked_rows if row.is_open or row.waits]
    rows = differing(book, closing, (asked.start, asked.end), live)
    if not rows:
        closed_to, remedy = closing.closed_to, Remedy("reopen_period")
        raise Refused("sign_off_closed", end=asked.end, closed_to=closed_to, remedy=remedy)
    return rows


def _keep(batch: Batch, rows: Iterable[PayRow], reason: str | None) -> None:
    kept = [
        {
            "worker_id": row.worker_id,
            "supplier": None if row.worker_id else row.supplier,
            "period_start": row.period_start,
            "period_end": row.period_end,
            "kind": row.kind,
            "against": row.against,
            "paid_ms": row.paid_ms,
            "booked_ms": row.booked_ms,
            "reason": reason,
        }
        for row in rows
    ]
    batch.append("sign_off", columns_of(kept))
