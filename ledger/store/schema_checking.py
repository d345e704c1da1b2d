"""Whether a book's tables, macros and refusal triggers are those of a book made now, and no others.

A macro of a book takes the place of any function, even of an operator, so that a foreign one could
tell other figures: the book's macros are listed without any.
"""

import contextlib
import re
from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass
from functools import cache

import duckdb

from ledger.errors import Refused
from ledger.store import definitions
from ledger.store.book import IN_MEMORY, Book
from ledger.store.schema import TABLES

# The text of each table, macro and trigger, by its kind and its name.
Schema = dict[tuple[str, str], str]
_MACRO = re.compile(r"(?:--.*\n)*CREATE MACRO (\w+)\(([^)]*)\) AS(\sTABLE)?\s(.*)", re.DOTALL)
_NAME = re.compile(r"\b[a-z]\w*")
# Of each SELECT its text as the engine writes it.
_PARSED = (
    "SELECT json_deserialize_sql(json_serialize_sql(text)) FROM (SELECT unnest($texts) AS text)"
)


def altered_schema(book: Book) -> Refused | None:
    """Compare triggers, macros and tables with those of a book made now."""
    there = _schema_of(book)
    if _is_as_read(book, there):
        return None
    # First that all is there, withdrawals too, which decide how some macros read.
    for kind, name in schema_made(frozenset()):
        if (kind, name) not in there:
            return _missing(kind, name)
    for (kind, name), text in schema_made(book.withdrawn()).items():
        if there[kind, name] != text:
            return _altered(kind, name)
    foreign = sorted(there.keys() - schema_made(frozenset()).keys())
    return _foreign(*foreign[0]) if foreign else None


def _is_as_read(book: Book, there: Schema) -> bool:
    """Return whether the schema is that of a book made now, as its statements read.

    Making it takes many times as long; where anything differs, all is made and compared.
    """
    macro = TABLES["withdrawal"].stored_macro
    if not {("table", "withdrawal"), ("table_macro", macro)} <= there.keys():
        return False
    return schema_read(book.withdrawn()) == there


@cache
def schema_read(withdrawn: frozenset[str]) -> Schema:
    """Return the schema of a book made now, as the engine writes its statements, none run."""
    with contextlib.closing(duckdb.connect()) as connection:
        fresh = Book(connection, IN_MEMORY)
        words = {word for (word,) in fresh.rows("store/words_quoted")}
        macros = list(map(_macro, definitions.macros(withdrawn)))
        selects = [each.select for each in macros]
        parsed = fresh.execute(_PARSED, {"texts": selects}).fetchall()
    made = (_as_kept(each, words) for each in (*definitions.tables(), *definitions.triggers()))
    read = (
        (each.kind, each.name, each.as_kept(text))
        for each, (text,) in zip(macros, parsed, strict=True)
    )
    return _by_name((*made, *read))


def _as_kept(statement: str, words: Container[str]) -> tuple[str, str, str]:
    """Return kind, name and text of a table or trigger: names that are words of SQL are quoted."""
    _, kind, name, *_ = statement.split()
    plain = statement.replace(f"{name} (", f"{name}(", 1).split("'")
    # What stands between quotes is as it is.
    plain[::2] = [
        _NAME.sub(lambda match: f'"{match[0]}"' if match[0] in words else match[0], part)
        for part in plain[::2]
    ]
    return kind.lower(), name, "'".join(plain) + ";"


@dataclass(frozen=True)
class _Macro:
    """A macro as its statement has it: its kind, name and parameters, and what it selects."""

    kind: str
    name: str
    parameters: Sequence[str]
    select: str

    def as_kept(self, parsed: str) -> str:
        """Return its text as the book has it, given its SELECT as the engine writes that."""
        text = parsed if self.kind == "table_macro" else parsed.removeprefix("SELECT ")
        return _kept(self.parameters, text)


def _macro(statement: str) -> _Macro:
    match = _MACRO.fullmatch(statement)
    assert match, statement
    name, listed, of_rows, body = match.groups()
    parameters = [each.strip() for each in listed.split(",") if each.strip()]
    if of_rows:
        return _Macro("table_macro", name, parameters, body)
    return _Macro("macro", name, parameters, f"SELECT {body}")


@cache
def schema_made(withdrawn: frozenset[str]) -> Schema:
    """Return the schema of a book made now, the same each time in a process."""
    with contextlib.closing(duckdb.connect()) as connection:
        fresh = Book(connection, IN_MEMORY)
        for statement in definitions.statements(withdrawn):
            fresh.execute(statement)
        return _schema_of(fresh)


def _schema_of(book: Book) -> Schema:
    macros = (
        (kind, name, _kept(parameters, text))
        for kind, name, parameters, text in book.rows("store/macros_made")
    )
    return _by_name([*book.rows("store/tables_made"), *macros])


def _kept(parameters: Sequence[str], text: str) -> str:
    """Return the text by which a macro is compared."""
    return f"({', '.join(parameters)}) {text}"


def _by_name(rows: Iterable[Sequence[str]]) -> Schema:
    """Return the text by kind and name; where several have both, all of their texts."""
    texts: dict[tuple[str, str], list[str]] = {}
    for kind, name, text in rows:
        texts.setdefault((kind, name), []).append(text)
    return {key: "\n".join(listed) for key, listed in texts.items()}


def _missing(kind: str, name: str) -> Refused:
    table, refuses, event = name.partition("_refuses_")
    if kind == "trigger" and refuses:
        return Refused("trigger_missing", table=table, event=event.upper())
    return Refused("definition_missing", what=kind.removeprefix("table_"), name=name)


def _altered(kind: str, name: str) -> Refused:
    table, refuses, event = name.partition("_refuses_")
    if kind == "trigger" and refuses:
        return Refused("trigger_altered", table=table, event=event.upper())
    return Refused("definition_altered", what=kind.removeprefix("table_"), name=name)


def _foreign(kind: str, name: str) -> Refused:
    return Refused("definition_foreign", what=kind.removeprefix("table_"), name=name)
