"""Erasing texts: the one change of a fact, after which the book's file is made anew.

What is erased is set to null with the triggers lifted inside the transaction; its digest stays, so
that every head holds. The database keeps old blocks in its file, so the book is copied and the copy
renamed over it.
"""

import os
import re
import secrets
import shutil
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from ledger.domain.defaults import PRINTED_SETTINGS
from ledger.errors import BookError, Refused, Remedy
from ledger.progress import SILENT, Progress
from ledger.store import definitions
from ledger.store.batches import Batch, Writing, batch
from ledger.store.book import Book, open_book
from ledger.store.locking import Holder
from ledger.store.schema import ERASABLE_OF_BATCH, TABLES
from ledger.store.texts import erasures

_ID = re.compile(r"([a-z_]{1,40}):(\d{1,12})(?:\.(\d{1,12}))?")
# Tables whose texts are read to act on, not only to print: one that counts is not erased.
ACTING = ("setting", "rule", "held_text")

# The queries by which bytes are found that go with the rows of a table.
CONTENT_BY = {
    "file_part": "store/content_of_file_parts",
    "document": "store/content_of_documents",
    "attachment": "store/content_of_attachments",
}


@dataclass(frozen=True, order=True)
class TextPlace:
    """A row whose texts are to be erased; of a batch itself row 0."""

    table: str
    batch: int
    row: int

    @property
    def id(self) -> str:
        """Return the fact's id."""
        return f"{self.table}:{self.batch}" + (f".{self.row}" if self.row else "")

    @property
    def columns(self) -> tuple[str, ...]:
        """Return the columns that can be erased."""
        return ERASABLE_OF_BATCH if self.table == "batch" else TABLES[self.table].erasable


def erase_texts(book: Book, into: Batch, ids: Sequence[str], reason: str) -> list[TextPlace]:
    """Erase the texts of rows named by their ids, table:batch.row or batch:number.

    Returns what was erased; rows erased before are passed over.
    Raises: Refused for a row that is not there, has no text, or is acted on.
    """
    if not reason.strip():
        raise Refused("reason_missing")
    before = {(each.table, each.batch, each.row) for each in erasures(book)}
    asked = dict.fromkeys(map(_place, ids))
    asked |= dict.fromkeys(_with_content(book, asked))
    places = [each for each in asked if (each.table, each.batch, each.row) not in before]
    for place in places:
        _refuse(book, place)
    _refuse_retained(book, places, into.recorded_at.date())
    _erase(book, into, places, reason.strip())
    return places


def _with_content(book: Book, places: Iterable[TextPlace]) -> list[TextPlace]:
    """Return the content of the documents and parts of files named; of parts all that have it."""
    asked = list(places)
    return [
        TextPlace(*row)
        for table, query in CONTENT_BY.items()
        if (own := [each for each in asked if each.table == table])
        for row in book.rows(
            query, batches=[each.batch for each in own], rows=[each.row for each in own]
        )
    ]


def names_of(book: Book, worker: str) -> dict[str, str]:
    """Return the names that were recorded of a worker and stand, by their ids."""
    return dict(book.rows("store/names_of_worker", worker=worker))


def names_of_persons(book: Book, ids: Iterable[str]) -> dict[str, str]:
    """Return the names of persons that stand in the rows named, by their ids."""
    return dict(book.rows("store/names_of_persons", ids=[place.id for place in map(_place, ids)]))


def _place(text: str) -> TextPlace:
    match = _ID.fullmatch(text)
    if match and match[1] == "batch" and match[3] is None:
        return TextPlace("batch", int(match[2]), 0)
    if not match or match[3] is None:
        raise Refused("text_id_unreadable", given=text)
    if match[1] not in TABLES:
        raise Refused("text_table_unknown", given=text, table=match[1])
    if not TABLES[match[1]].erasable:
        raise Refused("table_without_text", given=text, table=match[1])
    return TextPlace(match[1], int(match[2]), int(match[3]))


def _refuse(book: Book, place: TextPlace) -> None:
    source = "stored_batch" if place.table == "batch" else TABLES[place.table].stored_macro
    hashes = " OR ".join(f"{name}_hash IS NOT NULL" for name in place.columns)
    row = book.execute(
        f"SELECT {hashes} FROM {source}($upto) WHERE {_this(place)}", {"upto": book.upto}
    ).fetchone()
    if not row:
        raise Refused("row_unknown", place=place.id, remedy=Remedy("show", what=place.table))
    if not row[0]:
        raise Refused("row_without_text", place=place.id)
    if is_in_use(book, place):
        raise Refused("text_in_use", place=place.id)


def _refuse_retained(book: Book, places: Sequence[TextPlace], on: date) -> None:
    """Raises: Refused for a document, or a reply to one, that must be kept still."""
    kept = {
        TextPlace(*row[:3]): row[3:] for row in book.rows("store/content_retained") if on <= row[4]
    }
    for place in (each for each in places if each in kept):
        document, until = kept[place]
        raise Refused("document_retained", place=place.id, document=document, until=until)


def is_in_use(book: Book, place: TextPlace) -> bool:
    """Return whether a row's texts are read to act on, so that it cannot be erased."""
    return place.table in ACTING and _is_acted_on(book, place)


def _is_acted_on(book: Book, place: TextPlace) -> bool:
    """Return whether a setting, a rule or a held line is read to act on.

    Settings that only print are not.
    """
    if place.table == "held_text":
        return bool(book.rows("store/held_still", batch=place.batch, row=place.row))
    if place.table == "setting":
        name = book.execute(
            f"SELECT name FROM known_setting($upto) WHERE {_this(place)}", {"upto": book.upto}
        ).fetchall()[0][0]
        return name not in PRINTED_SETTINGS
    sql = f"SELECT count(*) FROM current_{place.table}($upto) WHERE {_this(place)}"
    return bool(book.execute(sql, {"upto": book.upto}).fetchall()[0][0])


def _this(place: TextPlace) -> str:
    if place.table == "batch":
        return f"sequence = {place.batch}"
    return f"batch = {place.batch} AND row = {place.row}"


def _nothing(table: str, name: str) -> str:
    """Return what is set of a text that is erased; its digest is kept by now at the latest."""
    is_late = table in TABLES and TABLES[table].is_digested_late
    kept = f", {name}_hash = coalesce({TABLES[table].digest(name)}, {name}_hash)" if is_late else ""
    return f"{name} = NULL, {name}_salt = NULL{kept}"


def _erase(book: Book, into: Batch, places: Sequence[TextPlace], reason: str) -> None:
    tables = {each.table: definitions.trigger_name(each.table, "UPDATE") for each in places}
    for table, trigger in tables.items():
        book.execute(f"DROP TRIGGER {trigger} ON {table}")
    for place in places:
        nothing = ", ".join(_nothing(place.table, name) for name in place.columns)
        book.execute(f"UPDATE {place.table} SET {nothing} WHERE {_this(place)}")
    for statement in definitions.triggers():
        if statement.split()[2] in tables.values():
            book.execute(statement)
    into.append(
        "erasure",
        {
            "table_name": [each.table for each in places],
            "fact_batch": [each.batch for each in places],
            "fact_row": [each.row for each in places],
            "reason": [reason for _ in places],
        },
    )


def erase_and_renew(
    path: Path,
    writing: Writing,
    work: Callable[[Book, Batch], list[TextPlace]],
    *,
    wait: float,
    progress: Progress = SILENT,
) -> list[TextPlace]:
    """Erase as one batch what `work` erases, make the book's file anew, and return what it was.

    Nobody else may try to open the book meanwhile: they would wait for the file that is replaced.
    """
    holder = Holder(writing.actor, writing.command, alone=True)
    with open_book(path, wait=wait, writer=holder) as book:
        book.progress = progress
        with batch(book, writing) as open_batch:
            places = work(book, open_batch)
        _copy_anew(book)
    return places


def _copy_anew(book: Book) -> None:
    """Copy the book and rename the copy over it, so that no block of before is in its file."""
    path = Path(os.path.realpath(book.path))
    copy = path.with_name(f".{secrets.token_hex(8)}.part")
    try:
        _copy(book, copy)
        shutil.copymode(path, copy)
        copy.replace(path)
        _keep_name(path.parent)
    except (OSError, BookError) as error:
        raise BookError("book_not_renewed", book=book.path, because=str(error)) from error
    finally:
        for left in (copy, Path(f"{copy}.wal")):
            left.unlink(missing_ok=True)


def _keep_name(folder: Path) -> None:
    """Let the disk have the new name before anybody is told that the old file is gone."""
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)


def _copy(book: Book, copy: Path) -> None:
    source = book.execute("SELECT current_database()").fetchall()[0][0]
    quoted = '"' + source.replace('"', '""') + '"'
    place = str(copy).replace("'", "''")
    book.execute("CHECKPOINT")
    book.execute(f"ATTACH '{place}' AS copied")
    try:
        withdrawn = book.withdrawn()
        book.execute("USE copied")
        book.execute("BEGIN TRANSACTION")
        for statement in definitions.statements(withdrawn):
            book.execute(statement)
        tables = (*definitions.LEDGER_TABLES, *TABLES)
        for table in tables:
            book.progress.step(table, len(tables))
            book.execute(f"INSERT INTO copied.{table} SELECT * FROM {quoted}.{table}")
        book.execute("COMMIT")
        book.execute("CHECKPOINT copied")
    finally:
        book.execute(f"USE {quoted}")
        book.execute("DETACH copied")
