"""The account of a job: its sum, the value to date, and what of it is certified and due."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.billing.certified import ClaimStanding, claims_standing
from ledger.billing.claimable import Claimable, claimable
from ledger.changes.standing import standings
from ledger.changes.sums import ContractSums, contract_sum_on, contract_sums
from ledger.domain.pricing import NOTHING
from ledger.jobs.jobs import job_card
from ledger.store.book import Book


@dataclass(frozen=True)
class Account:
    """The account of a job by a day; nothing is invoiced, credited or paid as yet."""

    job: str
    day: date
    sums: ContractSums
    claimable: Claimable
    claims: tuple[ClaimStanding, ...]
    invoiced: Decimal = NOTHING
    credited: Decimal = NOTHING
    paid: Decimal = NOTHING

    @property
    def outstanding(self) -> Decimal:
        """Return what is invoiced, less what is credited and paid."""
        return self.invoiced - self.credited - self.paid


def account(book: Book, job: str, day: date) -> Account:
    """Return the account of a job by a day.

    Raises: Refused when there is no such job, or an approved change cannot be priced.
    """
    card = job_card(book, job)
    contract_sum, _ = contract_sum_on(book, job, card.contract_sum, day)
    sums = contract_sums(contract_sum, standings(book, job, day))
    claims = tuple(claims_standing(book, job, day))
    return Account(job, day, sums, claimable(book, job, day), claims)
