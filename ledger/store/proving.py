"""Sealed rows with what leads from them to a stamp, for somebody who does not have the book."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from ledger.domain.proofs import Siblings, siblings
from ledger.domain.seals import HASH_BYTES, BatchFacts, TableSeal, table_secret
from ledger.store import queries
from ledger.store.book import Book
from ledger.store.recorded import batch_facts, table_seals
from ledger.store.schema import TABLES
from ledger.store.sealing import LEAF, SALT

BETWEEN, NULL = "\x1f", "\x1e"
GIVEN = "$secret::VARCHAR"

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
    recorded = {row["sequence"]: row for row in book.records("store/batches_to_check")}
    sealed = table_seals(book)
    rows: list[ProvenRow] = []
    trees: list[Tree] = []
    for (table, batch), numbers in sorted(by_batch.items()):
        leaves = _Leaves(
            table,
            batch,
            table_secret(recorded[batch]["secret"], table),
            queries.without_order(f"seals/{table}.{sealed[batch][table].version}"),
        )
        rows += _rows(book, leaves, sorted(numbers))
        trees.append(_tree(book, leaves, sorted(numbers)))
    first = min((batch for _, batch in by_batch), default=book.upto)
    columns = {table: TABLES[table].sealed for table, _ in by_batch}
    batches = tuple(
        SealedBatch(batch_facts(row), tuple(sealed[sequence].values()), row["head"])
        for sequence, row in recorded.items()
        if sequence >= first
    )
    return Proof(columns, tuple(rows), tuple(trees), batches)


@dataclass(frozen=True)
class _Leaves:
    """What a batch added to a table: the table's secret there, and the source of its row texts."""

    table: str
    batch: int
    secret: str
    source: str

    @property
    def inputs(self) -> dict[str, object]:
        return {"since": self.batch, "upto": self.batch, "secret": self.secret}


def _tree(book: Book, of: _Leaves, numbers: list[int]) -> Tree:
    """Return the tree over all rows, with the siblings of those that are proven."""
    leaf = LEAF.format(secret=GIVEN)
    first, count, leaves = book.execute(
        "SELECT min(row), count(*), string_agg(leaf, '' ORDER BY row)"
        f" FROM (SELECT f.row, {leaf} AS leaf FROM {of.source} AS f)",
        of.inputs,
    ).fetchall()[0]
    whole = bytes.fromhex(leaves)
    hashes = [whole[place : place + HASH_BYTES] for place in range(0, len(whole), HASH_BYTES)]
    levels = siblings(hashes, [number - first for number in numbers])
    return Tree(of.table, of.batch, first, count, levels)


def _rows(book: Book, of: _Leaves, numbers: list[int]) -> list[ProvenRow]:
    salted = book.execute(
        f"SELECT f.row, {SALT.format(secret=GIVEN)}, f.sealed_text"
        f" FROM {of.source} AS f WHERE list_contains($rows::BIGINT[], f.row) ORDER BY f.row",
        {**of.inputs, "rows": numbers},
    ).fetchall()
    return [
        ProvenRow(of.table, of.batch, row, salt, tuple(_fields(text))) for row, salt, text in salted
    ]


def _fields(text: str) -> Iterator[str | None]:
    return (None if part == NULL else part for part in text.split(BETWEEN))
