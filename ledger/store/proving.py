"""Sealed rows with what leads from them to a stamp, for somebody who does not have the book."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from ledger.domain.proofs import Siblings, siblings
from ledger.domain.seals import SALT_DIGITS, BatchFacts, TableSeal, table_secret
from ledger.store import queries
from ledger.store.book import Book
from ledger.store.schema import TABLES
from ledger.store.sealing import LEAF

BETWEEN, NULL = "\x1f", "\x1e"

Place = tuple[int, int]  # Batch and row.


@dataclass(frozen=True)
class ProvenRow:
    """A row as it was sealed: its salt in hex, and its sealed columns as text, None for null."""

    table: str
    batch: int
    row: int
    salt: str
    fields: tuple[str | None, ...]


@dataclass(frozen=True)
class Tree:
    """The tree over what a batch added to a table, with what the proven rows lack of it."""

    table: str
    batch: int
    first_row: int
    row_count: int
    siblings: Siblings


@dataclass(frozen=True)
class SealedBatch:
    """What the head of a batch is made from."""

    facts: BatchFacts
    tables: tuple[TableSeal, ...]
    head: str


@dataclass(frozen=True)
class Proof:
    """Rows, the trees they stand in, and the batches from the first of them to the stamp."""

    columns: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    rows: tuple[ProvenRow, ...] = ()
    trees: tuple[Tree, ...] = ()
    batches: tuple[SealedBatch, ...] = ()


def proof_of(book: Book, wanted: Mapping[str, Iterable[Place]]) -> Proof:
    """Return the proof of rows by their tables, up to the batch that the book is known at."""
    by_batch: dict[tuple[str, int], set[int]] = defaultdict(set)
    for table, places in wanted.items():
        for batch, row in places:
            by_batch[table, batch].add(row)
    rows: list[ProvenRow] = []
    trees: list[Tree] = []
    for (table, batch), numbers in sorted(by_batch.items()):
        found, tree = _proven(book, table, batch, sorted(numbers))
        rows += found
        trees.append(tree)
    first = min((batch for _, batch in by_batch), default=book.upto)
    columns = {table: TABLES[table].sealed for table, _ in by_batch}
    return Proof(columns, tuple(rows), tuple(trees), tuple(_batches(book, first)))


def _proven(book: Book, table: str, batch: int, numbers: list[int]) -> tuple[list[ProvenRow], Tree]:
    source = queries.without_order(f"seals/{table}.{_version(book, table, batch)}")
    secret = table_secret(_secret(book, batch), table)
    keyed: dict[str, object] = {"since": batch, "upto": batch, "secret": secret}
    leaf = LEAF.format(secret="$secret::VARCHAR", digits=SALT_DIGITS)
    first, count, leaves = book.execute(
        f"SELECT min(row), count(*), string_agg(leaf, '' ORDER BY row)"
        f" FROM (SELECT f.row, {leaf} AS leaf FROM {source} AS f)",
        keyed,
    ).fetchall()[0]
    digits = 2 * 32
    hashes = [
        bytes.fromhex(leaves[place : place + digits]) for place in range(0, len(leaves), digits)
    ]
    tree = Tree(table, batch, first, count, siblings(hashes, [n - first for n in numbers]))
    salted = book.execute(
        "SELECT f.row, left(sha256(concat($secret::VARCHAR, ':', f.row)), $digits), f.sealed_text"
        f" FROM {source} AS f WHERE list_contains($rows::BIGINT[], f.row) ORDER BY f.row",
        {**keyed, "digits": SALT_DIGITS, "rows": numbers},
    ).fetchall()
    rows = [ProvenRow(table, batch, row, salt, tuple(_fields(text))) for row, salt, text in salted]
    return rows, tree


def _fields(text: str) -> Iterable[str | None]:
    return (None if part == NULL else part for part in text.split(BETWEEN))


def _secret(book: Book, batch: int) -> bytes:
    sql = "SELECT secret FROM batch WHERE sequence = $batch"
    secret: bytes = book.execute(sql, {"batch": batch}).fetchall()[0][0]
    return secret


def _version(book: Book, table: str, batch: int) -> int:
    rows = book.execute(
        "SELECT seal_version FROM batch_table WHERE sequence = $batch AND table_name = $table",
        {"batch": batch, "table": table},
    ).fetchall()
    version: int = rows[0][0]
    return version


def _batches(book: Book, first: int) -> Iterable[SealedBatch]:
    seals: dict[int, list[TableSeal]] = defaultdict(list)
    given = {"first": first, "upto": book.upto}
    for sequence, *seal in book.execute(
        "SELECT sequence, table_name, seal_version, row_count, root FROM batch_table"
        " WHERE sequence BETWEEN $first AND $upto ORDER BY sequence, table_name",
        given,
    ).fetchall():
        seals[sequence].append(TableSeal(*seal))
    for *facts, head in book.execute(
        "SELECT sequence, epoch_us(recorded_at), actor_hash, command_hash, program_version,"
        " schema_version, previous_head, head FROM batch"
        " WHERE sequence BETWEEN $first AND $upto ORDER BY sequence",
        given,
    ).fetchall():
        yield SealedBatch(BatchFacts(*facts), tuple(seals[facts[0]]), head)
