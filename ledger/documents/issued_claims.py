"""The claims of a job as they were issued."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from ledger.domain.claims import ClaimLine
from ledger.domain.pricing import NOTHING
from ledger.store.book import Book


@dataclass(frozen=True)
class Claim:
    """A claim: the n-th of its job, to a day, with its lines, and the batch it was known at."""

    number: int
    document: str
    day: date
    issued_on: date
    known_at: int
    lines: tuple[ClaimLine, ...]


def claims_of(book: Book, job: str) -> list[Claim]:
    """Return the claims of a job, in the order they were issued."""
    issued = book.records("documents/claims_issued", job=job)
    if not issued:
        return []
    lines: dict[str, list[ClaimLine]] = defaultdict(list)
    for row in book.records("documents/claim_lines", job=job):
        lines[row["document"]].append(_line(row))
    return [
        Claim(
            row["claim"],
            row["document"],
            row["day"],
            row["issued_on"],
            row["known_at"],
            tuple(lines[row["document"]]),
        )
        for row in issued
    ]


def _line(row: dict[str, Any]) -> ClaimLine:
    return ClaimLine(
        row["claim_kind"],
        row["change"],
        row["description"],
        _money(row["to_date"]),
        _money(row["before"]),
        quantity=row["quantity"],
        unit=row["unit"] or "",
        unit_price=row["unit_price"],
    )


def _money(amount: Decimal) -> Decimal:
    return amount.quantize(NOTHING, ROUND_HALF_UP)
