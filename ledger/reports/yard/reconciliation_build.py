"""The accountant's report of hours paid and booked, from the book."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date
from zoneinfo import ZoneInfo

from ledger.payroll.closed_rows import changed_since_closed
from ledger.payroll.reconciliation import (
    PayNote,
    PayRow,
    banked_by,
    notes_placed,
    reconciled,
    tolerance_minutes,
)
from ledger.reports.commands_named import NONE, Commands, Remade
from ledger.reports.identity import stamp_of, yard_of
from ledger.reports.yard.reconciliation import (
    Banked,
    DifferenceReason,
    NoteShown,
    PaidRow,
    Reconciliation,
    Signed,
)
from ledger.store.book import Book


@dataclass(frozen=True)
class DaysAsked:
    """The days in which the periods end, and the end of the closed period they lie in."""

    start: date
    end: date
    closed_to: date | None = None


def build_reconciliation(book: Book, asked: DaysAsked, commands: Commands = NONE) -> Reconciliation:
    """Return what was paid and booked in the periods that end in some days.

    Raises: Refused when the last day is before the first.
    """
    changed = changed_since_closed(book, asked.start)
    paid_rows = reconciled(book, asked.start, asked.end)
    notes = notes_placed(book, asked.start, asked.end)
    names, stamp = _names(book), stamp_of(book)
    zone = ZoneInfo(book.setting("yard.zone", "UTC"))
    banked = banked_by(book, asked.end)
    remade = Remade("reconciliation", stamp.sequence, asked.end, first=asked.start)
    return Reconciliation(
        yard=yard_of(book),
        start=asked.start,
        end=asked.end,
        closed_to=asked.closed_to,
        tolerance_minutes=tolerance_minutes(book),
        known_at=stamp,
        remade_by=commands.makes(remade),
        rehearsal=book.rehearsal,
        rows=tuple(_row(row, names, zone) for row in paid_rows),
        changed=tuple(_row(row, names, zone) for row in changed),
        banked=tuple(Banked(who, names.get(who, ""), ms) for who, ms in banked.items()),
        notes=tuple(_noted(each) for each in notes),
    )


def _names(book: Book) -> dict[str, str]:
    """Return the name behind each handle and worker's number, as far as it was not erased."""
    persons = {row["handle"]: row["name"] for row in book.current("person_name")}
    workers = {row["worker_id"]: row["name"] for row in book.current("worker_name")}
    return {handle: name or "" for handle, name in (persons | workers).items()}


def _row(row: PayRow, names: Mapping[str, str], zone: ZoneInfo) -> PaidRow:
    return PaidRow(
        worker_id=row.worker_id or "",
        name=names.get(row.worker_id or "", ""),
        supplier=row.supplier or "",
        period_start=row.period_start,
        period_end=row.period_end,
        kind=row.kind,
        against=row.against,
        paid_ms=row.paid_ms,
        booked_ms=row.booked_ms,
        clocked_ms=row.clocked_ms,
        beside_clock_ms=row.beside_clock_ms,
        reasons=tuple(DifferenceReason(reason, ms) for reason, ms in row.reasons),
        unexplained_ms=row.unexplained_ms,
        owed_ms=row.owed_ms,
        waiting_ms=row.waiting_ms,
        is_settled=row.is_settled,
        is_signed=row.is_signed,
        signed=_signed(row, names, zone),
    )


def _signed(row: PayRow, names: Mapping[str, str], zone: ZoneInfo) -> Signed | None:
    if row.signed_by is None or row.signed_at is None:
        return None
    on = row.signed_at.replace(tzinfo=UTC).astimezone(zone).date()
    return Signed(row.signed_by, names.get(row.signed_by, ""), on, row.signed_reason or "")


def _noted(note: PayNote) -> NoteShown:
    return NoteShown(
        party=note.worker_id or note.supplier or "",
        period_start=note.period_start,
        period_end=note.period_end,
        kind=note.kind,
        reason=note.reason,
        ms=note.ms,
        note=note.note or "",
        is_used=note.is_used,
    )
