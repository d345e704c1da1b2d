"""What is to be looked at before a period is closed."""

from dataclasses import dataclass
from datetime import date, timedelta

from ledger.errors import Refused, Remedy
from ledger.jobs.periods import closings
from ledger.payroll.closed_rows import changed_since_closed
from ledger.payroll.reconciliation import PayRow, banked_by, reconciled
from ledger.performance.sheets import expected_sheets
from ledger.sheets.doubts import doubts_known
from ledger.sheets.held_lines import stage_held
from ledger.store.book import Book

# What the yard lets pass: a period that is not reconciled is closed with a warning, or refused.
UNRECONCILED = "payroll.close_unreconciled"


@dataclass(frozen=True)
class Checklist:
    """How a period stands: its sheets, held lines and doubts, and of pay what is settled.

    `start` is None for the first period; `rows` is None where no pay was ever loaded, and of them
    `open_rows` are not settled; `changed` are those of periods closed before that differ since and
    are open or wait. `banked` is what each worker has in a bank of hours, in ms.
    """

    start: date | None
    end: date
    sheets_in: int
    sheets_expected: int
    held_lines: int
    doubts: int
    rows: list[PayRow] | None
    changed: list[PayRow]
    banked: dict[str, int]

    @property
    def open_rows(self) -> list[PayRow]:
        """Return the rows that are neither explained nor waived, those of closed periods last."""
        return [row for row in (*(self.rows or []), *self.changed) if not row.is_settled]

    @property
    def waiting(self) -> list[PayRow]:
        """Return the rows that are settled if the next pay has their hours."""
        return [row for row in self.rows or [] if row.waits]

    @property
    def waived(self) -> list[PayRow]:
        """Return the rows with hours unexplained that somebody waived."""
        return [row for row in self.rows or [] if row.signed_reason]


def checklist(book: Book, end: date) -> Checklist:
    """Return how the period stands that ends on a day and follows the last one closed."""
    closed = [each.closed_to for each in closings(book) if each.closed_to < end]
    start = closed[-1] + timedelta(days=1) if closed else None
    stage_held(book)
    sheets = [
        each
        for each in expected_sheets(book, None, end)
        if start is None or each.week + timedelta(days=6) >= start
    ]
    days = {"from": start, "to": end}
    held = book.rows("payroll/held_in_days", **days)[0][0]
    doubts = [
        each
        for each in doubts_known(book)
        if not each["settled_by"] and each["day"] <= end and (start is None or each["day"] >= start)
    ]
    in_sheets = sum(each.is_in for each in sheets)
    counts = (in_sheets, len(sheets), held, len(doubts))
    changed = changed_since_closed(book, start) if start else []
    rows = _rows(book, start, end)
    return Checklist(start, end, *counts, rows, changed, banked_by(book, end))


def _rows(book: Book, start: date | None, end: date) -> list[PayRow] | None:
    first = book.rows("payroll/first_paid_day")[0][0]
    if first is None:
        return None
    return reconciled(book, min(start or first, end), end)


def refuse_unreconciled(book: Book, checklist: Checklist) -> None:
    """Raises: Refused when the yard does not close a period with rows of pay that are not settled.

    A period of which nothing was paid is not reconciled either.
    """
    if book.setting(UNRECONCILED, "warn") != "refuse" or not (
        checklist.open_rows or not checklist.rows
    ):
        return
    rows, remedy = len(checklist.open_rows), Remedy("sign_off")
    raise Refused("period_unreconciled", day=checklist.end, rows=rows, remedy=remedy)
