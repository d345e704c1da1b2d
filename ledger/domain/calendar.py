"""Working days and weeks of a job."""

from bisect import bisect_left, bisect_right
from calendar import monthrange
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from itertools import accumulate

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
WEEK = timedelta(days=7)
# The weight of a day on which all the crew works; that of any other is a part of it.
FULL = Decimal(1)
_PLACES = 9


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
    """The working days of a job, in order, and the weekday its weeks begin on (0 is Monday).

    `day_weights` are the weights of the days, above 0 up to 1; without them all are full days.
    """

    days: tuple[date, ...]
    week_start: int = 0
    day_weights: tuple[Decimal, ...] = ()

    @cached_property
    def weights(self) -> tuple[int, ...]:
        """Return the weight of each day in whole parts, a full day being as many on all days."""
        if all(weight == FULL for weight in self.day_weights):
            return (1,) * len(self.days)
        return tuple(int(weight.scaleb(_PLACES)) for weight in self.day_weights)

    @cached_property
    def _full(self) -> int:
        is_even = all(weight == FULL for weight in self.day_weights)
        return 1 if is_even else int(FULL.scaleb(_PLACES))

    @cached_property
    def _running(self) -> list[int]:
        return [0, *accumulate(self.weights)]

    @cached_property
    def weeks(self) -> tuple[date, ...]:
        """Return the first days of the weeks that are worked, in order.

        That is those whose days come to a full one at least, so not the Saturday of a smaller crew
        alone after a shut-down; of a calendar without any such week those with a working day.
        """
        weights: dict[date, int] = {}
        for day, weight in zip(self.days, self.weights, strict=True):
            week = self.week_of(day)
            weights[week] = weights.get(week, 0) + weight
        return tuple(week for week in weights if weights[week] >= self._full) or tuple(weights)

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

    def weights_of(self, first: date, last: date) -> list[int]:
        """Return the weights of the working days from first to last, both included."""
        return list(self.weights[self.upto(first - timedelta(days=1)) : self.upto(last)])

    def weight_upto(self, day: date, later_days: int = 0) -> int:
        """Return the weights of all days up to the one so many working days later, added up.

        Days beyond the calendar are full ones.
        """
        place = self.upto(day) + later_days
        beyond = max(0, place - len(self.days))
        return self._running[max(0, place - beyond)] + beyond * self._full

    def full_days(self, first: date, last: date) -> Fraction:
        """Return the working days from first to last, both included, each by its weight."""
        return Fraction(sum(self.weights_of(first, last)), self._full)

    def day_after_full_days(self, day: date, full_days: Fraction) -> date | None:
        """Return the working day on which so many full days after a day end, rounded up.

        None when that lies beyond the calendar.
        """
        if full_days <= 0:
            return day
        place = bisect_left(self._running, self.weight_upto(day) + full_days * self._full) - 1
        return self.days[place] if place < len(self.days) else None

    def weeks_passed(self, first: date, day: date) -> Fraction:
        """Return the weeks worked from the week of `first` up to `day`: whole ones and a part.

        The part is the working days of the last week up to the day over all of that week's, each
        by its weight, as plans are spread. In a week that is not worked none passes.
        """
        whole, week = self.week_number(first, day), self.week_of(day)
        if not self.is_worked(week):
            return Fraction(whole)
        done = sum(self.weights_of(week, day))
        return whole + Fraction(done, sum(self.weights_of(week, week + timedelta(days=6))))

    def week_number(self, first: date, day: date) -> int:
        """Return how many weeks worked begin from the week of `first` on before that of `day`."""
        start, week = (bisect_left(self.weeks, self.week_of(each)) for each in (first, day))
        return week - start

    def is_worked(self, week: date) -> bool:
        """Return whether the week that begins on a day is worked."""
        place = bisect_left(self.weeks, week)
        return place < len(self.weeks) and self.weeks[place] == week

    def day_after_weeks(self, first: date, weeks: Fraction) -> date | None:
        """Return the day on which `weeks` weeks worked from that of `first` end, rounded up.

        None when that lies beyond the calendar.
        """
        whole, part = weeks.numerator // weeks.denominator, weeks % 1
        if not part:
            whole, part = whole - 1, Fraction(1)
        place = bisect_left(self.weeks, self.week_of(first)) + whole
        if place >= len(self.weeks):
            return None
        week = self.weeks[place]
        inside = self.working(week, week + timedelta(days=6))
        running = list(accumulate(self.weights_of(week, week + timedelta(days=6))))
        return inside[bisect_left(running, part * running[-1])]


@dataclass(frozen=True)
class Periods:
    """The weeks or months by number, the next one has the next number; counting ends on a day.

    The period of that day is two: what comes after the day has the next number, and so on.
    """

    every: str
    counted_to: date
    week_start: int = 0

    def number(self, day: date) -> int:
        """Return the number of the period that a day lies in."""
        return self._plain(day) + (day > self.counted_to)

    @cached_property
    def last(self) -> int:
        """Return the number of the period that counting ends in."""
        return self._plain(self.counted_to)

    def end(self, number: int) -> date:
        """Return the last day of a period."""
        if number == self.last:
            return self.counted_to
        plain = number - (number > self.last)
        if self.every == "week":
            return date.fromordinal(plain * 7 + self.week_start)
        years, month = divmod(plain - 1, 12)
        return _month_end(date(years, month + 1, 1))

    def ends(self, first: int) -> list[date]:
        """Return the last day of each period from one on to the day that counting ends on."""
        return [self.end(number) for number in range(first, self.last + 1)]

    def _plain(self, day: date) -> int:
        if self.every == "week":
            return (day.toordinal() + 6 - self.week_start) // 7
        return day.year * 12 + day.month


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


def weighted_days(
    span: tuple[date, date],
    week: Mapping[str, Decimal],
    off: frozenset[date],
    on: Mapping[date, Decimal],
) -> dict[date, Decimal]:
    """Return the working days of a span with their weights, in order.

    A day listed as worked is so whatever its weekday, and although it is a holiday.
    """
    by_weekday = {WEEKDAYS.index(name): weight for name, weight in week.items()}
    weighted = {}
    for day in days_between(*span):
        weight = on.get(day) or (None if day in off else by_weekday.get(day.weekday()))
        if weight:
            weighted[day] = weight
    return weighted
