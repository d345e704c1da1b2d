"""Hours paid and booked as they are shown: to two places, and every table adds up."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from ledger.domain.allocation import shown_adding_to
from ledger.domain.pay import ALLOWANCE
from ledger.reports.figures import hours
from ledger.reports.yard.reconciliation import PaidRow

NOTHING = Decimal("0.00")


@dataclass(frozen=True)
class RowShown:
    """A row in hours to two places: paid less booked is its reasons and what is unexplained.

    An allowance beside which nothing is booked is pay without time, and nothing of it unexplained.
    """

    row: PaidRow
    paid: Decimal
    booked: Decimal
    reasons: tuple[tuple[str, Decimal], ...]
    unexplained: Decimal

    @property
    def difference(self) -> Decimal:
        """Return hours paid less hours booked, as shown."""
        return self.paid - self.booked


def shown_rows(rows: Sequence[PaidRow]) -> list[RowShown]:
    """Return the rows as shown: paid and booked each add up to their totals.

    Rows that agree are shown alike on both sides, so that all that differs stands in the others.
    """
    paid, booked = [row.paid_ms for row in rows], [row.booked_ms for row in rows]
    agrees = [not row.difference_ms for row in rows]
    same = sum(ms for ms, is_same in zip(paid, agrees, strict=True) if is_same)
    total, other_total = hours(sum(paid)), hours(sum(booked))
    alike, _ = shown_adding_to(total, [same, sum(paid) - same])
    shown_paid = _spread(paid, agrees, (alike, total - alike))
    shown_booked = _spread(booked, agrees, (alike, other_total - alike))
    return [
        _shown(row, one, other)
        for row, one, other in zip(rows, shown_paid, shown_booked, strict=True)
    ]


def _spread(
    amounts: Sequence[int], agrees: Sequence[bool], totals: tuple[Decimal, Decimal]
) -> list[Decimal]:
    """Return each amount as shown: those of rows that agree, and the others, each to its total."""
    rounded = list(map(hours, amounts))
    for is_same, total in zip((True, False), totals, strict=True):
        places = [place for place, each in enumerate(agrees) if each is is_same]
        of_group = shown_adding_to(total, [amounts[place] for place in places])
        for place, part in zip(places, of_group, strict=True):
            rounded[place] = part
    return rounded


def _shown(row: PaidRow, paid: Decimal, booked: Decimal) -> RowShown:
    reasons = [(each.reason, each.ms) for each in row.reasons]
    if row.unexplained_ms:
        is_pay_alone = row.kind == ALLOWANCE and not row.booked_ms
        reasons.append((ALLOWANCE if is_pay_alone else "", row.unexplained_ms))
    amounts = shown_adding_to(paid - booked, [ms for _, ms in reasons])
    named = tuple(zip((reason for reason, _ in reasons), amounts, strict=True))
    left = sum((amount for reason, amount in named if not reason), NOTHING)
    return RowShown(row, paid, booked, tuple(each for each in named if each[0]), left)
