"""What a book answered already: kept until a table that the query reads through is written."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from ledger.store import definitions, queries
from ledger.store.schema import TABLES

Row = tuple[Any, ...]
# A query, or a macro by its name, and what it was given.
Key = tuple[str, tuple[tuple[str, object], ...]]

# Longer answers, and more of them, would only fill the memory.
MOST_ROWS, MOST_ANSWERS, MOST_STAGED = 1_000, 200, 100_000
# A table or a macro of rows that a query reads; columns may have the name of a table.
_SOURCE = re.compile(r"\b(?:FROM|JOIN)\s+(\w+)")
_INSERTS = re.compile(r"\s*INSERT INTO (\w+)")
_STAGES = re.compile(r"\s*CREATE OR REPLACE TEMP TABLE staged_(\w+)")
# What may change any fact, or take back what was changed.
_CHANGES = re.compile(r"\s*(UPDATE|DELETE FROM (?!staged_)|ALTER TABLE (?!staged_)|ROLLBACK|USE)\b")


@dataclass(frozen=True)
class Answer:
    """The names of the columns and the rows that a query gave."""

    columns: tuple[str, ...]
    rows: tuple[Row, ...]


@dataclass
class Answers:
    """Short answers of queries that read facts alone, what is staged of such, and views.

    `newest` is the batch from which on all reads are alike: the last one, or that being written.
    """

    newest: int | None = None
    _answers: dict[Key, Answer] = field(default_factory=dict)
    _staged: dict[str, tuple[Key, int]] = field(default_factory=dict)
    _views: dict[str, str] = field(default_factory=dict)
    _tables: set[str] = field(default_factory=set)

    def key(self, query: str, inputs: Mapping[str, Any]) -> Key | None:
        """Return under what the answer of a query is kept; None if it is not."""
        if not reads_facts_alone(query) or any(
            isinstance(value, list) for value in inputs.values()
        ):
            return None
        key_inputs = dict(inputs)
        if self.newest is not None and key_inputs.get("upto", -1) >= self.newest:
            key_inputs["upto"] = None
        return query, tuple(sorted(key_inputs.items()))

    def kept(self, key: Key | None) -> Answer | None:
        """Return the answer that is kept; None if none is."""
        return self._answers.get(key) if key else None

    def keep(self, key: Key | None, answer: Answer) -> None:
        """Keep an answer, if it is short."""
        if key and len(answer.rows) <= MOST_ROWS:
            if len(self._answers) >= MOST_ANSWERS:
                self._answers.clear()
            self._answers[key] = answer

    def rows_staged(self, name: str, key: Key | None) -> int | None:
        """Return how many rows are staged under a name; None if they are not the answer to this."""
        staged = self._staged.get(name)
        return staged[1] if staged and staged[0] == key else None

    def keep_staged(self, name: str, key: Key | None, count: int) -> None:
        """Remember what was staged under a name, and how many rows it has."""
        self._staged.pop(name, None)
        if key and count <= MOST_STAGED:
            self._staged[name] = key, count

    def rename_staged(self, name: str, other: str) -> None:
        """Remember that what was staged under a name is staged under another."""
        self._tables |= {name, other}

    def take_unkept(self) -> list[str]:
        """Return the names under which something is staged that cannot be used again; forget them.

        What a way back took away, or has another name since, may be among them.
        """
        unkept = self._tables - self._staged.keys()
        self._tables -= unkept
        return sorted(unkept)

    def is_viewed(self, name: str, select: str) -> bool:
        """Return whether a view of this text was there before under the name; now it is."""
        before = self._views.get(name)
        self._views[name] = select
        return before == select

    def heed(self, sql: str) -> None:
        """Forget what a statement that is run may change; remember what it stages."""
        if stages := _STAGES.match(sql):
            self._tables.add(stages[1])
            self._staged.pop(stages[1], None)
        elif inserts := _INSERTS.match(sql):
            self._forget(inserts[1])
        elif _CHANGES.match(sql):
            self._answers.clear()
            self._staged.clear()
            self._views.clear()

    def _forget(self, table: str) -> None:
        self._answers = {
            key: answer for key, answer in self._answers.items() if table not in tables_read(key[0])
        }
        self._staged = {
            name: kept
            for name, kept in self._staged.items()
            if table not in tables_read(kept[0][0])
        }


@cache
def reads_facts_alone(query: str) -> bool:
    """Return whether a query, or a macro named, reads facts and nothing staged."""
    if "/" not in query:
        return True
    return bool(tables_read(query)) and "staged_" not in queries.text(query)


@cache
def tables_read(query: str) -> frozenset[str]:
    """Return the tables that a query, or a macro named, reads, also through macros of macros."""
    sources = _SOURCE.findall(queries.text(query)) if "/" in query else [query]
    return frozenset(_tables(set(sources), set()))


def _tables(sources: set[str], seen: set[str]) -> Iterator[str]:
    for name in sources - seen:
        seen.add(name)
        if name in TABLES or name in definitions.LEDGER_TABLES:
            yield name
        if macro := definitions.macro(name):
            yield from _tables(set(_SOURCE.findall(macro)), seen)
