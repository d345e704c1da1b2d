"""The key dates of a job: hours to go before each by trade, people needed and people there."""

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from fractions import Fraction
from functools import cached_property

from ledger.domain.calendar import FULL
from ledger.domain.key_dates import KeyDate, TradeReach, reached_on
from ledger.outcomes import Reason, because
from ledger.performance.measure import Measured
from ledger.performance.people_there import PeopleThere

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
        key_dates = json.loads(self.measured.baseline.card.key_dates)
        read = [(date.fromisoformat(each["date"]), each) for each in key_dates]
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
        absent = [each.trade for each in trades if each.weeks_needed is None]
        never = [trade or "no trade" for trade in absent if trade not in self.people.by_trade]
        if never:
            first, last = self.span
            return because("nobody_of_trade", trades=", ".join(never), first=first, last=last)
        if absent:
            away = ", ".join(trade or "no trade" for trade in absent)
            return because("all_of_trade_away", trades=away)
        return because("beyond_calendar")

    def _trades(self, day: date, packages: Sequence[str]) -> Iterator[TradeReach]:
        to_go: dict[str | None, int] = defaultdict(int)
        for cell in self.measured.cells.values():
            if cell.part in packages:
                to_go[cell.trade] += max(0, cell.forecast - cell.ac)
        left = self._left(day)
        weeks = sum(left.values(), Fraction(0)) / self.days_a_week
        for trade, ms in sorted(to_go.items(), key=lambda pair: pair[0] or ""):
            if ms:
                yield TradeReach(trade, ms, weeks, self.people.of(trade, left))

    @property
    def span(self) -> tuple[date, date]:
        """Return the first and the last day of the weeks whose people count."""
        return self.people.span

    @cached_property
    def people(self) -> PeopleThere:
        """Return who was there of late."""
        return PeopleThere(self.measured, self.calendar)

    @cached_property
    def days_a_week(self) -> Fraction:
        """Return the full days of the job's working week, whatever was off in the last weeks."""
        return full_days_of(self.measured.baseline.card.working_week)

    def _left(self, day: date) -> dict[date, Fraction]:
        """Return the working days left before a day, itself included, with their weights."""
        days = self.calendar.working(self.day + ONE_DAY, day) if day > self.day else []
        return {each: self.calendar.full_days(each, each) for each in days}


def full_days_of(working_week: str) -> Fraction:
    """Return the full days of a job's working week, as its card keeps it: each by its weight."""
    week = json.loads(working_week)
    weights = week.values() if isinstance(week, dict) else [FULL for _ in week]
    return sum((Fraction(weight) for weight in weights), Fraction(0))
