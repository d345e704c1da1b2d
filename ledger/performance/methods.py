"""How each part is forecast, and why so: what stands beside every EAC."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from ledger.domain.allocation import to_places
from ledger.domain.forecast import (
    AS_BOOKED,
    BUDGET_RATE,
    FINISHED,
    INDEX,
    LEVEL_OF_EFFORT,
    OWN_ESTIMATE,
    Efficiency,
)

SEVERAL = "several"
NOTHING = "nothing is budgeted or booked"
WORDS = {
    FINISHED: "finished",
    OWN_ESTIMATE: "own estimate",
    INDEX: "index",
    BUDGET_RATE: "budget rate",
    LEVEL_OF_EFFORT: "working days",
    AS_BOOKED: "as booked",
    SEVERAL: "several",
    "latest_price": "latest price",
    "contingency_left": "what is left",
}


@dataclass(frozen=True)
class Method:
    """A method by its name, and the reason it is taken."""

    name: str
    reason: str


@dataclass(frozen=True)
class Taken:
    """The method one part was forecast by, and the day of its own estimate if it has one."""

    name: str
    estimated_on: date | None = None


def methods_of(taken: Iterable[Taken], efficiency: Efficiency) -> tuple[Method, ...]:
    """Return the methods of some parts with their reasons, each once, in a fixed order."""
    days: dict[str, set[date]] = {}
    for each in taken:
        known = days.setdefault(each.name, set())
        if each.estimated_on:
            known.add(each.estimated_on)
    if not days:
        return (Method(AS_BOOKED, NOTHING),)
    names = [name for name in WORDS if name in days]
    return tuple(Method(name, _reason(name, sorted(days[name]), efficiency)) for name in names)


def _reason(name: str, days: list[date], efficiency: Efficiency) -> str:
    if name == OWN_ESTIMATE:
        return _estimated(days)
    if name in {INDEX, BUDGET_RATE}:
        return _at_rate(efficiency)
    return {
        FINISHED: "what was booked, as the work is finished",
        LEVEL_OF_EFFORT: "AC plus the budget of the working days to come",
        AS_BOOKED: "what was booked, as there is no budget",
    }[name]


def _estimated(days: list[date]) -> str:
    if len(days) == 1:
        return f"estimate to complete of {days[0]} plus AC on that day"
    return f"estimates to complete of {days[0]} to {days[-1]} plus AC on those days"


def _at_rate(efficiency: Efficiency) -> str:
    """Return why the job's index is taken, or the budget's rate; without level of effort both."""
    limit = efficiency.threshold_percent
    if efficiency.bac <= 0:
        return "at the budget's rate because there is no budget to measure by"
    earned = Fraction(efficiency.ev * 100, efficiency.bac)
    percent = f"{_cut(earned)} % of BAC is earned"
    if earned < limit:
        return f"at the budget's rate because {percent}, under {_plain(limit)} %"
    if not efficiency.is_defined:
        return "at the budget's rate because nothing is booked, or nothing earned, yet"
    index = to_places(efficiency.factor, 3)
    return f"at the job's EV / AC of {index} because {percent}, {_plain(limit)} % or more"


def _cut(percent: Fraction) -> str:
    """Return a percent to one place, cut, so that what is under a limit reads as under it."""
    return f"{to_places(Fraction(int(percent * 10), 10), 1)}"


def _plain(value: Fraction) -> str:
    return str(value.numerator) if value.denominator == 1 else f"{to_places(value, 2)}"
