"""Rows of fact tables for show and export."""

from pathlib import Path
from typing import Any

from ledger.errors import Refused
from ledger.store.book import Book
from ledger.store.migrations import LEDGER_TABLES
from ledger.store.schema import TABLES

NICKNAMES = {"settings": "setting", "jobs": "job", "rates": "rate", "changes": "change"}


def rows_of(book: Book, what: str) -> tuple[tuple[str, ...], list[dict[str, Any]]]:
    """Return the columns and the rows that count of a fact table, by its name.

    Raises: Refused when there is none of that name.
    """
    name = NICKNAMES.get(what, what)
    if what == "settings":
        return ("name", "value"), _settings(book)
    if name not in TABLES:
        raise Refused(f'there is no table "{what}"; there are settings, {", ".join(TABLES)}')
    table = TABLES[name]
    macro = f"current_{name}" if table.key or table.whole else f"known_{name}"
    sql = f"SELECT * EXCLUDE (salt) FROM {macro}($upto) ORDER BY batch, row"
    cursor = book.execute(sql, {"upto": book.upto})
    head = tuple(column[0] for column in cursor.description or [])
    return head, [dict(zip(head, map(_shown, row), strict=True)) for row in cursor.fetchall()]


def _shown(value: Any) -> Any:
    return value.hex() if isinstance(value, bytes) else value


def _settings(book: Book) -> list[dict[str, Any]]:
    from ledger.domain.defaults import SETTINGS

    known = {row["name"]: row["value"] for row in book.current("setting")}
    return [{"name": n, "value": v} for n, v in sorted({**SETTINGS, **known}.items())]


def export_csv(book: Book, folder: Path) -> list[str]:
    """Write every table as `<table>.csv` into a folder; BLOBs as hex. Returns the tables' names.

    Raises: Refused when the folder has files already.
    """
    folder.mkdir(parents=True, exist_ok=True)
    if any(folder.iterdir()):
        raise Refused(f"{folder}: is not empty; name a new folder")
    names = [*LEDGER_TABLES, *TABLES]
    for name in names:
        columns = book.execute(f"DESCRIBE SELECT * FROM known_{name}(0)").fetchall()
        listed = ", ".join(
            f"lower(hex({column})) AS {column}" if kind == "BLOB" else column
            for column, kind, *_ in columns
        )
        order = "sequence" if name in LEDGER_TABLES else "batch, row"
        book.execute(
            f"COPY (SELECT {listed} FROM known_{name}({book.upto}) ORDER BY {order})"
            f" TO '{str(folder / name).replace(chr(39), chr(39) * 2)}.csv' (HEADER, FORCE_QUOTE *)"
        )
    return names
