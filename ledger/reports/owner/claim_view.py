"""What a progress claim may hold: the contract sum as adjusted, the work to date, what is due.

The types have no field for what work costs the yard, for what anybody earns or for other jobs.
Amounts have two places, in the job's currency, without tax.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.domain.claims import ClaimLine, ClaimSums
from ledger.domain.pricing import NOTHING
from ledger.reports.owner.document_views import Head


@dataclass(frozen=True)
class VariationRow:
    """An approved change and what it adds to the contract sum; of daywork it is an estimate yet."""

    change: str
    title: str
    amount: Decimal
    estimated: bool


@dataclass(frozen=True)
class ProgressClaim:
    """The n-th claim of a job, to a day; `title` is what the yard calls it.

    `amended_on` is the day of the contract sum in force, None when it is the one signed; `unspent`
    is what an agreed final account omits of provisional sums, signed.
    """

    head: Head
    title: str
    claim: int
    day_to: date
    contract_sum: Decimal
    amended_on: date | None
    variations: tuple[VariationRow, ...]
    adjusted_sum: Decimal
    lines: tuple[ClaimLine, ...]
    sums: ClaimSums
    unspent: Decimal = NOTHING

    def __post_init__(self) -> None:
        moved = sum((each.amount for each in self.variations), NOTHING)
        assert self.contract_sum + moved + self.unspent == self.adjusted_sum
        assert sum((line.to_date for line in self.lines), NOTHING) == self.sums.value_to_date
