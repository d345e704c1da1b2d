"""How each part is forecast, and why so: what stands beside every EAC."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from ledger.domain.forecast import (
    AS_BOOKED,
    BUDGET_RATE,
    FINISHED,
    INDEX,
    LEVEL_OF_EFFORT,
    OWN_ESTIMATE,
    Efficiency,
)
from ledger.outcomes import Reason, because

SEVERAL = "several"
NOTHING = because("nothing_budgeted_or_booked")
# The methods of the parts of a job, in the order in which they are named.
METHODS = (FINISHED, OWN_ESTIMATE, INDEX, BUDGET_RATE, LEVEL_OF_EFFORT, AS_BOOKED)


@dataclass(frozen=True)
class Method:
    """A method by its name, and the reason it is taken."""

    name: str
    reason: Reason


@dataclass(frozen=True)
class Taken:
    """The method one part was forecast by, and the day of its own estimate if it has one.

    `unmeasured` is a part that is finished and was never measured as done, "" of any other.
    """

    name: str
    estimated_on: date | None = None
    unmeasured: str = ""


def methods_of(taken: Iterable[Taken], efficiency: Efficiency) -> tuple[Method, ...]:
    """Return the methods of some parts with their reasons, each once, in a fixed order."""
    days: dict[str, set[date]] = {}
    unmeasured: set[str] = set()
    for each in taken:
        unmeasured |= {each.unmeasured} - {""}
        known = days.setdefault(each.name, set())
        if each.estimated_on:
            known.add(each.estimated_on)
    if not days:
        return (Method(AS_BOOKED, NOTHING),)
    names = [name for name in METHODS if name in days]
    reasons = {name: _reason(name, sorted(days[name]), efficiency) for name in names}
    if unmeasured:
        reasons[FINISHED] = because("finished_unmeasured", parts=", ".join(sorted(unmeasured)))
    return tuple(Method(name, reasons[name]) for name in names)


def _reason(name: str, days: list[date], efficiency: Efficiency) -> Reason:
    if name == OWN_ESTIMATE:
        return _estimated(days)
    if name in {INDEX, BUDGET_RATE}:
        return _at_rate(efficiency)
    return {
        FINISHED: because("booked_as_finished"),
        LEVEL_OF_EFFORT: because("booked_and_days_to_come"),
        AS_BOOKED: because("booked_without_budget"),
    }[name]


def _estimated(days: list[date]) -> Reason:
    if len(days) == 1:
        return because("estimated_on", day=days[0])
    return because("estimated_between", first=days[0], last=days[-1])


def _at_rate(efficiency: Efficiency) -> Reason:
    """Return why the job's index is taken, or the budget's rate; without level of effort both."""
    limit = efficiency.threshold_percent
    if efficiency.bac <= 0:
        return because("rate_without_budget")
    earned = Fraction(efficiency.ev * 100, efficiency.bac)
    if earned < limit:
        return because("rate_under_limit", earned_percent=earned, limit_percent=limit)
    if not efficiency.is_defined:
        return because("rate_without_index")
    index = efficiency.factor
    return because("index_over_limit", index=index, earned_percent=earned, limit_percent=limit)
