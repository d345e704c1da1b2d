"""The roots of batches: leaves hashed in the database in row order, nodes folded here.

Of a batch of few rows the leaves are hashed here too: planning that took longer than all of it.

Whatever is gathered is gathered with its order stated: without, the database puts rows together in
another order where a block crosses one of its row groups.
"""

from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

from ledger.domain.seals import FAN, SALT_DIGITS, leaf, nodes, root, table_secret
from ledger.store import queries
from ledger.store.book import Book

# Rows of a table that are hashed here, leaves gathered together, some nodes' worth, and rows hashed
# in one query: memory stays bounded, and four of the engine's row groups keep its threads busy.
FEW, BLOCK, PASS = FAN * FAN, FAN * FAN * 8, 4 * 122_880
LAST_ROW = 9223372036854775807

SALT = f"left(sha256(concat({{secret}}, ':', f.row)), {SALT_DIGITS})"
LEAF = f"sha256(concat('0', {SALT}, f.sealed_text))"
LEAF_BLOCKS = """
SELECT batch, string_agg(leaf, '' ORDER BY row) AS leaves
FROM (
    SELECT
        f.batch,
        f.row,
        {first} AS first,
        {leaf} AS leaf
    FROM {source} AS f
    {secrets}
    WHERE f.row > $after AND f.row <= $through
)
GROUP BY batch, (row - first) // {block}
ORDER BY batch, (row - first) // {block}
"""
# Of tables of few rows all is planned once: that takes longer than hashing them.
LEAVES_OF_TABLES = """
SELECT table_name, batch, string_agg(leaf, '' ORDER BY row) AS leaves
FROM (
    SELECT
        f.table_name,
        f.batch,
        f.row,
        {leaf} AS leaf
    FROM ({source}) AS f
    INNER JOIN (
        SELECT
            unnest($tables::VARCHAR[]) AS table_name,
            unnest($batches::BIGINT[]) AS batch,
            unnest($secrets::VARCHAR[]) AS secret
    ) AS s ON s.table_name = f.table_name AND s.batch = f.batch
)
GROUP BY table_name, batch
ORDER BY table_name, batch
"""
# Of one batch its secret is given as it is: a join costs a third of what a small batch takes.
OF_ONE = {"secret": "$secret::VARCHAR", "first": "$first::BIGINT", "secrets": ""}
OF_MANY = {
    "secret": "s.secret",
    "first": "s.first",
    "secrets": "INNER JOIN (SELECT unnest($batches::BIGINT[]) AS batch,"
    " unnest($firsts::BIGINT[]) AS first, unnest($secrets::VARCHAR[]) AS secret) AS s"
    " ON s.batch = f.batch",
}


@dataclass(frozen=True)
class HashedSpan:
    """What one query hashes: whole batches, or of one batch some of its rows."""

    batches: tuple[int, ...]
    after: int = 0
    through: int = LAST_ROW


def spans(rows: Mapping[int, range]) -> Iterator[HashedSpan]:
    """Yield what to hash together, given the rows of each batch, so that no query has too many."""
    together: list[int] = []
    count = 0
    for batch, own in sorted(rows.items()):
        if together and count + len(own) > PASS:
            yield HashedSpan(tuple(together))
            together, count = [], 0
        if len(own) > PASS:
            yield from _slices(batch, own)
        else:
            together.append(batch)
            count += len(own)
    if together:
        yield HashedSpan(tuple(together))


def _slices(batch: int, rows: range) -> Iterator[HashedSpan]:
    for first in range(rows.start, rows.stop, PASS):
        through = first + PASS - 1 if first + PASS < rows.stop else LAST_ROW
        yield HashedSpan((batch,), first - 1, through)


def roots(
    book: Book, table: str, rows: Mapping[int, range], secrets: Mapping[int, bytes], version: int
) -> dict[int, str]:
    """Return the root over the rows that each batch added to a table, by their numbers, in hex."""
    levels: dict[int, list[bytes]] = {}
    with ThreadPoolExecutor(max_workers=1) as beside:
        # Those of one query are folded while the next one runs.
        for folded in beside.map(_folded, _hashed(book, table, rows, secrets, version)):
            for batch, level in folded:
                levels.setdefault(batch, []).extend(level)
    return {batch: root(level) for batch, level in levels.items()}


def _folded(blocks: Sequence[tuple[int, str]]) -> list[tuple[int, list[bytes]]]:
    return [(batch, nodes(bytes.fromhex(leaves))) for batch, leaves in blocks]


def _hashed(
    book: Book, table: str, rows: Mapping[int, range], secrets: Mapping[int, bytes], version: int
) -> Iterator[list[tuple[int, str]]]:
    """Yield the leaves that each query hashes: in blocks, each with its batch, in row order."""
    source = queries.without_order(f"seals/{table}.{version}")
    together = list(spans(rows))
    for number, span in enumerate(together):
        if number:
            book.progress.within(number + 1, len(together))
        keyed = [table_secret(secrets[batch], table) for batch in span.batches]
        inputs: dict[str, object] = {
            "since": span.batches[0],
            "upto": span.batches[-1],
            "after": span.after,
            "through": span.through,
        }
        if len(keyed) == 1:
            form, inputs["secret"] = OF_ONE, keyed[0]
            inputs["first"] = rows[span.batches[0]].start
        else:
            form, inputs["secrets"], inputs["batches"] = OF_MANY, keyed, list(span.batches)
            inputs["firsts"] = [rows[batch].start for batch in span.batches]
        hashed = LEAF.format(secret=form["secret"])
        sql = LEAF_BLOCKS.format(source=source, leaf=hashed, block=BLOCK, **form)
        yield book.execute(sql, inputs).fetchall()


def roots_of_tables(
    book: Book, rows: Mapping[str, Mapping[int, range]], secrets: Mapping[int, bytes], version: int
) -> dict[str, dict[int, str]]:
    """Return the root of each table in each batch, of tables that have few rows, in one query."""
    most = PASS // max(1, len(rows))
    few = {table: own for table, own in rows.items() if own and _count(own) <= most}
    by_table: dict[str, dict[int, str]] = {table: {} for table in few}
    if not few:
        return by_table
    places = [(table, batch) for table, own in few.items() for batch in own]
    inputs = {
        "since": 0,
        "upto": max(batch for _, batch in places),
        "tables": [table for table, _ in places],
        "batches": [batch for _, batch in places],
        "secrets": [table_secret(secrets[batch], table) for table, batch in places],
    }
    source = " UNION ALL ".join(_texts_of(table, version) for table in few)
    sql = LEAVES_OF_TABLES.format(source=source, leaf=LEAF.format(secret="s.secret"))
    for table, batch, leaves in book.execute(sql, inputs).fetchall():
        by_table[table][batch] = root(nodes(bytes.fromhex(leaves)))
    return by_table


def _count(rows: Mapping[int, range]) -> int:
    return sum(map(len, rows.values()))


def _texts_of(table: str, version: int) -> str:
    """Return SQL of the texts of a table's rows, from batch `$since` to `$upto`."""
    return (
        f"SELECT '{table}' AS table_name, f.batch, f.row, f.sealed_text"
        f" FROM {queries.without_order(f'seals/{table}.{version}')} AS f"
    )


def roots_of_batch(
    book: Book, sequence: int, rows: Mapping[str, range], secret: bytes, version: int
) -> dict[str, str]:
    """Return the roots over the rows that a batch added to tables, given their numbers, in hex.

    The texts of tables of few rows are read in one query.
    """
    small = {table: own for table, own in rows.items() if len(own) <= FEW}
    by_table = _roots_of_few(book, sequence, small, secret, version) if small else {}
    for table in sorted(rows.keys() - small.keys()):
        own, of_batch = {sequence: rows[table]}, {sequence: secret}
        by_table[table] = roots(book, table, own, of_batch, version)[sequence]
    return by_table


def _roots_of_few(
    book: Book, sequence: int, rows: Mapping[str, range], secret: bytes, version: int
) -> dict[str, str]:
    keyed = {table: table_secret(secret, table) for table in rows}
    source = " UNION ALL ".join(_texts_of(table, version) for table in rows)
    sql = f"SELECT table_name, row, sealed_text FROM ({source}) ORDER BY table_name, row"
    leaves: dict[str, list[bytes]] = {table: [] for table in rows}
    for table, row, text in book.execute(sql, {"since": sequence, "upto": sequence}).fetchall():
        leaves[table].append(leaf(keyed[table], row, text))
    return {table: root(nodes(b"".join(own))) for table, own in leaves.items()}
