"""Who was there of late, by trade: people of a week, and what one of them works in it."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from functools import cached_property

from ledger.domain.calendar import WEEK, WorkCalendar, days_between
from ledger.domain.key_dates import People
from ledger.domain.quoting import WEEKS_OF_PACE
from ledger.performance.measure import Measured

LAST_DAY = timedelta(days=6)


@dataclass
class Turnout:
    """What a worker booked in one trade: ms on the job and on all jobs, and the weeks of each."""

    ms: int = 0
    weeks: int = 0
    all_ms: int = 0
    all_weeks: int = 0

    def add(self, ms: int, all_ms: int) -> None:
        """Add what was booked in another week."""
        self.ms, self.weeks = self.ms + ms, self.weeks + bool(ms)
        self.all_ms, self.all_weeks = self.all_ms + all_ms, self.all_weeks + bool(all_ms)

    @property
    def weekly_ms(self) -> Fraction:
        """Return what the worker has for a job in a week, those there in part for all they work."""
        on_job = Fraction(self.ms, self.weeks) if self.weeks else Fraction(0)
        return max(on_job, Fraction(self.all_ms, self.all_weeks)) if self.all_weeks else on_job


class PeopleThere:
    """The people of a job over its last four working weeks that ended by the status date.

    Weeks without a working day are none, nor are those before anybody worked on the job.
    """

    def __init__(self, measured: Measured, calendar: WorkCalendar) -> None:
        self.measured, self.calendar = measured, calendar

    @cached_property
    def weeks(self) -> list[date]:
        """Return the first days of these weeks, four at most."""
        begun = min((each.day for each in self.measured.actuals.booked if each.ms), default=None)
        if begun is None:
            return []
        first, last = self.calendar.week_of(begun), self.measured.recent_span[1]
        ended = [week for week in self.calendar.weeks if first <= week and week + LAST_DAY <= last]
        return ended[-WEEKS_OF_PACE:]

    @property
    def span(self) -> tuple[date, date]:
        """Return the first and the last day of these weeks, without any of the last four."""
        if self.weeks:
            return self.weeks[0], self.weeks[-1] + LAST_DAY
        before, last = self.measured.recent_span
        return before + timedelta(days=1), last

    @cached_property
    def by_trade(self) -> dict[str | None, dict[str, Turnout]]:
        """Return who booked time to the job in these weeks, by trade and worker."""
        first, last = self.span
        asked = {"job": self.measured.job, "first": first, "last": last}
        by_trade: dict[str | None, dict[str, Turnout]] = defaultdict(lambda: defaultdict(Turnout))
        for trade, worker, week, ms, all_ms in self.measured.book.rows(
            "performance/people_by_week", **asked
        ):
            if first + week * WEEK in self.weeks:
                by_trade[trade][worker].add(int(ms), int(all_ms))
        return {
            trade: present
            for trade, workers in by_trade.items()
            if (present := {w: each for w, each in workers.items() if each.weeks})
        }

    def of(self, trade: str | None, left: Mapping[date, Fraction]) -> People:
        """Return the people of a trade on the days left, less those known to be away.

        A person's week is that of all trades where nobody of the trade was there.
        """
        own = self.by_trade.get(trade, {})
        every = own.values() or [t for of in self.by_trade.values() for t in of.values()]
        weeks = sum(each.weeks for each in every)
        worked = sum((each.weeks * each.weekly_ms for each in every), Fraction(0))
        here = sum(
            (each.weeks * (1 - self._share_away(worker, left)) for worker, each in own.items()),
            Fraction(0),
        )
        return People(here / max(1, len(self.weeks)), worked / weeks if weeks else None)

    def _share_away(self, worker: str, left: Mapping[date, Fraction]) -> Fraction:
        """Return the share of the days left on which a worker is known to be away."""
        away = [weight for day, weight in left.items() if self._is_away(worker, day)]
        return sum(away, Fraction(0)) / sum(left.values()) if away else Fraction(0)

    def _is_away(self, worker: str, day: date) -> bool:
        """Return whether a worker is on leave on a day, or it is outside their active dates."""
        active = self._active.get(worker)
        if active is None:  # Not in the crew: nothing is known of when they are there.
            return day in self._leave[worker]
        begun = [until for start, until in active if start <= day]
        return day in self._leave[worker] or not begun or (begun[-1] or day) < day

    @cached_property
    def _active(self) -> dict[str, list[tuple[date, date | None]]]:
        """Return the first and last active days of each worker of the crew, in order."""
        active: dict[str, list[tuple[date, date | None]]] = defaultdict(list)
        rows = self.measured.book.current("crew")
        for row in sorted(rows, key=lambda row: row["active_from"]):
            active[row["worker_id"]].append((row["active_from"], row["active_to"]))
        return dict(active)

    @cached_property
    def _leave(self) -> dict[str, set[date]]:
        """Return the days of leave known ahead, by worker."""
        leave: dict[str, set[date]] = defaultdict(set)
        for row in self.measured.book.current("leave"):
            leave[row["worker_id"]].update(days_between(row["day_from"], row["day_to"]))
        return leave
