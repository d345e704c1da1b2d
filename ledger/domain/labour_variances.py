"""Why labour cost differs from what the work earned: rate, idle time, mix and yield by trade.

The standard hours of a trade are those that the work done was budgeted for. All variances are in
cost units (ms x 1/10000 of the currency), positive where favourable, and exact:

    rate       = paid hours x standard rate - what was paid for them
    premium    = - overtime premium, which is paid beside the rate
    idle       = - idle hours x standard rate
    mix        = (worked hours of all trades in the standard proportion - worked hours) x rate
    yield      = (standard hours - worked hours of all in the standard proportion) x rate
    efficiency = mix + yield = (standard hours - worked hours) x standard rate

They sum to the standard cost of the work done less what was paid. Source: the variances of
standard costing as cost accounting teaches them; checked by `tests/published/`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class TradeLabour:
    """A trade's labour: hours in ms, the standard rate per hour in 1/10000, cost in ms x 1/10000.

    Paid hours are those worked and those idle; `premium` is not in what was `paid` for them.
    """

    trade: str
    standard_ms: int
    worked_ms: int
    idle_ms: int
    standard_rate: Fraction
    paid: int
    premium: int = 0

    @property
    def standard_cost(self) -> Fraction:
        return self.standard_ms * self.standard_rate


@dataclass(frozen=True)
class Variances:
    """The variances of a trade or of all, in cost units, positive where favourable.

    Mix and yield are None while no work is earned: there is no standard proportion then.
    """

    rate: Fraction
    idle: Fraction
    efficiency: Fraction
    mix: Fraction | None
    premium: Fraction = Fraction(0)

    @property
    def output(self) -> Fraction | None:
        """The yield variance: what of efficiency is no matter of the mix."""
        return None if self.mix is None else self.efficiency - self.mix

    @property
    def total(self) -> Fraction:
        return self.rate + self.idle + self.efficiency + self.premium


def labour_variances(labour: Sequence[TradeLabour]) -> list[Variances]:
    """Return the variances of each trade, in the order given; they add up by kind."""
    standard = sum(trade.standard_ms for trade in labour)
    worked = sum(trade.worked_ms for trade in labour)
    by_trade = []
    for trade in labour:
        rate, hours = trade.standard_rate, trade.worked_ms
        as_standard = Fraction(worked * trade.standard_ms, standard) if standard else None
        by_trade.append(
            Variances(
                (hours + trade.idle_ms) * rate - trade.paid,
                -trade.idle_ms * rate,
                (trade.standard_ms - hours) * rate,
                None if as_standard is None else (as_standard - hours) * rate,
                -Fraction(trade.premium),
            )
        )
    return by_trade


def variances_of_all(each: Sequence[Variances]) -> Variances:
    """Return the sums of the variances of all trades."""
    mixes = [one.mix for one in each if one.mix is not None]
    return Variances(
        sum((one.rate for one in each), Fraction()),
        sum((one.idle for one in each), Fraction()),
        sum((one.efficiency for one in each), Fraction()),
        sum(mixes, Fraction()) if len(mixes) == len(each) else None,
        sum((one.premium for one in each), Fraction()),
    )
