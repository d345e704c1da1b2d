"""Seals: a tree of hashes over the rows of a batch, and the head that chains batches.

Leaves, nodes and heads are distinguished by their first byte, as in RFC 6962, section 2.1.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256

FIRST_HEAD = "0" * 64
# How many hashes a node is made of, and how long each is in bytes.
FAN, HASH_BYTES = 32, 32
SALT_DIGITS = 32


def with_length(field: str) -> str:
    """Return a field as its length in bytes, a colon and its text."""
    return f"{len(field.encode())}:{field}"


def table_secret(secret: bytes, table: str) -> str:
    """Return the secret of one table's rows in hex; it tells nothing of the other tables."""
    return sha256(f"{secret.hex()}:{table}".encode()).hexdigest()


def text_digest(salt: bytes, text: str) -> str:
    """Return what is sealed of an erasable text, in hex."""
    return sha256(f"{salt.hex()}{text}".encode()).hexdigest()


def leaf(secret: str, row: int, text: str) -> bytes:
    """Return the leaf of a row by its number and text, salted by its table's secret."""
    salt = sha256(f"{secret}:{row}".encode()).hexdigest()[:SALT_DIGITS]
    return sha256(f"0{salt}{text}".encode()).digest()


def nodes(hashes: bytes) -> list[bytes]:
    """Return the nodes above hashes that are given end to end, in order; the last has fewer."""
    step = FAN * HASH_BYTES
    return [
        sha256(b"\x01" + hashes[place : place + step]).digest()
        for place in range(0, len(hashes), step)
    ]


def root(level: Sequence[bytes]) -> str:
    """Return the root over the lowest level of nodes, in hex."""
    level = list(level)
    while len(level) > 1:
        level = nodes(b"".join(level))
    return level[0].hex()


@dataclass(frozen=True)
class TableSeal:
    """What a batch says of one table: how its rows were sealed, how many, and their root."""

    table: str
    version: int
    row_count: int
    root: str


@dataclass(frozen=True)
class BatchFacts:
    """What a head is made from, besides the tables; of actor and command their digests."""

    sequence: int
    recorded_us: int
    actor_hash: str
    command_hash: str
    program_version: str
    schema_version: int
    previous_head: str


def head(facts: BatchFacts, tables: Sequence[TableSeal]) -> str:
    """Return the head of a batch in hex: SHA-256 over its fields, its tables and the last head."""
    fields = [
        str(facts.sequence),
        str(facts.recorded_us),
        facts.actor_hash,
        facts.command_hash,
        facts.program_version,
        str(facts.schema_version),
    ]
    for table in sorted(tables, key=lambda seal: seal.table):
        fields += [table.table, str(table.version), str(table.row_count), table.root]
    fields.append(facts.previous_head)
    return sha256("".join(map(with_length, fields)).encode()).hexdigest()
