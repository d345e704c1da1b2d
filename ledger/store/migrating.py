"""Bringing an older book up to the schema of this version, as a batch of its own."""

from ledger.errors import Refused
from ledger.store import definitions
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.checking import broken_batch, broken_text, rows_by_batch, tables_filled
from ledger.store.schema import VERSION


def migrate(book: Book, batch: Batch) -> tuple[int, int]:
    """Run the pending migrations; return the schema before and after.

    Every head is recomputed before and after, in the transaction of the migration.
    Raises: Refused when there is none pending, or when a seal would change.
    """
    version = int(book.rows("store/batch_schema")[0][0])
    if version >= VERSION:
        raise Refused("schema_newest", book=book.path, schema=version)
    _prove(book, batch, "before")
    for step in range(version + 1, VERSION + 1):
        for statement in definitions.MIGRATIONS[step]:
            book.execute(statement)
    _renew(book)
    _prove(book, batch, "after")
    batch.recorded_empty = True
    return version, VERSION


def _prove(book: Book, batch: Batch, when: str) -> None:
    book.upto = batch.sequence - 1
    row_counts = rows_by_batch(book)
    wrong = broken_batch(book, row_counts) or broken_text(book, tables_filled(row_counts))
    book.upto = batch.sequence
    if wrong:
        raise Refused("migration_failed", when=when, found=wrong)


def _renew(book: Book) -> None:
    """Make macros and refusal triggers anew, for tables that were added too."""
    for name, table in book.rows("store/triggers_by_table"):
        book.execute(f"DROP TRIGGER {name} ON {table}")
    for statement in definitions.macros(book.withdrawn()):
        book.execute(definitions.anew(statement))
    for statement in definitions.triggers():
        book.execute(statement)
