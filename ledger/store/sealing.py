"""The roots of batches: leaves hashed in the database in row order, nodes folded here.

Whatever is gathered is gathered with its order stated: without, the database puts rows together in
another order where a block crosses one of its row groups.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ledger.domain.seals import FAN, SALT_DIGITS, nodes, root, table_secret
from ledger.store import queries
from ledger.store.book import Book

# Leaves fetched together, some nodes' worth, and rows hashed in one query: memory stays bounded.
BLOCK, PASS = FAN * FAN, 1 << 20
LAST_ROW = 9223372036854775807

LEAF_BLOCKS = """
SELECT batch, string_agg(leaf, '' ORDER BY row) AS leaves
FROM (
    SELECT
        f.batch,
        f.row,
        sha256(concat('0', left(sha256(concat({secret}, ':', f.row)), {digits}), f.sealed_text))
            AS leaf
    FROM {source} AS f
    {secrets}
    WHERE f.row > $after AND f.row <= $through
)
GROUP BY batch, (row - 1) // {block}
ORDER BY batch, (row - 1) // {block}
"""
# Of one batch its secret is given as it is: a join costs a third of what a small batch takes.
OF_ONE = {"secret": "$secret::VARCHAR", "secrets": ""}
OF_MANY = {
    "secret": "s.secret",
    "secrets": "INNER JOIN (SELECT unnest($batches::BIGINT[]) AS batch,"
    " unnest($secrets::VARCHAR[]) AS secret) AS s ON s.batch = f.batch",
}


@dataclass(frozen=True)
class Span:
    """What one query hashes: whole batches, or of one batch some of its rows."""

    batches: tuple[int, ...]
    after: int = 0
    through: int = LAST_ROW


def spans(counts: Mapping[int, int]) -> Iterator[Span]:
    """Yield what to hash together, given the rows of each batch, so that no query has too many."""
    together: list[int] = []
    rows = 0
    for batch, count in sorted(counts.items()):
        if together and rows + count > PASS:
            yield Span(tuple(together))
            together, rows = [], 0
        if count > PASS:
            yield from _slices(batch, count)
        else:
            together.append(batch)
            rows += count
    if together:
        yield Span(tuple(together))


def _slices(batch: int, count: int) -> Iterator[Span]:
    for after in range(0, count, PASS):
        through = after + PASS if after + PASS < count else LAST_ROW
        yield Span((batch,), after, through)


def roots(
    book: Book, table: str, counts: Mapping[int, int], secrets: Mapping[int, bytes], version: int
) -> dict[int, str]:
    """Return the root over the rows that each batch added to a table, given how many, in hex."""
    source = queries.without_order(f"seals/{table}.{version}")
    levels: dict[int, list[bytes]] = {}
    together = list(spans(counts))
    for number, span in enumerate(together):
        if number:
            book.progress.within(number + 1, len(together))
        keyed = [table_secret(secrets[batch], table) for batch in span.batches]
        given: dict[str, object] = {
            "since": span.batches[0],
            "upto": span.batches[-1],
            "after": span.after,
            "through": span.through,
        }
        if len(keyed) == 1:
            form, given["secret"] = OF_ONE, keyed[0]
        else:
            form, given["secrets"], given["batches"] = OF_MANY, keyed, list(span.batches)
        sql = LEAF_BLOCKS.format(source=source, digits=SALT_DIGITS, block=BLOCK, **form)
        for batch, leaves in book.execute(sql, given).fetchall():
            levels.setdefault(batch, []).extend(nodes(bytes.fromhex(leaves)))
    return {batch: root(level) for batch, level in levels.items()}
