"""The data dictionary: every column of an export with type, unit, key and description."""

from collections.abc import Iterator
from dataclasses import dataclass

from ledger.store.described import COLUMNS_DESCRIBED, PAY, TABLES_DESCRIBED, UNITS
from ledger.store.schema import TABLES, WITHDRAWABLE
from ledger.store.table import BIGINT, BLOB, DATE, MONEY, VARCHAR, FactTable

HEAD = ("table", "column", "type", "unit", "key", "is_pay", "description")
BATCH = {
    "sequence": BIGINT,
    "recorded_at": "TIMESTAMP",
    "actor": VARCHAR,
    "command": VARCHAR,
    "program_version": VARCHAR,
    "schema_version": BIGINT,
    "previous_head": VARCHAR,
    "head": VARCHAR,
}


@dataclass(frozen=True)
class DescribedColumn:
    """A column of an exported table; `key` says by which columns the newest row is chosen.

    key: id, key (of the newest row), whole (of the newest whole), or "".
    """

    table: str
    name: str
    type: str
    key: str
    is_pay: bool

    @property
    def description(self) -> str:
        """Return what it is, in words. Raises: KeyError when nobody has said it."""
        own = f"{self.table}.{self.name}"
        return COLUMNS_DESCRIBED.get(own) or COLUMNS_DESCRIBED[self.name]

    @property
    def unit(self) -> str:
        """Return the unit of its numbers, "" of what has none."""
        by_type = {MONEY: "currency", DATE: "ISO 8601", "TIMESTAMP": "ISO 8601, UTC"}
        return UNITS.get(self.name) or by_type.get(self.type, "")

    @property
    def row(self) -> tuple[str, ...]:
        """Return the dictionary's row under `HEAD`."""
        pay = "yes" if self.is_pay else ""
        return (self.table, self.name, self.type, self.unit, self.key, pay, self.description)


def columns_of(name: str) -> list[DescribedColumn]:
    """Return the columns of an exported table, pay included; bytes stand in files of their own."""
    if name == "batch":
        return [
            DescribedColumn(name, each, kind, _key_of_batch(each), False)
            for each, kind in BATCH.items()
        ]
    return list(_columns(TABLES[name]))


def _columns(table: FactTable) -> Iterator[DescribedColumn]:
    yield DescribedColumn(table.name, "id", VARCHAR, "id", False)
    if has_standing(table):
        yield DescribedColumn(table.name, "standing", VARCHAR, "", False)
    for name, kind in {"batch": BIGINT, "row": BIGINT, **table.columns}.items():
        if kind != BLOB:
            key = "key" if name in table.key else "whole" if name in table.whole else ""
            yield DescribedColumn(table.name, name, kind, key, (table.name, name) in PAY)


def has_standing(table: FactTable) -> bool:
    """Return whether rows of a table can stop to count."""
    return bool(table.key or table.whole or table.name in WITHDRAWABLE)


def _key_of_batch(name: str) -> str:
    return "id" if name == "sequence" else ""


def tables_described() -> dict[str, str]:
    """Return each table of an export with what it holds. Raises: KeyError of one not described."""
    return {name: TABLES_DESCRIBED[name] for name in ("batch", *TABLES)}
