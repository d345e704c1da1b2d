"""Time booked in a job by place and trade worked, and what it cost: exact sums of whole units."""

import copy
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import NamedTuple

from ledger.domain.premium import PremiumPolicy
from ledger.outcomes import Reason, because
from ledger.performance.premium import premium_of, stage_premium_time
from ledger.store.book import Book

NON_PRODUCTIVE = "non_productive"
UNTAGGED = "untagged"
_OF_WORKERS = ("worker_id", "part", "trade", "day", "ms", "cost")


@dataclass(frozen=True)
class CellActual:
    """What one place and trade took: whole units to date, of it rework, and of the recent weeks."""

    part: str
    trade: str | None
    amount: int
    rework: int
    recent: int


class Booked(NamedTuple):
    """What was booked on a day to a place, of one trade and for one cause."""

    part: str
    cause: str | None
    rework: str | None
    trade: str | None
    day: date
    ms: int
    amount: int


class Spans(NamedTuple):
    """Whether time is read by day, or by the last days of every week or month."""

    every: str = "day"
    week_start: int = 0


DAILY = Spans()


class Actuals:
    """What was booked in a job by a day, in ms or in cost units (ms x 1/10000).

    In cost `premium` is what overtime premium cost beside it, at the places that it stands at, and
    `policy` says what it is due on; it is never in hours.
    """

    def __init__(
        self, book: Book, job: str, status_date: date, unit: str, spans: Spans = DAILY
    ) -> None:
        self.book, self.job, self.day, self.unit = book, job, status_date, unit
        asked = {"job": job, "status_date": status_date, "workers": None, **spans._asdict()}
        self.booked: list[Booked] = []
        unrated: list[tuple[date, str, str | None]] = []
        for row in book.rows("performance/actual_by_part", **asked):
            _, part, cause, rework, trade, day, ms, cost, unrated_ms, worker = row
            amount = int(ms if unit == "hours" else cost)
            self.booked.append(Booked(part, cause, rework, trade, day, int(ms), amount))
            if unrated_ms > 0:
                unrated.append((day, worker, trade))
        self._first_unrated = min(unrated, key=lambda each: each[:2], default=None)
        self.premium: list[Booked] = []
        # Of trades and places, the hours in ms that are only a premium for others.
        self.only_premium: list[Booked] = []
        self.policy: PremiumPolicy | None = premium_of(book) if unit == "cost" else None
        if self.policy:
            self._read_premium(self.policy, spans)

    def _read_premium(self, policy: PremiumPolicy, spans: Spans) -> None:
        stage_premium_time(self.book, policy, self.day, self.job)
        asked = {"status_date": self.day, **spans._asdict()}
        for row in self.book.rows("performance/premium_by_part", **asked):
            part, cause, rework, trade, day, premium, only_ms, only_cost = row
            place = (part, cause, rework, trade, day)
            if premium:
                self.premium.append(Booked(*place, 0, int(premium)))
            if only_ms:
                # Booked as time at its rate; all that it costs is the premium.
                self.booked.append(Booked(*place, 0, -int(only_cost)))
                self.only_premium.append(Booked(*place, int(only_ms), 0))

    def until(self, day: date) -> "Actuals":
        """Return what was booked by an earlier day, not read again; time must be read by day.

        Premium is of whole weeks, and is read again.
        """
        if self.policy:
            return Actuals(self.book, self.job, day, self.unit)
        other = copy.copy(self)
        other.day, other.booked = day, [each for each in self.booked if each.day <= day]
        first = self._first_unrated
        other._first_unrated = first if first and first[0] <= day else None
        for name in ("total", "places"):
            other.__dict__.pop(name, None)
        return other

    @property
    def missing_rate(self) -> Reason | None:
        """Return the first worker and day without a rate; None when all have one."""
        if self._first_unrated is None:
            return None
        day, worker, trade = self._first_unrated
        if trade is None:
            return because("worker_not_in_crew", worker=worker, day=day)
        return because("worker_without_rate", worker=worker, day=day)

    @cached_property
    def total(self) -> int:
        """Return all that was booked, with the premium."""
        return sum(each.amount for each in [*self.booked, *self.premium])

    @cached_property
    def places(self) -> set[str]:
        """Return the places that time was booked to."""
        return {each.part for each in self.booked}

    def by_cell(self, after: date, upto: date) -> list[CellActual]:
        """Return what each place and trade took; recent is after the one day up to the other."""
        return by_cell(self.booked, after, upto)

    def of_part(self, part: str) -> int:
        """Return what one place took, with the premium that stands there."""
        return sum(each.amount for each in self.booked if each.part == part) + self.premium_of(part)

    def premium_of(self, part: str) -> int:
        """Return the premium that stands at one place."""
        return sum(each.amount for each in self.premium if each.part == part)

    def first_day_of(self, part: str) -> date | None:
        """Return the first day with time at one place; None without any."""
        return min(
            (each.day for each in self.booked if each.part == part and each.ms), default=None
        )

    def of_trades(self, part: str, trades: list[str | None], day: date) -> int:
        """Return what some trades of a part took by a day."""
        of_part = (each for each in self.booked if each.part == part)
        return sum(each.amount for each in of_part if each.trade in trades and each.day <= day)

    def booked_ms(self, besides: list[str]) -> int:
        """Return all time booked in ms, but for some places."""
        return sum(each.ms for each in self.booked if each.part not in besides)

    def ms_after(self, days: dict[str, date | None]) -> dict[str, int]:
        """Return the time in ms that each place took after its own day; all of it without one."""
        sums: dict[str, int] = defaultdict(int)
        for each in self.booked:
            if each.part in days:
                upto = days[each.part]
                sums[each.part] += each.ms if upto is None or each.day > upto else 0
        return {part: ms for part, ms in sums.items() if ms}

    def by_worker_week(
        self, workers: list[str], week_start: int
    ) -> dict[tuple[str, date], list[tuple[str, str | None, int]]]:
        """Return what these workers booked by worker and week: place, trade and amount.

        Rows of every worker and day, unlike the other sums: grouped as columns, and only where
        sheets are missing, as the library takes a tenth of a second to come in.
        """
        import polars as pl

        asked = {"job": self.job, "status_date": self.day, "workers": workers}
        asked |= DAILY._asdict()
        rows = self.book.rows("performance/actual_by_part", **asked)
        kinds = [*[pl.String] * 3, pl.Date, *[pl.Int128] * 2]
        cells = [(row[0], row[1], row[4], row[5], int(row[6]), int(row[7])) for row in rows]
        schema = dict(zip(_OF_WORKERS, kinds, strict=True))
        frame = pl.DataFrame(cells, schema=schema, orient="row")
        first = pl.col("day") - pl.duration(days=(pl.col("day").dt.weekday() + 6 - week_start) % 7)
        amount = pl.col("ms" if self.unit == "hours" else "cost").sum()
        keys = ("worker_id", "week", "part", "trade")
        grouped = frame.with_columns(week=first).group_by(keys, maintain_order=True).agg(amount)
        by_week: dict[tuple[str, date], list[tuple[str, str | None, int]]] = {}
        for worker, week, part, trade, sums in grouped.rows():
            by_week.setdefault((worker, week), []).append((part, trade, int(sums)))
        return by_week


def by_cell(rows: Iterable[Booked], after: date, upto: date) -> list[CellActual]:
    """Return what each place and trade took; recent is after the one day up to the other."""
    cells: dict[tuple[str, str | None], list[int]] = defaultdict(lambda: [0, 0, 0])
    for part, _, rework, trade, day, _, amount in rows:
        sums = cells[part, trade]
        sums[0] += amount
        if rework is not None:
            sums[1] += amount
        if after < day <= upto:
            sums[2] += amount
    return [CellActual(*cell, *sums) for cell, sums in cells.items()]
