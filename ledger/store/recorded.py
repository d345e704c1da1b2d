"""What the book has of its batches: what each head is made from, and what was sealed."""

from collections import defaultdict
from collections.abc import Mapping
from datetime import UTC
from typing import Any

from ledger.domain.seals import BatchFacts, TableSeal
from ledger.store.batches import microseconds
from ledger.store.book import Book


def batch_facts(record: Mapping[str, Any]) -> BatchFacts:
    """Return what the head of a batch is made from, besides its tables."""
    return BatchFacts(
        record["sequence"],
        microseconds(record["recorded_at"].replace(tzinfo=UTC)),
        record["actor_hash"],
        record["command_hash"],
        record["program_version"],
        record["schema_version"],
        record["previous_head"],
    )


def table_seals(book: Book) -> dict[int, dict[str, TableSeal]]:
    """Return what each batch sealed of each table."""
    seals: dict[int, dict[str, TableSeal]] = defaultdict(dict)
    for sequence, *seal in book.rows("store/batch_seals"):
        seals[sequence][seal[0]] = TableSeal(*seal)
    return seals
