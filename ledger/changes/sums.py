"""The contract sum as changes move it: adjusted, anticipated, and what is not added."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from ledger.changes.prices import NOTHING, PriceList
from ledger.changes.provisional_sums import SumSpent, sums_spent
from ledger.changes.standing import Standing, final_by, omitted_by
from ledger.store.book import Book


@dataclass(frozen=True)
class ContractSums:
    """Amounts of two places, signed: omitted is not above zero.

    `unspent` is what of it no change omits but the final account that is agreed; `time_beyond` what
    base time that is paid by the hour comes to beyond the estimate, not below 0.
    """

    original: Decimal
    approved: Decimal
    omitted: Decimal
    daywork_movement: Decimal
    daywork_unsigned: Decimal
    instructed: Decimal
    submitted: Decimal
    unspent: Decimal = NOTHING
    time_beyond: Decimal = NOTHING

    @property
    def adjusted(self) -> Decimal:
        """Return what is agreed: original + approved - omissions + daywork against its estimate."""
        return self.original + self.approved + self.omitted + self.daywork_movement

    @property
    def anticipated_final(self) -> Decimal:
        """Return what it comes to if time beyond the estimate, daywork unsigned and what is
        instructed are agreed.
        """
        return self.adjusted + self.daywork_unsigned + self.time_beyond + self.instructed


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


def contract_sums(
    contract_sum: Decimal,
    standings: Sequence[Standing],
    unspent: Iterable[SumSpent] = (),
    time_beyond: Decimal = NOTHING,
) -> ContractSums:
    """Return the sums of a job at the prices that are shown of its changes.

    Raises: Refused when a change cannot be priced.
    """
    moved = [sums_of(each) for each in standings]
    return sums_with(contract_sum, moved, unspent, time_beyond)


def sums_with(
    contract_sum: Decimal,
    moved: Sequence[ChangeSums],
    unspent: Iterable[SumSpent],
    time_beyond: Decimal = NOTHING,
) -> ContractSums:
    """Return the sums of a job from what its changes move of them, and sums that are unspent."""
    totals = {
        each.name: sum((getattr(of_change, each.name) for of_change in moved), NOTHING)
        for each in fields(ChangeSums)
    }
    left = -sum((each.left for each in unspent), NOTHING)
    totals["omitted"] += left
    original = contract_sum.quantize(NOTHING, ROUND_HALF_UP)
    return ContractSums(original, **totals, unspent=left, time_beyond=time_beyond)


def sums_unspent(
    book: Book, job: str, day: date, standings: Sequence[Standing]
) -> tuple[SumSpent, ...]:
    """Return the provisional sums of which an agreed final account omits the rest; none before."""
    if not final_by(book, job, day):
        return ()
    spent = provisional_sums_spent(book, job, standings)
    return tuple(each for each in spent if each.left)


def provisional_sums_spent(
    book: Book, job: str, standings: Sequence[Standing]
) -> tuple[SumSpent, ...]:
    """Return the provisional sums of a job with what approved changes omit of them."""
    lines = (line for each in standings if each.approved for line in omitted_by(each))
    return sums_spent(PriceList(book, job).provisional_sums.values(), lines)


def contract_sum_on(
    book: Book, job: str, signed: Decimal, day: date
) -> tuple[Decimal, date | None]:
    """Return the contract sum in force on a day, and the day it was amended, if it was."""
    amended = book.rows("owner/contract_sums", job=job, status_date=day)
    return (amended[-1][1], amended[-1][0]) if amended else (signed, None)
