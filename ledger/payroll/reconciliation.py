"""Hours paid beside hours booked: what differs by worker, period and kind of pay, and why."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from ledger.domain.defaults import SETTINGS
from ledger.domain.parsing import MS_PER_MINUTE, parse_hours
from ledger.domain.pay import ALLOWANCE, LEAVE, REASONS
from ledger.jobs.jobs import week_start
from ledger.payroll.classes import pay_classes, refuse_turned, stage_crew_as_paid
from ledger.payroll.hours import stage_premium
from ledger.sheets.held_lines import stage_held
from ledger.store.book import Book, Row

# Periods that end so near may share a week, or late sheets, with those asked for; they and the
# week before them begin at most so long before.
NEAR = timedelta(days=40)
LONG = timedelta(days=85)


REASONS_AT = 10


class PayRow(NamedTuple):
    """Hours paid and booked of a worker, or of a supplier's people together, in ms.

    `reasons` explain the difference, each by a signed part; `clocked_ms` is what the attendance
    clock has and `beside_clock_ms` what is booked on its days, None where it has nothing. In the
    reasons too, `owed_ms` is named and open: below 0 it was booked and passed over by pay, above 0
    it was paid without a sheet; `waiting_ms` may be in the next pay. `signed_by` signed off these
    hours, whatever explained them then.
    """

    worker_id: str | None
    supplier: str | None
    period_start: date
    period_end: date
    kind: str
    against: str
    paid_ms: int
    booked_ms: int
    clocked_ms: int | None
    beside_clock_ms: int | None
    reasons: tuple[tuple[str, int], ...]
    unexplained_ms: int
    owed_ms: int = 0
    waiting_ms: int = 0
    signed_by: str | None = None
    signed_at: datetime | None = None
    signed_reason: str | None = None

    @property
    def difference_ms(self) -> int:
        """Return hours paid less hours booked."""
        return self.paid_ms - self.booked_ms

    @property
    def is_off_clock(self) -> bool:
        """Return whether the clock has other hours than sheets have on its days."""
        return self.clocked_ms != self.beside_clock_ms

    @property
    def is_pay_alone(self) -> bool:
        """Return whether it is an allowance: pay without time, nothing is booked beside it."""
        return self.kind == ALLOWANCE and not self.booked_ms

    @property
    def is_open(self) -> bool:
        """Return whether hours are unexplained, passed over by pay or paid without a sheet.

        Such a row may be let pass all the same. An allowance is never open.
        """
        return bool(self.unexplained_ms or self.owed_ms) and not self.is_pay_alone

    @property
    def is_settled(self) -> bool:
        """Return whether the whole difference is explained, or was signed off with a reason.

        A signature without a reason rests on what explained the row, and settles nothing once that
        has gone.
        """
        return not self.is_open or self.signed_reason is not None

    @property
    def waits(self) -> bool:
        """Return whether it is settled by what the next pay is to have alone."""
        return self.is_settled and self.waiting_ms != 0 and self.signed_reason is None

    @property
    def is_signed(self) -> bool:
        """Return whether it is signed off, and that holds: with a reason, or settled as it is."""
        holds = self.signed_reason is not None or (self.is_settled and not self.waits)
        return self.signed_by is not None and holds


def reconciled(book: Book, start: date, end: date) -> list[PayRow]:
    """Return what was paid and booked in the periods that end from one day to another.

    Each row holds `paid = booked + difference`, and the difference is its reasons and what is
    unexplained. Raises: Refused when the last day is before the first.
    """
    refuse_turned(start, end)
    return reconciled_in(book, [(start, end)])


def reconciled_in(book: Book, periods: Sequence[tuple[date, date]]) -> list[PayRow]:
    """As `reconciled`, of periods that follow each other: days that nobody was paid for by each."""
    stage_pay(book, periods)
    return [_row(row) for row in book.rows("payroll/reconciled", tolerance_ms=_tolerance(book))]


class PayNote(NamedTuple):
    """A note on a difference; one that is not used has no row with its whole period."""

    worker_id: str | None
    supplier: str | None
    period_start: date
    period_end: date
    kind: str
    reason: str
    ms: int
    note: str | None
    is_used: bool


def notes_placed(book: Book, start: date, end: date) -> list[PayNote]:
    """Return the notes on the rows that `reconciled` found last, and those of the days on none."""
    notes = book.rows("payroll/notes_placed", **{"from": start, "to": end})
    return [PayNote._make(row) for row in notes]


def banked_by(book: Book, end: date) -> dict[str, int]:
    """Return what each worker has in a bank of hours by a day, in ms; below 0 they owe hours."""
    stage_crew_as_paid(book)
    return dict(book.rows("payroll/banked_hours", to=end, **pay_classes(book)))


def _row(row: Row) -> PayRow:
    """Return a row of the query, whose reasons are two lists side by side, or null."""
    reasons, amounts = row[REASONS_AT : REASONS_AT + 2]
    named = tuple(zip(reasons, amounts, strict=True)) if reasons else ()
    return PayRow._make((*row[:REASONS_AT], named, *row[REASONS_AT + 2 :]))


def stage_pay(book: Book, periods: Sequence[tuple[date, date]], beyond: timedelta = NEAR) -> None:
    """Stage what was paid and booked, by period, and what of the differences the book explains.

    Pay of periods that end up to so long beyond is looked at too.
    """
    starts, ends = zip(*periods, strict=True)
    start, end = starts[0], ends[-1]
    named = pay_classes(book)
    reasons = [name for name in named["classes"] if name in REASONS and name != LEAVE]
    near = {"first": start - NEAR, "last": end + beyond}
    stage_crew_as_paid(book)
    book.stage("pay_span", "payroll/pay_spans", **named, **near)
    long = {"first": start - LONG, "last": end + beyond}
    asked = {"from": start, "to": end}
    book.stage("pay_contract", "payroll/contract_days", **asked, **near)
    stage_premium(book, start - LONG, end + beyond)
    book.view_of("pay_span_day", "payroll/span_days")
    book.stage("pay_in_kind", "payroll/days_placed", reasons=reasons, **named, **long)
    book.stage("pay_left_over", "payroll/days_left_over", starts=list(starts), ends=list(ends))
    book.view_of("pay_placed", "payroll/days_in_periods")
    book.stage("pay_row", "payroll/pay_rows", **asked)
    book.stage("pay_clocked", "payroll/days_clocked")
    stage_held(book)
    day_ms = parse_hours(book.setting(FULL_DAY, SETTINGS[FULL_DAY]))
    limits = {"tolerance_ms": _tolerance(book), "day_ms": day_ms, "reasons": reasons}
    week = {"week_start": week_start(book)}
    book.stage("pay_offer", "payroll/pay_offers", **named, **limits, **week)
    book.stage("pay_taken", "payroll/reasons_taken")


def tolerance_minutes(book: Book) -> int:
    """Return up to how many minutes of a row rounding explains."""
    return int(book.setting(TOLERANCE, SETTINGS[TOLERANCE]))


TOLERANCE, FULL_DAY = "payroll.tolerance_minutes", "payroll.full_day_hours"


def _tolerance(book: Book) -> int:
    return tolerance_minutes(book) * MS_PER_MINUTE
