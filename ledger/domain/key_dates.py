"""Whether a key date is made: hours to go before it against the people there, by trade."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from ledger.domain.calendar import WorkCalendar
from ledger.outcomes import Reason


@dataclass(frozen=True)
class People:
    """The people of a trade: a mean of the last four weeks worked, those away already taken off.

    `weekly_ms` is what one of them works a week; None where nobody of any trade was there.
    """

    count: Fraction
    weekly_ms: Fraction | None


@dataclass(frozen=True)
class TradeReach:
    """What a trade has to go before a key date, in ms, the weeks left, and its people.

    Rule: people needed = hours to go / (weeks left x hours a week of one); all of the trade work on
    this alone. Common practice, no source.
    """

    trade: str | None
    to_go_ms: int
    weeks_left: Fraction
    people: People

    @property
    def needed(self) -> Fraction | None:
        """The people needed; None when no time is left, or nobody was there to measure by."""
        if not self.to_go_ms:
            return Fraction(0)
        a_person = self.weeks_left * (self.people.weekly_ms or 0)
        return self.to_go_ms / a_person if a_person > 0 else None

    @property
    def short(self) -> Fraction | None:
        """The people needed beyond those there; negative where there are more than needed."""
        return None if self.needed is None else self.needed - self.people.count

    @property
    def weeks_needed(self) -> Fraction | None:
        """The weeks that the people there take; None where there are none."""
        if not self.to_go_ms:
            return Fraction(0)
        weekly = self.people.count * (self.people.weekly_ms or 0)
        return self.to_go_ms / weekly if weekly > 0 else None


@dataclass(frozen=True)
class KeyDate:
    """A key date: its trades, the day on which the slowest is done, and working days too late.

    `reached_on` and `misses_by` are None where they are not defined, with the reason.
    """

    name: str
    day: date
    trades: tuple[TradeReach, ...]
    reached_on: date | None
    misses_by: int | None
    why: Reason | None = None

    @property
    def to_go_ms(self) -> int:
        return sum(each.to_go_ms for each in self.trades)


def reached_on(
    trades: Sequence[TradeReach], day: date, days_a_week: Fraction, calendar: WorkCalendar
) -> date | None:
    """Return the working day on which the slowest trade is done, counted from the day after `day`.

    `days_a_week` are full ones: a day of a smaller crew counts its weight. None where a trade has
    nobody, or it lies beyond the calendar.
    """
    weeks = [each.weeks_needed for each in trades]
    known = [each for each in weeks if each is not None]
    if len(known) < len(weeks):
        return None
    return calendar.day_after_full_days(day, max(known, default=Fraction(0)) * days_a_week)
