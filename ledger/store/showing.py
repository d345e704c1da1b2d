"""Rows of fact tables for show and export."""

from pathlib import Path
from typing import Any

from ledger.errors import FairhoursError, Refused
from ledger.store.book import Book
from ledger.store.definitions import LEDGER_TABLES
from ledger.store.out_files import write_out
from ledger.store.queries import quoted
from ledger.store.schema import TABLES, WITHDRAWABLE

NICKNAMES = {"settings": "setting", "jobs": "job", "rates": "rate", "changes": "change"}
# Rows fetched together, and the steps of showing a table: it is read, then laid out.
TOGETHER, SHOWING = 20_000, 2
README = """\
This folder holds every table of the book, exactly as recorded: the seals can be computed again
from it. The secrets and salts of the seals are in it too: who has it can prove to others what
stands in any row. Keep it as you keep the book.
A text that begins with = + - or @ stands here as it was written, and a spreadsheet may
take it for a formula. Open these files as text, or have them shown with such texts marked by an
apostrophe: {show}
"""


def rows_of(
    book: Book, what: str, *, every: bool = False
) -> tuple[tuple[str, ...], list[dict[str, Any]]]:
    """Return the columns and the rows that count of a fact table, by its name, each with its id.

    `every` gives the rows that do not count too, with why not. Raises: Refused when there is no
    table of that name.
    """
    name = NICKNAMES.get(what, what)
    if what == "settings" and not every:
        return ("id", "name", "value"), _settings(book)
    if name not in TABLES:
        raise Refused("table_unknown", table=what, tables=tuple(TABLES))
    cursor = book.execute(_every(name) if every else _counting(name), {"upto": book.upto})
    head = tuple(column[0] for column in cursor.description or [])
    rows: list[dict[str, Any]] = []
    book.progress.step(name, SHOWING)
    while fetched := cursor.fetchmany(TOGETHER):
        rows += [dict(zip(head, map(_printable, row), strict=True)) for row in fetched]
        book.progress.within(len(rows))
    return head, rows


def _counting(name: str) -> str:
    table = TABLES[name]
    macro = f"current_{name}" if table.key or table.whole else f"known_{name}"
    left_out = " EXCLUDE (place_batch, place_row)" if table.name in WITHDRAWABLE else ""
    return (
        f"SELECT '{name}:' || batch || '.' || row AS id, *{left_out}"
        f" FROM {macro}($upto) ORDER BY batch, row"
    )


def _every(name: str) -> str:
    return (
        f"SELECT '{name}:' || f.batch || '.' || f.row AS id, CASE WHEN c.batch IS NOT NULL"
        " THEN 'counts' WHEN w.fact_batch IS NOT NULL THEN 'withdrawn' ELSE 'superseded' END"
        f" AS standing, f.* FROM known_{name}($upto) AS f LEFT JOIN"
        f" ({_counting(name)}) AS c ON c.batch = f.batch AND c.row = f.row"
        f" LEFT JOIN known_withdrawal($upto) AS w ON w.table_name = '{name}'"
        " AND w.fact_batch = f.batch AND w.fact_row = f.row ORDER BY f.batch, f.row"
    )


def _printable(value: Any) -> Any:
    return value.hex() if isinstance(value, bytes) else value


def _settings(book: Book) -> list[dict[str, Any]]:
    from ledger.domain.defaults import SETTINGS

    _, known = rows_of(book, "setting")
    loaded = {row["name"]: {name: row[name] for name in ("id", "name", "value")} for row in known}
    defaults = {name: {"id": None, "name": name, "value": SETTINGS[name]} for name in SETTINGS}
    return [row for _, row in sorted({**defaults, **loaded}.items())]


def export_csv(book: Book, folder: Path, show: str) -> list[str]:
    """Write every table as `<table>.csv` into a folder; BLOBs as hex. Returns the tables' names.

    Every text stands there as it was recorded, so that the seals can be computed again from it; a
    file beside them says so, and that the command `show` marks texts that begin as formulas do.

    Raises: Refused when the folder has files already, is a link, or cannot be written.
    """
    make_empty(folder)
    names = [*LEDGER_TABLES, *TABLES]
    try:
        for name in names:
            book.progress.step(name, len(names))
            _export_table(book, name, folder / f"{name}.csv")
        write_out(folder / "README.txt", README.format(show=show).encode())
    except FairhoursError:
        for name in names:
            (folder / f"{name}.csv").unlink(missing_ok=True)
        raise
    return names


def make_empty(folder: Path) -> None:
    """Make a folder. Raises: Refused when it has files already, is a link, or cannot be made."""
    if folder.is_symlink():
        raise Refused("folder_is_link", folder=folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if any(folder.iterdir()):
            raise Refused("folder_not_empty", folder=folder)
    except OSError as error:
        raise Refused("folder_unmade", folder=folder, system=error.strerror) from None


def _export_table(book: Book, name: str, path: Path) -> None:
    stored = "stored_batch" if name == "batch" else f"known_{name}"
    stored = TABLES[name].stored_macro if name in TABLES else stored
    columns = book.execute(f"DESCRIBE SELECT * FROM {stored}(0)").fetchall()
    listed = ", ".join(
        f"lower(hex({column})) AS {column}" if kind == "BLOB" else column
        for column, kind, *_ in columns
    )
    order = "sequence" if name in LEDGER_TABLES else "batch, row"
    book.execute(
        f"COPY (SELECT {listed} FROM {stored}({book.upto}) ORDER BY {order})"
        f" TO {quoted(str(path.absolute()))} (FORMAT csv, HEADER, FORCE_QUOTE *)"
    )
