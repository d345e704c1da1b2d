"""Why the sum of a job changed, step by step, each step by change."""

from dataclasses import dataclass, fields
from datetime import date
from decimal import Decimal

from ledger.changes.base_time import time_beyond
from ledger.changes.claim_terms import billed_currency
from ledger.changes.provisional_sums import SumSpent
from ledger.changes.standing import standings
from ledger.changes.sums import (
    ChangeSums,
    ContractSums,
    contract_sum_on,
    sums_of,
    sums_unspent,
    sums_with,
)
from ledger.jobs.jobs import job_card
from ledger.store.book import Book

# The steps, each with its sum; what is submitted is no step.
STEPS = {
    "original_sum": "original",
    "approved": "approved",
    "omissions": "omitted",
    "daywork_movement": "daywork_movement",
    "daywork_unsigned": "daywork_unsigned",
    "time_beyond_estimate": "time_beyond",
    "instructed_at_latest_price": "instructed",
    "anticipated_final_sum": "anticipated_final",
}
# Of these what changes move.
MOVED = {step: name for step, name in STEPS.items() if name in {e.name for e in fields(ChangeSums)}}


@dataclass(frozen=True)
class InCharge:
    """The sums of a job on a day, and what each change moves of them.

    `unspent` are the provisional sums of which an agreed final account omits the rest.
    """

    job: str
    day: date
    currency: str
    sums: ContractSums
    by_change: dict[str, ChangeSums]
    unspent: tuple[SumSpent, ...] = ()

    @property
    def steps(self) -> dict[str, Decimal]:
        """Return the steps, signed, of which the last is the sum of the others."""
        return {step: getattr(self.sums, name) for step, name in STEPS.items()}

    def of(self, step: str) -> list[tuple[str, Decimal]]:
        """Return the changes of a step with what each moves, in the order requested."""
        if step not in MOVED:
            return []
        moved = ((code, getattr(each, MOVED[step])) for code, each in self.by_change.items())
        return [(code, amount) for code, amount in moved if amount]

    def unspent_of(self, step: str) -> list[tuple[str, Decimal]]:
        """Return the provisional sums of a step by name, with what is omitted of each."""
        return [(e.name, -e.left) for e in self.unspent] if step == "omissions" else []


def in_charge(book: Book, job: str, day: date) -> InCharge:
    """Return why the sum of a job changed by a day.

    Raises: Refused when there is no such job, or a change cannot be priced.
    """
    contract_sum, _ = contract_sum_on(book, job, job_card(book, job).contract_sum, day)
    every = standings(book, job, day)
    moved, unspent = {e.change.code: sums_of(e) for e in every}, sums_unspent(book, job, day, every)
    beyond = time_beyond(book, job, day, contract_sum, every)
    sums = sums_with(contract_sum, list(moved.values()), unspent, beyond)
    return InCharge(job, day, billed_currency(book, job), sums, moved, unspent)
