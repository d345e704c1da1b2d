"""The contract sum as changes move it: adjusted, anticipated, and what is not added."""

from collections.abc import Sequence
from dataclasses import dataclass, fields
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


@dataclass(frozen=True)
class ChangeSums:
    """What one change moves of the contract's sums: as `ContractSums` has them of all."""

    approved: Decimal = NOTHING
    omitted: Decimal = NOTHING
    daywork_movement: Decimal = NOTHING
    daywork_unsigned: Decimal = NOTHING
    instructed: Decimal = NOTHING
    submitted: Decimal = NOTHING


def sums_of(standing: Standing) -> ChangeSums:
    """Return what a change moves at the price that is shown of it.

    Daywork beyond its estimate without a contract rate counts as nothing.

    Raises: Refused when it cannot be priced.
    """
    price = standing.price
    if standing.approved and standing.basis == "daywork":
        net = price.net if price else NOTHING
        return ChangeSums(
            price.added if price else NOTHING,
            price.omitted if price else NOTHING,
            (standing.amount or NOTHING) - net,
            (standing.daywork.beyond if standing.daywork else None) or NOTHING,
        )
    if price is None:
        return ChangeSums()
    if standing.approved:
        return ChangeSums(price.added, price.omitted)
    if standing.instructed:
        return ChangeSums(instructed=price.net)
    return ChangeSums(submitted=price.net if standing.price_state == "submitted" else NOTHING)


def contract_sums(contract_sum: Decimal, standings: Sequence[Standing]) -> ContractSums:
    """Return the sums of a job at the prices that are shown of its changes.

    Raises: Refused when a change cannot be priced.
    """
    return sums_with(contract_sum, [sums_of(each) for each in standings])


def sums_with(contract_sum: Decimal, moved: Sequence[ChangeSums]) -> ContractSums:
    """Return the sums of a job from what its changes move of them."""
    totals = {
        each.name: sum((getattr(of_change, each.name) for of_change in moved), NOTHING)
        for each in fields(ChangeSums)
    }
    return ContractSums(contract_sum.quantize(NOTHING, ROUND_HALF_UP), **totals)


def contract_sum_on(
    book: Book, job: str, signed: Decimal, day: date
) -> tuple[Decimal, date | None]:
    """Return the contract sum in force on a day, and the day it was amended, if it was."""
    amended = book.rows("owner/contract_sums", job=job, status_date=day)
    return (amended[-1][1], amended[-1][0]) if amended else (signed, None)
