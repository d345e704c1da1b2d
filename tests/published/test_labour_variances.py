"""Labour variances of published exercises in standard costing, each figure as printed there."""

from fractions import Fraction

import pytest

from ledger.domain.labour_variances import TradeLabour, labour_variances, variances_of_all

HOUR = 3_600_000
UNIT = HOUR * 10_000  # a unit of money in ms x 1/10000


def trade(name: str, standard: str, worked: str, idle: str, rate: str, paid: str) -> TradeLabour:
    """Return a trade's labour from hours and money as printed."""
    earned, booked, lost = (int(Fraction(each) * HOUR) for each in (standard, worked, idle))
    cost = int(Fraction(paid) * UNIT)
    return TradeLabour(name, earned, booked, lost, Fraction(rate) * 10_000, cost)


def in_money(value: Fraction | None) -> Fraction:
    assert value is not None
    return value / UNIT


# Solution of a cost-accounting examination: a gang of 30, 15 and 10 people at 0.80, 0.60 and 0.40
# an hour makes 2,000 units in 40 hours. It was 40, 10 and 5 people, paid 40 hours of which 4 idle,
# at 0.70, 0.65 and 0.30; 1,600 units, so 32 standard hours. Mix and yield are computed from it.
GANG = [
    trade("skilled", "960", "1440", "160", "0.80", "1120"),
    trade("half-skilled", "480", "360", "40", "0.60", "260"),
    trade("unskilled", "320", "180", "20", "0.40", "60"),
]


def test_gang_of_three_trades() -> None:
    """Rate 160 favourable, idle 160 adverse, efficiency 256 adverse of which mix 108, yield 148."""
    every = variances_of_all(labour_variances(GANG))

    assert in_money(every.rate) == 160
    assert in_money(every.idle) == -160
    assert in_money(every.efficiency) == -256
    assert in_money(every.mix) == -108
    assert in_money(every.output) == -148


# Two exercises of public course texts on standard costing: standard hours, rate, hours, paid; rate
# and efficiency variance. 70,070 is the standard cost of 2,002 h; 74,060 of 2,300 units at 2.8 h.
EXERCISES = [
    ("2002", "35", "2070", 2070 * 30, 10_350, -2_380),
    (str(Fraction("2.8") * 2300), "11.50", "6900", 80_385, -1_035, -5_290),
]


@pytest.mark.parametrize(("standard", "rate", "hours", "paid", "by_rate", "by_hours"), EXERCISES)
def test_one_trade(
    standard: str, rate: str, hours: str, paid: int, by_rate: int, by_hours: int
) -> None:
    """With one trade all efficiency is yield: there is no mix."""
    (found,) = labour_variances([trade("all", standard, hours, "0", rate, str(paid))])

    assert in_money(found.rate) == by_rate
    assert in_money(found.efficiency) == by_hours
    assert found.mix == 0
