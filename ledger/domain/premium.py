"""What overtime premium is due on: the yard's settings, read into whole units.

What has to be paid for which hours is for the contract, collective agreements and local law; here
is what the yard says its premium costs, as a percentage of the cost rate.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from ledger.domain.parsing import parse_decimal, parse_hours
from ledger.domain.pay import SETTINGS, classes_of

OVERTIME_PREMIUM = "overtime_premium"
PLACE, WEEK = "place", "week"
STANDS = (PLACE, WEEK)
# The most that is taken for a percentage: five times the rate on top of it.
MOST_PERCENT = 500


@dataclass(frozen=True)
class PremiumPolicy:
    """Thresholds in ms, None for none, and shares of the cost rate in 1/10000.

    `share` is due above the thresholds, None where nothing is; `classes` are the kinds of the pay
    classes, `shares` what is due on those that have a share of their own.
    """

    weekly_ms: int | None
    daily_ms: int | None
    leave_counts: bool
    share: int | None
    by_week: bool
    classes: Mapping[str, str]
    shares: Mapping[str, int]

    @property
    def as_inputs(self) -> dict[str, object]:
        """Return the policy as queries take it."""
        classes = {**self.classes, **{name: self.classes.get(name) for name in self.shares}}
        return {
            "classes": list(classes),
            "kinds": list(classes.values()),
            "shares": [self.shares.get(name) for name in classes],
            "weekly_ms": self.weekly_ms,
            "daily_ms": self.daily_ms,
            "leave_counts": self.leave_counts,
            "share": self.share,
            "by_week": self.by_week,
        }


def premium_policy(settings: Mapping[str, str]) -> PremiumPolicy | None:
    """Return what a yard's settings say of premium; None where nothing is due on any hours."""
    own = {
        name.removeprefix("premiums."): share_of(percent)
        for name, percent in settings.items()
        if name.startswith("premiums.")
    }
    weekly, daily, leave, percent, stands = (
        settings.get(name, SETTINGS[name])
        for name in (
            *("overtime.weekly_hours", "overtime.daily_hours", "overtime.paid_leave_counts"),
            *("overtime.premium_percent", "overtime.premium_stands"),
        )
    )
    above = share_of(percent) if percent and (weekly or daily) else None
    if not above and not any(own.values()):
        return None
    return PremiumPolicy(
        parse_hours(weekly) if weekly else None,
        parse_hours(daily) if daily else None,
        leave == "yes",
        above,
        stands == WEEK,
        classes_of(settings),
        own,
    )


def share_of(percent: str) -> int:
    """Return a percentage as a share in 1/10000.

    Raises: ValueError when it is no number, finer than two places, below 0 or above the most.
    """
    share = parse_decimal(percent) * 100
    if share != share.to_integral_value() or not 0 <= share <= Decimal(MOST_PERCENT * 100):
        raise ValueError(
            f'"{percent}" is not a percentage from 0 to {MOST_PERCENT} with at most two places'
        )
    return int(share)
