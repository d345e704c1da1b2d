"""Earned schedule and what follows from it, reckoned a second time, in weeks."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cached_property
from itertools import count, islice, takewhile
from typing import TYPE_CHECKING

from tests.demo._reckon_files import DAY, WEEK, Job, a_day

if TYPE_CHECKING:
    from tests.demo._reckon_forecast import Forecast


@dataclass(frozen=True)
class Schedule:
    """The measured work of a job against its plan, by week."""

    parts: "Forecast"

    @property
    def job(self) -> Job:
        return self.parts.baseline.job

    @cached_property
    def by_day(self) -> list[tuple[date, int]]:
        """Return the plan of all measured work by day."""
        sums: dict[date, int] = defaultdict(int)
        for part in filter(self.parts.measured, self.parts.all):
            for day, ms in self.parts.plan(part):
                sums[day] += self.parts.valued(part, ms)
        return sorted(sums.items())

    @cached_property
    def first_end(self) -> date:
        return self.job.week_end(min(day for day, planned in self.by_day if planned))

    @cached_property
    def planned(self) -> list[int]:
        """Return PV at the ends of the weeks that count, from 0 before the first week on."""
        sums, last = [0], max(day for day, _ in self.by_day)
        for end in self.week_ends():
            sums.append(sum(amount for day, amount in self.by_day if day <= end))
            if end >= last:
                break
        return sums

    def week_ends(self) -> Iterator[date]:
        """Yield the ends of the weeks that have a working day, of all that come without end."""
        for end in (self.first_end + n * WEEK for n in count()):
            if self.job.working_days(end - 6 * DAY, end):
                yield end

    @cached_property
    def earned(self) -> int:
        measured = [part for part in self.parts.all if self.parts.measured(part)]
        return sum(self.parts.earned(part, self.parts.day) for part in measured)

    @cached_property
    def earned_schedule(self) -> Fraction:
        """Return the week, and part of one, by which what is earned was planned."""
        if self.earned >= self.planned[-1]:
            return Fraction(self.planned_duration)
        week = max(n for n, value in enumerate(self.planned) if value <= self.earned)
        below, above = self.planned[week], self.planned[week + 1]
        return week + Fraction(self.earned - below, above - below)

    @cached_property
    def planned_duration(self) -> int:
        return next(n for n, value in enumerate(self.planned) if value >= self.planned[-1])

    @cached_property
    def actual_time(self) -> Fraction:
        """Return the full weeks before the status date's, and the part of its own gone by.

        Of a job that is finished it is those of the day it was finished on.
        """
        now = self.finished_on or self.parts.day
        begin = self.job.week_begin(now)
        days = self.job.working_days(begin, begin + 6 * DAY)
        gone = self.job.working_days(begin, now)
        full = sum(1 for _ in takewhile(lambda end: end < begin, self.week_ends()))
        return full + (Fraction(len(gone), len(days)) if days else Fraction(0))

    @cached_property
    def spi_time(self) -> Fraction | None:
        return self.earned_schedule / self.actual_time if self.actual_time > 0 else None

    @cached_property
    def finished_on(self) -> date | None:
        """Return the last measured day of a job whose measured parts are all complete."""
        parts = [p for p in self.parts.all if self.parts.measured(p) and self.parts.budget_ms(p)]
        if not parts or not all(map(self.parts.complete, parts)):
            return None
        of = self.parts.baseline.measures.of
        days = [a_day(fact.row["date"]) for part in parts for fact in of(part, self.parts.day)]
        return max(days, default=None)

    @cached_property
    def forecast_duration(self) -> Fraction | None:
        if self.finished_on:
            return None
        return self.planned_duration / self.spi_time if self.spi_time else None

    @cached_property
    def forecast_finish(self) -> date | None:
        """Return the working day on which the forecast duration ends, rounded up.

        Of a job that is finished it is its last measured day.
        """
        if self.finished_on:
            return self.finished_on
        duration = self.forecast_duration
        return None if duration is None else self.ends_on(duration)

    def ends_on(self, duration: Fraction) -> date:
        weeks, rest = divmod(duration, 1)
        before = int(weeks) if rest else int(weeks) - 1
        end = next(islice(self.week_ends(), before, None))
        days = self.job.working_days(end - 6 * DAY, end)
        number = -int(-rest * len(days) // 1) if rest else len(days)
        return days[number - 1]

    @cached_property
    def slip(self) -> int:
        """Return the working days by which the measured work will end later than planned."""
        if self.forecast_finish is None:
            return 0
        planned = self.ends_on(Fraction(self.planned_duration))
        return max(0, len(self.job.working_days(planned + DAY, self.forecast_finish)))

    def figures(self) -> dict[str, Fraction | None]:
        spi = self.spi_time
        return {
            "earned_schedule": self.earned_schedule,
            "actual_time": self.actual_time,
            "planned_duration": Fraction(self.planned_duration),
            "sv_time": self.earned_schedule - self.actual_time,
            "spi_time": spi,
            "forecast_duration": self.forecast_duration,
        }
