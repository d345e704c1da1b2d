"""The key dates of a job: hours to go before each by trade, people needed and people there."""

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from functools import cached_property

from ledger.domain.calendar import FULL, days_between
from ledger.domain.key_dates import KeyDate, People, TradeReach, reached_on
from ledger.domain.quoting import WEEKS_OF_PACE
from ledger.outcomes import Reason, because
from ledger.performance.measure import Measured

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
        left = self._left(day)
        weeks = sum(left.values(), Fraction(0)) / self.days_a_week
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
        """Return the mean of the full days of a week over the last four, else of the job."""
        worked = self.calendar.full_days(*self.span)
        card = self.measured.baseline.card
        return worked / WEEKS_OF_PACE if worked else full_days_of(card.working_week)

    def _left(self, day: date) -> dict[date, Fraction]:
        """Return the working days left before a day, itself included, with their weights."""
        days = self.calendar.working(self.day + ONE_DAY, day) if day > self.day else []
        return {each: self.calendar.full_days(each, each) for each in days}

    @cached_property
    def _booked(self) -> dict[str | None, list[tuple[str, int, int]]]:
        """Return who booked time to the job in these weeks, by trade: worker, ms and weeks."""
        first, last = self.span
        asked = {"job": self.measured.job, "first": first, "last": last}
        by_trade: dict[str | None, list[tuple[str, int, int]]] = defaultdict(list)
        for trade, worker, ms, weeks in self.measured.book.rows(
            "performance/people_by_worker", **asked
        ):
            by_trade[trade].append((worker, int(ms), weeks))
        return by_trade

    def _people(self, trade: str | None, left: Mapping[date, Fraction]) -> People:
        """Return the people of a trade on the days left: those of the last weeks, less leave."""
        own = self._booked.get(trade, [])
        every = own or [each for of_trade in self._booked.values() for each in of_trade]
        weeks = sum(each[2] for each in every)
        a_week = Fraction(sum(each[1] for each in every), weeks) if weeks else None
        here = sum(
            (weeks * (1 - self._share_away(worker, left)) for worker, _, weeks in own), Fraction(0)
        )
        return People(here / WEEKS_OF_PACE, a_week)

    def _share_away(self, worker: str, left: Mapping[date, Fraction]) -> Fraction:
        """Return the share of the days left on which a worker is on leave known ahead."""
        away = [weight for day, weight in left.items() if day in self._leave[worker]]
        return sum(away, Fraction(0)) / sum(left.values()) if away else Fraction(0)

    @cached_property
    def _leave(self) -> dict[str, set[date]]:
        """Return the days of leave known ahead, by worker."""
        leave: dict[str, set[date]] = defaultdict(set)
        for row in self.measured.book.current("leave"):
            leave[row["worker_id"]].update(days_between(row["day_from"], row["day_to"]))
        return leave


def full_days_of(working_week: str) -> Fraction:
    """Return the full days of a job's working week, as its card keeps it: each by its weight."""
    week = json.loads(working_week)
    weights = week.values() if isinstance(week, dict) else [FULL for _ in week]
    return sum((Fraction(weight) for weight in weights), Fraction(0))
