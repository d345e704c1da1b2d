"""Corrections of lines: the temporary tables `staged_so_far` and `staged_correction_typed`."""

from ledger.store.batches import Batch
from ledger.store.book import Book


def stage_so_far(book: Book) -> None:
    """Stage the lines written as all corrections so far have them."""
    book.stage("so_far", "sheets/lines_corrected")


def keep_corrections(batch: Batch, query: str, **inputs: object) -> None:
    """Keep the corrections that a query names, from what the lines said so far."""
    batch.book.stage("correction_typed", query, **inputs)
    batch.append_query("line_correction", "sheets/corrections_made")
