"""Working days and weeks of a job."""

from bisect import bisect_right
from calendar import monthrange
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
WEEK = timedelta(days=7)


def iso_week(day: date) -> str:
    """Return the ISO 8601 week of a day, as 2026-W01. Source: ISO 8601-1:2019, 5.2.4."""
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02d}"


def days_between(first: date, last: date) -> Iterator[date]:
    """Yield every day from first to last, both included."""
    for offset in range((last - first).days + 1):
        yield first + timedelta(days=offset)


@dataclass(frozen=True)
class WorkCalendar:
    """The working days of a job, in order, and the weekday its weeks begin on (0 is Monday)."""

    days: tuple[date, ...]
    week_start: int = 0

    def week_of(self, day: date) -> date:
        """Return the first day of the week of a day."""
        return day - timedelta(days=(day.weekday() - self.week_start) % 7)

    def week_end(self, day: date) -> date:
        """Return the last day of the week of a day."""
        return self.week_of(day) + timedelta(days=6)

    def working(self, first: date, last: date) -> list[date]:
        """Return the working days from first to last, both included."""
        return list(self.days[self.upto(first - timedelta(days=1)) : self.upto(last)])

    def upto(self, day: date) -> int:
        """Return how many working days the calendar has up to and including a day."""
        return bisect_right(self.days, day)

    def weeks_passed(self, first: date, day: date) -> Fraction:
        """Return the weeks from the week of `first` up to `day`: whole ones and a part.

        The part is the working days of the last week up to the day over all of that week's.
        """
        start, week = self.week_of(first), self.week_of(day)
        whole = (week - start).days // 7
        all_days = self.working(week, week + timedelta(days=6))
        done = self.working(week, day)
        part = Fraction(len(done), len(all_days)) if all_days else Fraction(0)
        return whole + part

    def day_after_weeks(self, first: date, weeks: Fraction) -> date | None:
        """Return the working day on which `weeks` weeks from the week of `first` end, rounded up.

        None when that lies beyond the calendar.
        """
        start = self.week_of(first)
        whole, part = weeks.numerator // weeks.denominator, weeks % 1
        if not part:
            whole, part = whole - 1, Fraction(1)
        if whole > 10_000:
            return None
        week = start + whole * WEEK
        inside = self.working(week, week + timedelta(days=6))
        if inside:
            return inside[
                -(-(part * len(inside)).numerator // (part * len(inside)).denominator) - 1
            ]
        later = self.upto(week)
        return self.days[later] if later < len(self.days) else None


def last_days(first: date, last: date, every: str, week_start: int = 0) -> list[date]:
    """Return the last day of each week or month from that of `first` on; the last one is `last`."""
    ends: list[date] = []
    day = first
    while not ends or ends[-1] < last:
        end = WorkCalendar((), week_start).week_end(day) if every == "week" else _month_end(day)
        ends.append(min(end, last))
        day = end + timedelta(days=1)
    return ends


def _month_end(day: date) -> date:
    return day.replace(day=monthrange(day.year, day.month)[1])


def days_later(day: date, count: int, calendar: WorkCalendar | None) -> date | None:
    """Return the day a number of days later: of working days by a calendar, else of any.

    None when that lies beyond the calendar.
    """
    if calendar is None or not count:
        return day + timedelta(days=count)
    place = calendar.upto(day) + count - 1
    return calendar.days[place] if place < len(calendar.days) else None


def working_days(
    first: date, last: date, week: Sequence[str], days_off: frozenset[date]
) -> Iterator[date]:
    """Yield the days from first to last that fall on a weekday of `week` and are not off."""
    wanted = {WEEKDAYS.index(name) for name in week}
    for day in days_between(first, last):
        if day.weekday() in wanted and day not in days_off:
            yield day
