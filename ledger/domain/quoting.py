"""What a change would cost, leave and delay: margin, and finish at the present pace."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.domain.allocation import to_places

WEEKS_OF_PACE = 4


@dataclass(frozen=True)
class Margin:
    """What is left of a price after its cost, both of two places; signed."""

    price: Decimal
    cost: Decimal

    @property
    def amount(self) -> Decimal:
        return self.price - self.cost

    @property
    def percent_of_price(self) -> Decimal | None:
        """The margin in percent of the price, of two places; None without a price."""
        return _percent(self.amount, self.price)

    @property
    def mark_up_on_cost(self) -> Decimal | None:
        """The mark-up in percent of the cost, of two places; None without a cost."""
        return _percent(self.amount, self.cost)


def _percent(part: Decimal, whole: Decimal) -> Decimal | None:
    return to_places(Fraction(part) * 100 / Fraction(whole), 2) if whole > 0 else None


@dataclass(frozen=True)
class TradeHours:
    """The hours of a trade that a change adds and takes out, and who books hours of it now.

    `weekly_ms` and `people` are means of a week over the last four.
    """

    trade: str
    added_ms: int
    omitted_ms: int
    weekly_ms: Fraction
    people: Fraction

    @property
    def net_ms(self) -> int:
        return self.added_ms - self.omitted_ms

    @property
    def weeks(self) -> Fraction | None:
        """The weeks that its net hours take at the present pace; None where nobody is there.

        Rule: net hours / mean hours booked a week by the trade; none where it takes hours out.
        """
        if self.net_ms <= 0:
            return Fraction(0)
        return self.net_ms / self.weekly_ms if self.weekly_ms > 0 else None


def weeks_taken(trades: Sequence[TradeHours]) -> Fraction | None:
    """Return the weeks that the slowest trade takes; None where a trade that is needed is missing.

    The trades work side by side, and on nothing else.
    """
    weeks = [each.weeks for each in trades]
    known = [each for each in weeks if each is not None]
    return max(known, default=Fraction(0)) if len(known) == len(weeks) else None


def whole_days(weeks: Fraction, days_a_week: Fraction) -> int:
    """Return weeks in working days, rounded up."""
    days = weeks * days_a_week
    return -(-days.numerator // days.denominator)


@dataclass(frozen=True)
class KeyDateReach:
    """A key date: the hours to go before it, and what the present pace brings until then, in ms.

    `to_go_ms` is without the change, `added_ms` what it adds before the date.
    """

    name: str
    day: date
    to_go_ms: int
    added_ms: int
    reach_ms: int

    @property
    def short_ms(self) -> int:
        """What is missing without the change, 0 where the pace is enough."""
        return max(0, self.to_go_ms - self.reach_ms)

    @property
    def short_with_change_ms(self) -> int:
        return max(0, self.to_go_ms + self.added_ms - self.reach_ms)
