"""Proving a book: every seal, every head, every invariant, recomputed."""

import contextlib
import re
from functools import cache
from typing import Any

import duckdb

from ledger.domain.counting import counted
from ledger.domain.seals import FIRST_HEAD, TableSeal, head
from ledger.errors import Refused, Remedy
from ledger.store import migrations
from ledger.store.book import IN_MEMORY, Book
from ledger.store.contents import broken_packed
from ledger.store.recorded import batch_facts, table_seals
from ledger.store.schema import SEAL_VERSION, TABLES
from ledger.store.sealing import roots
from ledger.store.texts import erasures, marked, wrong_texts

_WHOLE_STAMP = re.compile(r"([1-9][0-9]{0,17})\.([0-9a-f]{64})")
INVARIANTS = {
    "postings_not_whole": "posting: the postings of entry {0}/{1} do not add up to its time",
    "postings_not_alike": "posting: batch {0} row {1} has a different worker or day from its entry",
    "reversals_not_whole": "entry: batch {0} row {1} is not a valid reversal",
    "reversals_not_cancelling": "posting: reversal {0}.{1} does not cancel what it reverses",
    "lines_booked_twice": "entry: sheet line {0}.{1} is booked twice, or not to be booked",
    "corrections_not_paired": "entry: sheet line {0}.{1} is not corrected and booked together",
    "lines_without_end": "line_outcome: sheet line {0}.{1} is neither held, ended nor booked",
    "corrections_astray": "line_correction: batch {0} corrects line {1}.{2} without ending it",
    "reissues_not_ended_once": "reissue_end: {0}.{1} ends a re-issue twice or none",
    "files_not_counted": "file: batch {0} row {1}: its counts do not add up to the lines read",
    "file_parts_astray": "file_part: batch {0} row {1}: the part is not there",
    "withdrawals_astray": "withdrawal: batch {0} row {1} withdraws a fact that did not count",
    "persons_astray": "{0}: batch {1} row {2}: the handle {3} is not one person's",
    "attachments_astray": "attachment: batch {0} row {1} names a file that is not in the book",
    "documents_astray": "document: batch {0} row {1} has a wrong number or stamp, or no bytes",
    "plans_not_whole": "plan_posting: {0}, {1}: the plan does not add up to the budget",
    "claims_beyond_booked": (
        "claim_posting: entry {0}.{1}: {2} claims more of it than is booked, or less than none"
    ),
    "payments_astray": "{0}: batch {1} row {2} is of no invoice of its job",
    "invoices_astray": "document: batch {0} row {1} is not a valid invoice or credit note",
    "claim_lines_astray": "{0}: batch {1} row {2} does not fit its claim",
}
ALL_BATCHES = 9223372036854775807
# The schema, each table's seals, marks in texts, the texts, and the invariants.
STEPS = len(TABLES) + 4
# Of each table the batches that have rows in it: how many, and the numbers of the first and last.
Counted = dict[str, dict[int, tuple[int, int, int]]]


def check_book(book: Book, against: str | None = None) -> str | None:
    """Return the first thing that does not hold, naming batch and table; None when all holds.

    Raises: Refused for a stamp that is not whole.
    """
    stamp = None if against is None else _stamp_of(against)
    book.progress.step("schema", STEPS)
    return (
        _altered_schema(book)
        or broken_batch(book)
        or _marked(book)
        or _broken_content(book)
        or broken_text(book)
        or _broken_invariant(book)
        or (_not_extending(book, *stamp) if stamp else None)
    )


def _altered_schema(book: Book) -> str | None:
    """Compare triggers, macros and tables with those of a book made now."""
    there = _schema_of(book)
    # First that all is there, withdrawals too, which decide how some macros read.
    for kind, name in _schema_made(frozenset()):
        if (kind, name) not in there:
            return f"{_described(kind, name)} is missing"
    for (kind, name), text in _schema_made(book.withdrawn()).items():
        if there[kind, name] != text:
            return f"{_described(kind, name)} differs from the one of this version"
    return None


@cache
def _schema_made(withdrawn: frozenset[str]) -> dict[tuple[str, str], str]:
    """Return the schema of a book made now, the same each time in a process."""
    with contextlib.closing(duckdb.connect()) as connection:
        fresh = Book(connection, IN_MEMORY)
        for statement in migrations.statements(withdrawn):
            fresh.execute(statement)
        return _schema_of(fresh)


def _schema_of(book: Book) -> dict[tuple[str, str], str]:
    return {(kind, name): text for kind, name, text in book.rows("store/schema_present")}


def _described(kind: str, name: str) -> str:
    table, refuses, event = name.partition("_refuses_")
    if kind == "trigger" and refuses:
        return f"{table}: the trigger that refuses {event.upper()}"
    return f"the {kind} {name}"


def broken_batch(book: Book) -> str | None:
    """Recompute every seal and head that counts; name the first that does not hold."""
    previous, earlier = FIRST_HEAD, None
    row_counts = _rows_by_batch(book)
    batches = book.records("store/batches_to_check")
    sealed = table_seals(book)
    reckoned = _roots(book, {row["sequence"]: row["secret"] for row in batches}, sealed, row_counts)
    for number, row in enumerate(batches, start=1):
        if row["sequence"] != number:
            return f"batch {number}: table batch: missing or recorded twice"
        if earlier and row["recorded_at"] <= earlier:
            return f"batch {number}: table batch: recorded earlier than the batch before it"
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


def _rows_by_batch(book: Book) -> Counted:
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


def _roots(
    book: Book,
    secrets: dict[int, bytes],
    sealed: dict[int, dict[str, TableSeal]],
    row_counts: Counted,
) -> dict[str, dict[int, str]]:
    """Return the root of each table in each batch that sealed it, from the rows that are there."""
    found: dict[str, dict[int, str]] = {}
    for table, of_batches in row_counts.items():
        book.progress.step(table, STEPS)
        rows = {
            sequence: range(first, first + count)
            for sequence, (count, first, _) in of_batches.items()
            if sequence in secrets and table in sealed.get(sequence, {})
        }
        found[table] = roots(book, table, rows, secrets, SEAL_VERSION)
    return found


def _broken_tables(
    sequence: int,
    sealed: dict[str, TableSeal],
    row_counts: Counted,
    reckoned: dict[str, dict[int, str]],
) -> str | None:
    if gone := sorted(set(sealed) - set(row_counts)):
        return f"batch {sequence}: table {gone[0]}: missing"
    for table, of_batches in row_counts.items():
        count, *ends = of_batches.get(sequence, (0, 1, 0))
        seal = sealed.get(table)
        expected = seal.row_count if seal else 0
        lines = (
            row_counts.get("line", {}).get(sequence, (0,))[0] if TABLES[table].follows_lines else 0
        )
        if count != expected or (count and ends != [lines + 1, lines + count]):
            rows = counted(count, "row", "rows")
            return f"batch {sequence}: table {table}: {rows}, sealed with {expected}"
        if seal and seal.version != SEAL_VERSION:
            return f"batch {sequence}: table {table}: seal version {seal.version} is not known"
        if seal and count and reckoned[table].get(sequence) != seal.root:
            return f"batch {sequence}: table {table}: its rows differ from those sealed"
    return None


def _broken_head(row: dict[str, Any], seals: list[TableSeal], previous: str) -> str | None:
    if row["previous_head"] != previous or head(batch_facts(row), seals) != row["head"]:
        return f"batch {row['sequence']}: table batch: its head does not match its content"
    return None


def _stray_rows(book: Book, row_counts: Counted) -> str | None:
    last = book.last_sequence()
    stray = book.rows("store/seals_without_batch", last=last)
    if stray:
        return f"batch {stray[0][0]}: table batch_table: seals a batch that is not recorded"
    for table, of_batches in row_counts.items():
        found = [sequence for sequence in of_batches if not 1 <= sequence <= last]
        if found:
            return f"batch {min(found)}: table {table}: has rows of a batch that is not recorded"
    return None


def _broken_invariant(book: Book) -> str | None:
    book.progress.step("invariants", STEPS)
    for number, (query, message) in enumerate(INVARIANTS.items(), start=1):
        book.progress.within(number, len(INVARIANTS))
        found = book.rows(f"store/{query}")
        if found:
            return message.format(*found[0])
    return None


def _marked(book: Book) -> str | None:
    book.progress.step("marks in texts", STEPS)
    found = marked(book, _tables_there(book))
    return found and (
        f"batch {found[1]}: table {found[0]}: row {found[2]} has a text with a control character "
        "that separates columns"
    )


def broken_text(book: Book) -> str | None:
    """Compare every erasable text with its digest; one that is gone needs an erasure."""
    book.progress.step("texts", STEPS)
    erased = {
        (each.table, each.batch, each.row): (each.erased_in, each.erased_row)
        for each in erasures(book)
    }
    gone = set()
    for table, batch, row, column, is_gone in wrong_texts(book, _tables_there(book)):
        which = f"batch {batch}: table {table}: " + (f"row {row}" if row else "it")
        if not is_gone:
            return f"{which} is not the {column} that was sealed"
        if (table, batch, row) not in erased:
            return f"{which} lost its {column} without an erasure"
        gone.add((table, batch, row))
    for fact, (batch, row) in erased.items():
        if fact not in gone:
            return f"batch {batch}: table erasure: row {row} names a text that is still there"
    return None


def _broken_content(book: Book) -> str | None:
    found = book.rows("store/content_astray") or broken_packed(book)
    for batch, row in found:
        return f"batch {batch}: table content: row {row} does not match its digest"
    return None


def _stamp_of(text: str) -> tuple[int, str]:
    """Return the sequence and the head of a whole stamp, in any case."""
    stamp = _WHOLE_STAMP.fullmatch(text.strip().lower())
    if not stamp:
        raise Refused("stamp_unreadable", given=text, remedy=Remedy("check"))
    return int(stamp[1]), stamp[2]


def _not_extending(book: Book, sequence: int, kept: str) -> str | None:
    if sequence > book.last_sequence():
        return f"batch {sequence}: table batch: missing; the book ends at {book.last_sequence()}"
    if book.stamp(sequence).head != kept:
        return f"batch {sequence}: table batch: its head differs from the stamp"
    return None
