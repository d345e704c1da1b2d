"""The key dates of a job: hours to go before each by trade, people needed and people there."""

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from fractions import Fraction
from functools import cached_property

from ledger.domain.key_dates import KeyDate, People, TradeReach, reached_on
from ledger.domain.quoting import WEEKS_OF_PACE
from ledger.outcomes import Reason, because
from ledger.performance.measure import Measured
from ledger.store.schema import TABLES

Absence = tuple[str, date, date]
ONE_DAY = timedelta(days=1)


class KeyDates:
    """A job measured in hours, against its key dates."""

    def __init__(self, measured: Measured) -> None:
        assert measured.scope.unit == "hours"
        self.measured, self.day = measured, measured.day
        self.calendar = measured.baseline.calendar

    @property
    def all(self) -> list[KeyDate]:
        """Return the key dates in the order of their days."""
        given = json.loads(self.measured.baseline.card.key_dates)
        read = [(date.fromisoformat(each["date"]), each) for each in given]
        in_order = sorted(read, key=lambda pair: pair[0])
        return [self._key_date(each["name"], day, each["packages"]) for day, each in in_order]

    def _key_date(self, name: str, day: date, packages: Sequence[str]) -> KeyDate:
        trades = tuple(self._trades(day, packages))
        if not any(each.to_go_ms for each in trades):
            return KeyDate(name, day, trades, None, 0, because("key_date_work_done"))
        reached = reached_on(trades, self.day, self.days_a_week, self.calendar)
        if reached is None:
            return KeyDate(name, day, trades, None, None, self._why_unreached(trades))
        late = self.calendar.upto(reached) - self.calendar.upto(day)
        return KeyDate(name, day, trades, reached, max(0, late))

    def _why_unreached(self, trades: Iterable[TradeReach]) -> Reason:
        absent = [each.trade or "no trade" for each in trades if each.weeks_needed is None]
        if not absent:
            return because("beyond_calendar")
        first, last = self.span
        return because("nobody_of_trade", trades=", ".join(absent), first=first, last=last)

    def _trades(self, day: date, packages: Sequence[str]) -> Iterator[TradeReach]:
        to_go: dict[str | None, int] = defaultdict(int)
        for cell in self.measured.cells.values():
            if cell.part in packages:
                to_go[cell.trade] += max(0, cell.forecast - cell.ac)
        left = self.calendar.working(self.day + ONE_DAY, day) if day > self.day else []
        weeks = len(left) / self.days_a_week
        for trade, ms in sorted(to_go.items(), key=lambda pair: pair[0] or ""):
            if ms:
                yield TradeReach(trade, ms, weeks, self._people(trade, left))

    @cached_property
    def span(self) -> tuple[date, date]:
        """Return the first and the last day of the last four weeks that ended by the day."""
        before, last = self.measured.recent_span
        return before + ONE_DAY, last

    @cached_property
    def days_a_week(self) -> Fraction:
        """Return the mean of the working days of a week over the last four, else of the job."""
        count = len(self.calendar.working(*self.span))
        week = json.loads(self.measured.baseline.card.working_week)
        return Fraction(count, WEEKS_OF_PACE) if count else Fraction(len(week))

    @cached_property
    def _booked(self) -> dict[str | None, list[tuple[str, int, int]]]:
        """Return who booked time to the job in these weeks, by trade: worker, ms and weeks."""
        first, last = self.span
        asked = {"job": self.measured.job, "first": first, "last": last}
        found: dict[str | None, list[tuple[str, int, int]]] = defaultdict(list)
        for trade, worker, ms, weeks in self.measured.book.rows(
            "performance/people_by_worker", **asked
        ):
            found[trade].append((worker, int(ms), weeks))
        return found

    def _people(self, trade: str | None, left: Sequence[date]) -> People:
        """Return the people of a trade on the days left: those of the last weeks, less leave."""
        own = self._booked.get(trade, [])
        every = own or [each for of_trade in self._booked.values() for each in of_trade]
        weeks = sum(each[2] for each in every)
        a_week = Fraction(sum(each[1] for each in every), weeks) if weeks else None
        here = sum(
            (weeks * (1 - self._share_away(worker, left)) for worker, _, weeks in own), Fraction(0)
        )
        return People(here / WEEKS_OF_PACE, a_week)

    def _share_away(self, worker: str, left: Sequence[date]) -> Fraction:
        """Return the share of the days left on which a worker is on leave known ahead."""
        spans = [(first, last) for who, first, last in self._leave if who == worker]
        away = sum(any(first <= day <= last for first, last in spans) for day in left)
        return Fraction(away, len(left)) if left else Fraction(0)

    @cached_property
    def _leave(self) -> list[Absence]:
        """Return the leave known ahead: who, from and to; a book without the table knows none."""
        rows = self.measured.book.current("leave") if "leave" in TABLES else []
        return [(row["worker_id"], row["day_from"], row["day_to"]) for row in rows]
