"""Every table of the book as CSV, Parquet or XLSX, with a data dictionary beside them.

The texts are those that can be read, without salts and secrets: `showing.export_csv` writes these.
"""

import csv
import io
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from ledger.errors import FairhoursError
from ledger.store.book import Book
from ledger.store.contents import unpacked
from ledger.store.dictionary import (
    HEAD,
    DescribedColumn,
    columns_of,
    has_standing,
    tables_described,
)
from ledger.store.out_files import write_out
from ledger.store.queries import quoted
from ledger.store.schema import TABLES, WITHDRAWABLE
from ledger.store.showing import make_empty
from ledger.store.table import VARCHAR
from ledger.store.workbook_out import write_workbook

# Bytes fetched together.
TOGETHER = 16
README = """\
Every table of the book as known at {stamp}, a table a file.
dictionary.csv has each column with its type, unit, key and meaning; content/ the bytes of files,
attachments and documents, under their digest.
Names and working hours are in here{pay}.
Who may have them is for local law.

{exactness}
{tables}
"""
EXACTNESS = {
    "csv": (
        "Texts stand in quotes and nothing is an empty cell. A text that a spreadsheet may take\n"
        "for a formula has an apostrophe before it. Times are whole milliseconds: divide by\n"
        "3600000 for hours.\n"
    ),
    "parquet": (
        "Types are those of the dictionary. Times are whole milliseconds: divide by 3600000 for\n"
        "hours.\n"
    ),
    "xlsx": (
        "Numbers are written digit by digit. A spreadsheet keeps 15 digits of a number, so one\n"
        "with more stands as text, as do instants and days before March 1900. Times are whole\n"
        "milliseconds: divide by 3600000 for hours. A table of more rows than a sheet takes goes\n"
        "on in the next.\n"
    ),
}
FORMATS = tuple(EXACTNESS)
# As `begins_formula` of the domain has it, with any apostrophes that stand there already.
_FORMULA = "^''*[=+\\-@\\t\\r\\n\uff1d\uff0b\uff0d\uff20]"
_NUMBER = "[-+][0-9 .,:]*%?"


@dataclass(frozen=True)
class Export:
    """Where a book is exported to, in which format, and whether with what people are paid."""

    folder: Path
    format: str
    with_pay: bool = False

    def columns(self, table: str) -> list[DescribedColumn]:
        """Return the columns that are exported of a table."""
        return [each for each in columns_of(table) if self.with_pay or not each.is_pay]


def export_tables(book: Book, export: Export) -> list[str]:
    """Write every table into a folder, a file each; return the tables' names.

    Raises: Refused when the folder has files already, is a link, or cannot be written, and for a
    text that no cell of a workbook can hold.
    """
    make_empty(export.folder)
    tables = tables_described()
    try:
        for name in tables:
            book.progress.step(name, len(tables))
            _WRITTEN[export.format](book, export, name)
        _write_contents(book, export.folder / "content")
        write_out(export.folder / "dictionary.csv", _dictionary(export).encode())
        write_out(export.folder / "README.txt", _readme(book, export, tables).encode())
    except (FairhoursError, OSError):
        shutil.rmtree(export.folder, ignore_errors=True)
        raise
    return list(tables)


def marked(column: str) -> str:
    """Return SQL of a text behind an apostrophe where a spreadsheet may take it for a formula."""
    is_formula = (
        f"regexp_matches({column}, {quoted(_FORMULA)})"
        f" AND NOT regexp_full_match({column}, {quoted(_NUMBER)})"
    )
    return f"CASE WHEN {is_formula} THEN '''' || {column} ELSE {column} END"


def _select(book: Book, export: Export, name: str, text: Callable[[str], str] = str) -> str:
    """Return SQL of a table's rows in order; `text` is done to the columns of texts."""
    if name == "batch":
        source = f"SELECT * FROM known_batch({book.upto})"
    else:
        source = _rows(book.upto, name)
    listed = ", ".join(
        f"{text(each.name)} AS {each.name}" if each.type == VARCHAR else each.name
        for each in export.columns(name)
    )
    order = "sequence" if name == "batch" else "batch, row"
    return f"SELECT {listed} FROM ({source}) ORDER BY {order}"


def _rows(upto: int, name: str) -> str:
    table = TABLES[name]
    identity = f"'{name}:' || f.batch || '.' || f.row AS id"
    if not has_standing(table):
        return f"SELECT {identity}, f.* FROM known_{name}({upto}) AS f"
    macro = f"current_{name}" if table.key or table.whole else f"known_{name}"
    withdrawn = "w.fact_batch IS NOT NULL" if name in WITHDRAWABLE else "false"
    return (
        f"SELECT {identity}, CASE WHEN c.batch IS NOT NULL THEN 'counts' WHEN {withdrawn}"
        f" THEN 'withdrawn' ELSE 'superseded' END AS standing, f.* FROM known_{name}({upto}) AS f"
        f" LEFT JOIN (SELECT batch, row FROM {macro}({upto})) AS c"
        " ON c.batch = f.batch AND c.row = f.row"
        f" LEFT JOIN known_withdrawal({upto}) AS w ON w.table_name = '{name}'"
        " AND w.fact_batch = f.batch AND w.fact_row = f.row"
    )


def _write_csv(book: Book, export: Export, name: str) -> None:
    texts = [each.name for each in export.columns(name) if each.type == VARCHAR]
    path = quoted(str((export.folder / f"{name}.csv").absolute()))
    book.execute(
        f"COPY ({_select(book, export, name, marked)}) TO {path}"
        f" (FORMAT csv, HEADER, FORCE_QUOTE ({', '.join(texts)}))"
    )


def _write_parquet(book: Book, export: Export, name: str) -> None:
    path = quoted(str((export.folder / f"{name}.parquet").absolute()))
    book.execute(f"COPY ({_select(book, export, name)}) TO {path} (FORMAT parquet)")


def _write_xlsx(book: Book, export: Export, name: str) -> None:
    types = {each.name: each.type for each in export.columns(name)}
    path = export.folder / f"{name}.xlsx"
    write_workbook(book, path, name, types, _select(book, export, name))


_WRITTEN = {"csv": _write_csv, "parquet": _write_parquet, "xlsx": _write_xlsx}


def _write_contents(book: Book, folder: Path) -> None:
    folder.mkdir()
    cursor = book.execute(
        f"SELECT sha256, packing, data FROM known_content({book.upto})"
        " WHERE data IS NOT NULL ORDER BY batch, row"
    )
    while rows := cursor.fetchmany(TOGETHER):
        for digest, packing, data in rows:
            write_out(folder / digest, unpacked(packing, data))


def _dictionary(export: Export) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(HEAD)
    for name in tables_described():
        writer.writerows(each.row for each in export.columns(name))
    return text.getvalue()


def _readme(book: Book, export: Export, tables: dict[str, str]) -> str:
    width = max(map(len, tables))
    return README.format(
        stamp=book.stamp(),
        pay=", and pay" if export.with_pay else "; columns of pay are left out",
        exactness=EXACTNESS[export.format],
        tables="\n".join(f"{name:<{width}}  {what}" for name, what in tables.items()),
    )
