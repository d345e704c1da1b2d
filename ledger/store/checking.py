"""Proving a book: every seal, every head, every invariant, recomputed."""

import re
from collections.abc import Collection
from typing import Any

from ledger.domain.seals import FIRST_HEAD, TableSeal, head
from ledger.errors import Refused, Remedy
from ledger.outcomes import Reason
from ledger.store.book import Book
from ledger.store.contents import broken_packed
from ledger.store.recorded import batch_facts, table_seals
from ledger.store.schema import SEAL_VERSION, TABLES
from ledger.store.schema_checking import altered_schema
from ledger.store.sealing import roots, roots_of_tables
from ledger.store.texts import erasures, marked, wrong_texts

_WHOLE_STAMP = re.compile(r"([1-9][0-9]{0,17})\.([0-9a-f]{64})")
# Queries of facts that contradict each other: none of them may have a row. Each with the tables it
# starts from: where these are all empty it can have none, and planning it is what takes long.
INVARIANTS = {
    "postings_not_whole": ("line", "entry", "posting"),
    "postings_not_alike": ("posting",),
    "reversals_not_whole": ("entry",),
    "reversals_not_cancelling": ("entry",),
    "lines_booked_twice": ("entry", "held_text", "line_outcome"),
    "corrections_not_paired": ("entry",),
    "lines_without_end": ("line", "held_text"),
    "corrections_astray": ("line_correction",),
    "reissues_not_ended_once": ("reissue_end", "held_text", "line_outcome"),
    "files_not_counted": ("file",),
    "file_parts_astray": ("file_part",),
    "withdrawals_astray": ("withdrawal",),
    "persons_astray": ("person_name", *(name for name in TABLES if TABLES[name].persons)),
    "attachments_astray": ("attachment",),
    "documents_astray": ("document",),
    "plans_not_whole": ("budget_posting", "plan_posting"),
    "claims_beyond_booked": ("claim_posting",),
    "payments_astray": ("payment",),
    "invoices_astray": ("document",),
    "claim_lines_astray": ("document_line", "claim_posting", "certified"),
}
ALL_BATCHES = 9223372036854775807
# The schema, each table's seals, marks in texts, the texts, and the invariants.
STEPS = len(TABLES) + 4
# Of each table the batches that have rows in it: how many, and the numbers of the first and last.
Counted = dict[str, dict[int, tuple[int, int, int]]]


def check_book(book: Book, against: str | None = None) -> Refused | None:
    """Return the first thing that does not hold, with batch and table; None when all holds.

    Raises: Refused for a stamp that is not whole.
    """
    stamp = None if against is None else _stamp_of(against)
    book.progress.step("schema", STEPS)
    if wrong := altered_schema(book):
        return wrong
    row_counts = rows_by_batch(book)
    filled = tables_filled(row_counts)
    return (
        broken_batch(book, row_counts)
        or _marked(book, filled)
        or _broken_content(book)
        or broken_text(book, filled)
        or _broken_invariant(book, filled)
        or (_not_extending(book, *stamp) if stamp else None)
    )


def broken_batch(book: Book, row_counts: Counted) -> Refused | None:
    """Recompute every seal and head that counts; name the first that does not hold."""
    previous, earlier = FIRST_HEAD, None
    batches = book.records("store/batches_to_check")
    sealed = table_seals(book)
    reckoned = _roots(book, {row["sequence"]: row["secret"] for row in batches}, sealed, row_counts)
    for number, row in enumerate(batches, start=1):
        if row["sequence"] != number:
            return Refused("batch_out_of_turn", batch=number)
        if earlier and row["recorded_at"] <= earlier:
            return Refused("batch_back_in_time", batch=number)
        earlier = row["recorded_at"]
        seals = sealed.get(number, {})
        wrong = _broken_tables(number, seals, row_counts, reckoned)
        wrong = wrong or _broken_head(row, list(seals.values()), previous)
        if wrong:
            return wrong
        previous = row["head"]
    return _stray_rows(book, row_counts)


def _tables_there(book: Book) -> list[str]:
    """Return the fact tables that the book has; one of an older schema lacks the newer ones."""
    there = {name for (name,) in book.rows("store/tables_present")}
    return [table for table in TABLES if table in there]


def rows_by_batch(book: Book) -> Counted:
    """Return how many rows each table has of each batch, and the first and the last number."""
    row_counts: Counted = {table: {} for table in _tables_there(book)}
    selects = [
        f"SELECT '{table}', batch, count(*), min(row), max(row)"
        f" FROM {TABLES[table].stored_macro}({ALL_BATCHES}) GROUP BY batch"
        for table in row_counts
    ]
    for table, sequence, *rows in book.execute(" UNION ALL ".join(selects)).fetchall():
        row_counts[table][sequence] = (rows[0], rows[1], rows[2])
    return row_counts


def tables_filled(row_counts: Counted) -> list[str]:
    """Return the tables that have any rows: planning to look at the others takes long."""
    return [table for table, of_batches in row_counts.items() if of_batches]


def _roots(
    book: Book,
    secrets: dict[int, bytes],
    sealed: dict[int, dict[str, TableSeal]],
    row_counts: Counted,
) -> dict[str, dict[int, str]]:
    """Return the root of each table in each batch that sealed it, from the rows that are there."""
    rows = {
        table: {
            sequence: range(first, first + count)
            for sequence, (count, first, _) in of_batches.items()
            if sequence in secrets and table in sealed.get(sequence, {})
        }
        for table, of_batches in row_counts.items()
    }
    by_table = roots_of_tables(book, rows, secrets, SEAL_VERSION)
    for table, own in rows.items():
        book.progress.step(table, STEPS)
        if table not in by_table:
            by_table[table] = roots(book, table, own, secrets, SEAL_VERSION)
    return by_table


def _broken_tables(
    sequence: int,
    sealed: dict[str, TableSeal],
    row_counts: Counted,
    reckoned: dict[str, dict[int, str]],
) -> Refused | None:
    if gone := sorted(set(sealed) - set(row_counts)):
        return Refused("table_missing", batch=sequence, table=gone[0])
    for table, of_batches in row_counts.items():
        count, *ends = of_batches.get(sequence, (0, 1, 0))
        seal = sealed.get(table)
        expected = seal.row_count if seal else 0
        lines = (
            row_counts.get("line", {}).get(sequence, (0,))[0] if TABLES[table].follows_lines else 0
        )
        if count != expected or (count and ends != [lines + 1, lines + count]):
            return Refused(
                "rows_not_as_many", batch=sequence, table=table, count=count, expected=expected
            )
        if seal and seal.version != SEAL_VERSION:
            return Refused("seal_unknown", batch=sequence, table=table, version=seal.version)
        if seal and count and reckoned[table].get(sequence) != seal.root:
            return Refused("rows_altered", batch=sequence, table=table)
    return None


def _broken_head(row: dict[str, Any], seals: list[TableSeal], previous: str) -> Refused | None:
    if row["previous_head"] != previous or head(batch_facts(row), seals) != row["head"]:
        return Refused("head_altered", batch=row["sequence"])
    return None


def _stray_rows(book: Book, row_counts: Counted) -> Refused | None:
    last = book.last_sequence()
    stray = book.rows("store/seals_without_batch", last=last)
    if stray:
        return Refused("seal_of_no_batch", batch=stray[0][0])
    for sequence, table in book.rows("store/seals_twice"):
        return Refused("sealed_twice", batch=sequence, table=table)
    for table, of_batches in row_counts.items():
        unrecorded = [sequence for sequence in of_batches if not 1 <= sequence <= last]
        if unrecorded:
            return Refused("rows_of_no_batch", batch=min(unrecorded), table=table)
    return None


def _broken_invariant(book: Book, filled: Collection[str]) -> Refused | None:
    book.progress.step("invariants", STEPS)
    for number, (query, tables) in enumerate(INVARIANTS.items(), start=1):
        book.progress.within(number, len(INVARIANTS))
        if not set(tables).intersection(filled):
            continue
        for row in book.records(f"store/{query}"):
            return Refused("invariant_broken", why=Reason(query, tuple(row.items())))
    return None


def _marked(book: Book, filled: Collection[str]) -> Refused | None:
    book.progress.step("marks in texts", STEPS)
    if text := marked(book, filled):
        table, batch, row, *_ = text
        return Refused("text_marked", batch=batch, table=table, row=row)
    return None


def broken_text(book: Book, filled: Collection[str]) -> Refused | None:
    """Compare every erasable text with its digest; one that is gone needs an erasure.

    `filled` are the tables that have rows.
    """
    book.progress.step("texts", STEPS)
    erased = {
        (each.table, each.batch, each.row): (each.erased_in, each.erased_row)
        for each in erasures(book)
    }
    gone = set()
    for table, batch, row, column, is_gone in wrong_texts(book, filled):
        if not is_gone or (table, batch, row) not in erased:
            return _wrong_text(table, batch, row, column, is_gone=is_gone)
        gone.add((table, batch, row))
    for fact, (batch, row) in erased.items():
        if fact not in gone:
            return Refused("erasure_of_text_there", batch=batch, row=row)
    return None


def _wrong_text(table: str, batch: int, row: int, column: str, *, is_gone: bool) -> Refused:
    if not row:  # The texts of a batch are in no numbered row.
        if is_gone:
            return Refused("batch_text_lost", batch=batch, column=column)
        return Refused("batch_text_altered", batch=batch, column=column)
    if is_gone:
        return Refused("text_lost", batch=batch, table=table, row=row, column=column)
    return Refused("text_altered", batch=batch, table=table, row=row, column=column)


def _broken_content(book: Book) -> Refused | None:
    broken = book.rows("store/content_astray") or broken_packed(book)
    for batch, row in broken:
        return Refused("content_altered", batch=batch, row=row)
    return None


def _stamp_of(text: str) -> tuple[int, str]:
    """Return the sequence and the head of a whole stamp, in any case."""
    stamp = _WHOLE_STAMP.fullmatch(text.strip().lower())
    if not stamp:
        raise Refused("stamp_unreadable", given=text, remedy=Remedy("check"))
    return int(stamp[1]), stamp[2]


def _not_extending(book: Book, sequence: int, kept: str) -> Refused | None:
    if sequence > book.last_sequence():
        return Refused("stamp_beyond_book", batch=sequence, last=book.last_sequence())
    if book.stamp(sequence).head != kept:
        return Refused("stamp_of_other_head", batch=sequence)
    return None
