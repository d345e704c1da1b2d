"""What each period's own figures are, and which late adjustments are in them."""

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from ledger.jobs.jobs import job_card
from ledger.jobs.periods import Closing, closings
from ledger.performance.basis import Scope
from ledger.performance.measure import Measured
from ledger.store.book import Book

Figures = dict[str, int | None]
OF_YARD, OF_JOB = ("booked",), ("bac", "pv", "ev", "ac", "booked")


@dataclass(frozen=True)
class Period:
    """A period up to its last day, as known when it was closed, or now when it is open.

    `own` is cumulative less cumulative as closed before. `late` is the part of it that became known
    of earlier days since then, made of `late_facts`. Whole units; None is not defined.
    """

    last_day: date
    closing: Closing | None
    cumulative: Figures
    own: Figures
    late: Figures
    late_facts: list[dict[str, Any]] = field(default_factory=list)


def periods(book: Book, job: str | None, unit: str) -> list[Period]:
    """Return the closed periods and the open one, of a job, or of all that the yard booked.

    Raises: Refused when there is no such job.
    """
    if job is not None:
        job_card(book, job)
    teller = _Teller(book, job, unit)
    in_order: list[Period] = []
    for closing in closings(book):
        in_order.append(teller.period(closing.closed_to, closing, in_order[-1:]))
    if (day := teller.newest(in_order[-1:])) is not None:
        in_order.append(teller.period(day, None, in_order[-1:]))
    return in_order


class _Teller:
    """Reads the figures of one job, or of the yard, as known at closings and now."""

    def __init__(self, book: Book, job: str | None, unit: str) -> None:
        self.book, self.job, self.unit = book, job, unit
        self.now = book.upto

    def newest(self, closed: list[Period]) -> date | None:
        """Return the last day that anything is known of, never before the last closing."""
        if self.job is None:
            days = [
                row[0] for row in self.book.rows("performance/newest_entry", job=None) if row[0]
            ]
        else:
            days = [day for day, _ in self.book.rows("performance/status_dates", job=self.job)]
        return max([*days, *(each.last_day for each in closed)], default=None)

    def period(self, day: date, closing: Closing | None, before: list[Period]) -> Period:
        """Return the period that ends on a day; `before` is the one before, if there is one."""
        upto = closing.sequence if closing else self.now
        cumulative = self.figures(day, upto)
        if not before:
            return Period(day, closing, cumulative, cumulative, dict.fromkeys(cumulative, 0))
        last = before[0]
        assert last.closing is not None
        late = _less(self.figures(last.last_day, upto), last.cumulative)
        asked = {"job": self.job, "day": last.last_day, "after": last.closing.sequence}
        facts = self.book.records("performance/late_facts", upto=upto, **asked)
        return Period(day, closing, cumulative, _less(cumulative, last.cumulative), late, facts)

    def figures(self, day: date, upto: int) -> Figures:
        """Return the figures by a day as known at a batch; 0 of a job not in the book by then."""
        names = OF_YARD if self.job is None else OF_JOB
        book = self.book.known_by(upto)
        if self.job is None:
            booked = book.rows("performance/booked_by_day", job=None, day=day)
            return {"booked": int(booked[0][0])}
        if not book.rows("jobs/job_card", job=self.job):
            return dict.fromkeys(names, 0)
        measured = Measured(book, self.job, Scope(day, self.unit))
        if measured.undefined_cost:
            return dict.fromkeys(names)
        cells = measured.cells.values()
        sums = {name: sum(getattr(cell, name) for cell in cells) for name in OF_JOB[:-1]}
        return {**sums, "booked": measured.actuals.total}


def _less(figures: Figures, before: Figures) -> Figures:
    return {name: _difference(value, before[name]) for name, value in figures.items()}


def _difference(value: int | None, before: int | None) -> int | None:
    return None if value is None or before is None else value - before
