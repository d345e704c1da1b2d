"""A fact table: its columns, what identifies a row, and which rows stand or fall together."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final, Literal, TypeAlias

SqlType: TypeAlias = Literal[
    "BIGINT",
    "BLOB",
    "BOOLEAN",
    "DATE",
    "DECIMAL(18,9)",
    "DECIMAL(38,4)",
    "DECIMAL(38,6)",
    "VARCHAR",
]

BIGINT: Final = "BIGINT"
BLOB: Final = "BLOB"
BOOLEAN: Final = "BOOLEAN"
DATE: Final = "DATE"
VARCHAR: Final = "VARCHAR"
MONEY: Final = "DECIMAL(38,4)"
QUANTITY: Final = "DECIMAL(38,6)"
SHARE: Final = "DECIMAL(18,9)"


@dataclass(frozen=True)
class FactTable:
    """One fact table: its own columns in order, each with its type.

    `key` names the columns of which the newest row counts; `whole` those whose newest batch counts
    as a whole. A table with neither is a ledger: all its rows count. `erasable` names the columns
    that a person types freely: each stands beside its salt, and its salted digest is sealed.
    `is_digested_late` says that such digests are worked out where the rows are read, and kept when
    a text is erased: of many rows writing them takes longer than all else.
    `persons` names those that hold the handle of a person, whose name stands in `person_name`.
    `is_viewed` says that lines of sheets are read as rows of it too: its own are numbered on after
    the batch's lines, where `follows_lines` says so, so that a number names one of them.
    """

    name: str
    columns: Mapping[str, SqlType]
    key: tuple[str, ...] = ()
    whole: tuple[str, ...] = ()
    erasable: tuple[str, ...] = ()
    is_digested_late: bool = False
    persons: tuple[str, ...] = ()
    is_viewed: bool = False
    follows_lines: bool = False

    @cached_property
    def stored(self) -> dict[str, str]:
        """Return the type of each column as it is kept, salts and digests of texts included."""
        beside = {
            name: kind
            for column in self.erasable
            for name, kind in ((f"{column}_salt", BLOB), (f"{column}_hash", VARCHAR))
        }
        return {"batch": BIGINT, "row": BIGINT, **self.columns, **beside}

    @cached_property
    def sealed(self) -> tuple[str, ...]:
        """Return the columns of the row text in their order; of an erasable text, its digest."""
        return tuple(f"{name}_hash" if name in self.erasable else name for name in self.columns)

    @cached_property
    def texts(self) -> tuple[str, ...]:
        """Return the columns that hold text."""
        return tuple(name for name, kind in self.columns.items() if kind == VARCHAR)

    def digest(self, column: str) -> str:
        """Return SQL of what is sealed of an erasable text: null where it is."""
        salt = f"lower(hex({column}_salt))"
        if self.columns[column] == BLOB:
            return f"sha256(encode({salt}) || {column})"
        return f"sha256({salt} || {column})"

    @property
    def stored_macro(self) -> str:
        """Return the macro that gives the rows as they are kept."""
        is_apart = self.erasable or self.persons or self.is_viewed
        return f"{'stored' if is_apart else 'known'}_{self.name}"
