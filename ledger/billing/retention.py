"""What is retained of a job, claim by claim."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.billing.certified import ClaimStanding, certified_to_date
from ledger.changes.claim_terms import claim_base
from ledger.domain.claims import claim_sums
from ledger.store.book import Book


@dataclass(frozen=True)
class RetentionOf:
    """What is kept of the value certified to the day of a claim, released of it, and held still."""

    claim: int
    day: date
    value: Decimal
    kept: Decimal
    released: Decimal

    @property
    def held(self) -> Decimal:
        """Return what is kept and not released."""
        return self.kept - self.released


def retention_by_claim(
    book: Book, job: str, claims: Iterable[ClaimStanding]
) -> Iterator[RetentionOf]:
    """Yield what is retained by each claim of which anything is certified, by its own terms."""
    for each in claims:
        claim = each.claim
        if each.certified is not None:
            base = claim_base(book.known_by(claim.known_at), job, claim.day)
            lines = certified_to_date(book, job, claim.day).lines
            sums = claim_sums(base.terms, base.original_sum, lines, claim.day)
            kept, released = sums.retention_kept, sums.retention_released
            yield RetentionOf(claim.number, claim.day, sums.value_to_date, kept, released)
