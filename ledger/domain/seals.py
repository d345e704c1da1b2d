"""Seals: a tree of hashes over the rows of a batch, and the head that chains batches.

Source of the tree: RFC 6962, section 2.1 (leaves prefixed 0x00, nodes 0x01).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256

FIRST_HEAD = "0" * 64


def sealed(field: str | None) -> str:
    """Return `field` as decimal byte length, a colon and its text; None as "-:"."""
    return "-:" if field is None else f"{len(field.encode())}:{field}"


def next_level(hashes: Sequence[bytes]) -> list[bytes]:
    """Return the level above: pairs hashed together, an odd last one carried up unchanged."""
    pairs = [
        sha256(b"\x01" + left + right).digest()
        for left, right in zip(hashes[::2], hashes[1::2], strict=False)
    ]
    return pairs + list(hashes[-1:]) if len(hashes) % 2 else pairs


def merkle_root(leaves: Sequence[bytes]) -> str:
    """Return the root of the leaves' hash tree, in hex; of no leaves, the hash of nothing."""
    level = list(leaves)
    while len(level) > 1:
        level = next_level(level)
    return level[0].hex() if level else sha256(b"").hexdigest()


@dataclass(frozen=True)
class TableSeal:
    """What a batch says of one table: how its rows were sealed, how many, and their root."""

    table: str
    version: int
    row_count: int
    root: str


@dataclass(frozen=True)
class BatchFacts:
    """What a head is made from, besides the tables."""

    sequence: int
    recorded_us: int
    actor: str
    command: str
    program_version: str
    schema_version: int
    previous_head: str


def head(facts: BatchFacts, tables: Sequence[TableSeal]) -> str:
    """Return the head of a batch in hex: SHA-256 over its fields, its tables and the last head."""
    fields = [
        str(facts.sequence),
        str(facts.recorded_us),
        facts.actor,
        facts.command,
        facts.program_version,
        str(facts.schema_version),
    ]
    for table in sorted(tables, key=lambda seal: seal.table):
        fields += [table.table, str(table.version), str(table.row_count), table.root]
    fields.append(facts.previous_head)
    return sha256("".join(map(sealed, fields)).encode()).hexdigest()
