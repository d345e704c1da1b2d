"""The forecast of each part: what it will have taken when it is done."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from ledger.domain.allocation import allocated, rounded

ONE = Fraction(1)

# How a part is forecast.
FINISHED = "finished"
OWN_ESTIMATE = "own_estimate"
INDEX = "index"
BUDGET_RATE = "budget_rate"
LEVEL_OF_EFFORT = "level_of_effort"
AS_BOOKED = "as_booked"


# Under this share of BAC earned, in percent, a range of forecasts says nothing.
EARLY_PERCENT = 5


def is_early(ev: int, bac: int) -> bool:
    """Return whether too little is earned for a range: indices swing, and formulas with them.

    The limit of 5 percent of BAC is common practice, no source.
    """
    return ev * 100 < EARLY_PERCENT * bac


@dataclass(frozen=True)
class Efficiency:
    """The job's sums without level of effort, from which the efficiency to come is taken."""

    bac: int
    ev: int
    ac: int
    threshold_percent: Fraction

    @property
    def factor(self) -> Fraction:
        """Return EV / AC once EV reaches the threshold of BAC, else 1.

        The threshold of 15 percent is common practice, no source.
        """
        return Fraction(self.ev, self.ac) if self.method == INDEX else ONE

    @property
    def is_defined(self) -> bool:
        """Whether EV / AC is: something is earned and something booked."""
        return self.ac > 0 and self.ev > 0

    @property
    def method(self) -> str:
        """Return whether the rest is forecast by the index or at the budget's rate."""
        enough = self.bac > 0 and self.ev * 100 >= self.threshold_percent * self.bac
        return INDEX if enough and self.is_defined else BUDGET_RATE


@dataclass(frozen=True)
class ForecastPart:
    """A package or variation and one trade: what a forecast needs."""

    budget: int
    earned: int
    actual: int
    finished: bool
    level_of_effort: bool = False

    @property
    def complete(self) -> bool:
        """Whether it is done: all earned, or said to be finished."""
        return self.finished or (self.budget > 0 and self.earned >= self.budget)

    @property
    def unearned(self) -> int:
        return max(0, self.budget - self.earned)


def by_efficiency(part: ForecastPart, factor: Fraction) -> int:
    """Return AC + (B - EV) / f, rounded to the unit; AC of a complete part."""
    if part.complete:
        return part.actual
    return part.actual + rounded((part.budget - part.earned) / factor)


def by_working_days(part: ForecastPart, left: int, whole: int) -> int:
    """Return AC + B x w / W of a level of effort, never below AC."""
    if part.complete:
        return part.actual
    return (
        part.actual + rounded(Fraction(part.budget * max(0, left), whole)) if whole else part.actual
    )


def by_own_estimate(trades: Sequence[ForecastPart], then: int, to_complete: int) -> list[int]:
    """Return the forecasts of a package's open trades from one estimate to complete.

    Their sum is AC then + ETC then, never below AC now; it is split by what is not yet earned.
    """
    now = sum(trade.actual for trade in trades)
    rest = max(0, then + to_complete - now)
    shares = allocated(rest, [trade.unearned for trade in trades])
    return [trade.actual + share for trade, share in zip(trades, shares, strict=True)]
