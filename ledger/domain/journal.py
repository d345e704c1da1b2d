"""The labour journal: what is debited, and labour recovered credited with as much."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, TypeAlias

from ledger.domain.allocation import to_places
from ledger.domain.parsing import MS_PER_HOUR

Kind: TypeAlias = Literal[
    "work_in_progress", "overhead", "absence", "untagged", "overtime_premium", "labour_recovered"
]
# Cost is kept as milliseconds times 1/10000 of the currency an hour.
PER = MS_PER_HOUR * 10_000


@dataclass(frozen=True)
class WorkedTime:
    """Time and its cost in whole units, of one job or cause; `is_late` of periods closed before."""

    kind: Kind
    job: str | None
    cause: str | None
    is_late: bool
    ms: int
    cost: int


@dataclass(frozen=True)
class JournalLine:
    """A line of the journal: either debit or credit, money rounded once."""

    account: str
    kind: Kind
    job: str | None
    cause: str | None
    is_late: bool
    ms: int
    debit: Decimal
    credit: Decimal


def journal_lines(
    worked: Iterable[WorkedTime], accounts: Mapping[str, str], places: int, *, leave_in_rate: bool
) -> list[JournalLine]:
    """Return the lines, the debits first; debits equal credits to the last digit.

    Absence costs nothing where the rate holds the leave. What is less than nothing, a correction of
    an earlier period, is credited. Labour recovered takes the sum of the lines as rounded.
    """
    lines = []
    for each in worked:
        cost = 0 if each.kind == "absence" and leave_in_rate else each.cost
        amount = to_places(cost, places, PER)
        if each.ms or amount:
            lines.append(_line(accounts, each, amount))
    total = sum((each.debit - each.credit for each in lines), Decimal(0))
    ms = sum(each.ms for each in lines)
    if lines:
        recovered = WorkedTime("labour_recovered", None, None, False, ms, 0)
        lines.append(_line(accounts, recovered, -total))
    return lines


def _line(accounts: Mapping[str, str], of: WorkedTime, amount: Decimal) -> JournalLine:
    zero = amount - amount
    debit, credit = (amount, zero) if amount > 0 else (zero, -amount or zero)
    return JournalLine(
        accounts[of.kind], of.kind, of.job, of.cause, of.is_late, of.ms, debit, credit
    )
