"""Hours that a certificate leaves short are claimed no longer, until it is made good.

Of an item they are its share: so much of its hours as of their amount is certified, the earliest
days first. They may move or be corrected then, and the next claim asks for what is still agreed.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from ledger.changes.claim_terms import BASE
from ledger.documents.issued_claims import Claim, claims_of
from ledger.domain.certified import by_item, certified_of, claimed
from ledger.domain.claims import ClaimLine
from ledger.store.batches import Batch
from ledger.store.book import Book


@dataclass(frozen=True)
class _Share:
    """What of the hours of an item is certified: cents of cents; `position` is its first line."""

    item: str
    position: int
    certified: int
    claimed: int


def follow_certificates(batch: Batch) -> None:
    """Free the time that certificates of a job's last claim leave short, take up what they do not.

    Of an item without a certificate all stays taken up: it waits.
    """
    book = batch.book
    for job in sorted({row["job"] for row in book.current("job")}):
        claims = claims_of(book, job)
        if claims:
            _follow(batch, job, claims[-1])


def _follow(batch: Batch, job: str, claim: Claim) -> None:
    book = batch.book
    rows = book.records("billing/certificates", job=job)
    amounts = {row["item"]: row["amount"] for row in rows if row["claim"] == claim.number}
    places: list[tuple[str, _Share]] = []
    for share in _shares(claim.lines, amounts):
        places += [(place, share) for place in _places(book, job, share.item)]
    if not places:
        return
    batch.append_query(
        "claim_posting",
        "billing/certified_postings",
        job=job,
        document=claim.document,
        claim_batch=book.rows("billing/claim_batch", document=claim.document)[0][0],
        places=[place for place, _ in places],
        items=[share.item for _, share in places],
        positions=[share.position for _, share in places],
        certified=[share.certified for _, share in places],
        claimed=[share.claimed for _, share in places],
    )


def _shares(lines: Sequence[ClaimLine], amounts: dict[str, Decimal]) -> Iterator[_Share]:
    """Yield each item with hours, and what of them is certified."""
    for item, own in by_item(lines).items():
        certified = certified_of(own, amounts.get(item, claimed(own)))
        by_hours = [number for number, line in enumerate(own) if _is_of_hours(line)]
        asked = sum(_cents(own[number].to_date) for number in by_hours)
        if asked > 0:
            got = sum(_cents(certified[number].to_date) for number in by_hours)
            first = lines.index(own[by_hours[0]]) + 1
            yield _Share(item, first, max(0, got), asked)


def _is_of_hours(line: ClaimLine) -> bool:
    """Whether a line takes up time: hours at a rate, or a value agreed for daywork."""
    return line.unit == "h" or (line.claim_kind == "daywork" and line.unit_price is None)


def _places(book: Book, job: str, item: str) -> list[str]:
    """Return where the time of an item is booked: its change, or the packages of the base."""
    if item != BASE:
        return [item]
    rows = (row for row in book.current("work_package") if row["job"] == job)
    return sorted({row["work_package"] for row in rows})


def _cents(amount: Decimal) -> int:
    return int(amount.scaleb(2))
