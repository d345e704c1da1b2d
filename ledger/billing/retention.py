"""What is retained of a job, claim by claim."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.billing.certified import ClaimStanding


@dataclass(frozen=True)
class RetentionOf:
    """What is kept of the value certified by a claim, released of it, and held still."""

    claim: int
    day: date
    value: Decimal
    kept: Decimal
    released: Decimal

    @property
    def held(self) -> Decimal:
        """Return what is kept and not released."""
        return self.kept - self.released


def retention_by_claim(claims: Iterable[ClaimStanding]) -> Iterator[RetentionOf]:
    """Yield what is retained by each claim of which anything is certified, by its own terms."""
    for each in claims:
        if each.sums is not None:
            kept, released = each.sums.retention_kept, each.sums.retention_released
            claim = each.claim
            yield RetentionOf(claim.number, claim.day, each.sums.value_to_date, kept, released)
