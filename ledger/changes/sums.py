"""The contract sum as changes move it: adjusted, anticipated, and what is not added."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from ledger.changes.prices import NOTHING
from ledger.changes.standing import Standing
from ledger.store.book import Book


@dataclass(frozen=True)
class ContractSums:
    """Amounts of two places, signed: omitted is not above zero."""

    original: Decimal
    approved: Decimal
    omitted: Decimal
    daywork_movement: Decimal
    daywork_unsigned: Decimal
    instructed: Decimal
    submitted: Decimal

    @property
    def adjusted(self) -> Decimal:
        """Return what is agreed: original + approved - omissions + daywork against its estimate."""
        return self.original + self.approved + self.omitted + self.daywork_movement

    @property
    def anticipated_final(self) -> Decimal:
        """Return what it comes to if daywork unsigned and what is instructed are agreed."""
        return self.adjusted + self.daywork_unsigned + self.instructed


def contract_sums(contract_sum: Decimal, standings: Sequence[Standing]) -> ContractSums:
    """Return the sums of a job at the prices that are shown of its changes.

    Daywork beyond its estimate without a contract rate counts as nothing.

    Raises: Refused when a change cannot be priced.
    """
    approved = [each.price for each in standings if each.approved and each.price]
    daywork = [each for each in standings if each.approved and each.basis == "daywork"]
    open_ones = [each for each in standings if not each.approved and each.price]
    return ContractSums(
        contract_sum.quantize(NOTHING, ROUND_HALF_UP),
        sum((price.added for price in approved), NOTHING),
        sum((price.omitted for price in approved), NOTHING),
        sum((each.amount or NOTHING for each in daywork), NOTHING) - _net(daywork),
        sum((each.daywork.beyond or NOTHING for each in daywork if each.daywork), NOTHING),
        _net(each for each in open_ones if each.instructed),
        _net(e for e in open_ones if not e.instructed and e.price_state == "submitted"),
    )


def _net(standings: Iterable[Standing]) -> Decimal:
    return sum((each.price.net for each in standings if each.price), NOTHING)


def contract_sum_on(
    book: Book, job: str, signed: Decimal, day: date
) -> tuple[Decimal, date | None]:
    """Return the contract sum in force on a day, and the day it was amended, if it was."""
    amended = book.rows("owner/contract_sums", job=job, status_date=day)
    return (amended[-1][1], amended[-1][0]) if amended else (signed, None)
