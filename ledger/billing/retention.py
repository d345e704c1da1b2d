"""What is retained of a job, claim by claim, and what of that its invoices bear."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.billing.certified import ClaimStanding
from ledger.changes.claim_terms import claim_base
from ledger.documents.invoices import IssuedInvoice
from ledger.domain.claims import Release, percent_of
from ledger.domain.pricing import NOTHING
from ledger.domain.receivables import Held
from ledger.store.book import Book


@dataclass(frozen=True)
class RetentionOf:
    """What is kept of the value certified by a claim, released of it, and held still.

    `in_full` says that its invoice bears what is kept, so that it is held back when that is paid.
    """

    claim: int
    day: date
    value: Decimal
    kept: Decimal
    released: Decimal
    in_full: bool = False

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
        if each.sums is not None:
            terms = claim_base(book.known_by(claim.known_at), job, claim.day).terms
            in_full = terms.retention.invoiced == "in_full"
            value, kept = each.sums.value_to_date, each.sums.retention_kept
            released = each.sums.retention_released
            yield RetentionOf(claim.number, claim.day, value, kept, released, in_full)


def held_on_invoices(
    book: Book, job: str, issued: Iterable[IssuedInvoice], kept: Sequence[RetentionOf], day: date
) -> dict[str, tuple[Held, ...]]:
    """Return what each invoice bears of the retention kept, without tax, by its number.

    It is what its claim keeps above that of the invoice before, in the parts and on the days that
    the job releases it; where less is kept than before, the invoices before bear less.
    """
    if not any(each.in_full for each in kept):
        return {}
    by_claim = {each.claim: each for each in kept}
    standing = [each for each in issued if each.stands and each.claim in by_claim]
    releases = claim_base(book, job, day).terms.retention.releases
    releases = tuple(sorted(releases, key=lambda each: each.day or date.max))
    to_date = [_by_release(by_claim[each.claim or 0], releases) for each in standing]
    by_document: dict[str, tuple[Held, ...]] = {}
    less = [NOTHING] * (len(releases) + 1)
    days = (*(each.day for each in releases), None)
    for place in reversed(range(len(standing))):
        before = to_date[place - 1] if place else [NOTHING] * len(less)
        above = [n - b + x for n, b, x in zip(to_date[place], before, less, strict=True)]
        less = [min(NOTHING, each) for each in above]
        by_document[standing[place].document] = tuple(
            Held(max(NOTHING, amount), on) for amount, on in zip(above, days, strict=True)
        )
    return by_document


def _by_release(kept: RetentionOf, releases: Iterable[Release]) -> list[Decimal]:
    """Return what is kept by the release that it waits for; what waits for none comes last."""
    amounts, percent, before = [], Decimal(0), NOTHING
    for each in releases:
        percent = min(Decimal(100), percent + each.percent)
        to_date = percent_of(kept.kept, percent)
        amounts.append(to_date - before)
        before = to_date
    amounts.append(kept.kept - before)
    return amounts if kept.in_full else [NOTHING] * len(amounts)
