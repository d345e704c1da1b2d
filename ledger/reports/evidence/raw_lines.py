"""The sheet lines of a change as they were written, and the files that they came in."""

from dataclasses import dataclass

from ledger.errors import Refused
from ledger.reports.evidence.asked import (
    QUERIES,
    EvidenceAsked,
    FileShown,
    KeptFile,
    salt_text,
    sealed_name,
)
from ledger.sheets.file_parts import kept_parts
from ledger.sheets.written_lines import add_written_of_files, stage_wanted, stage_written
from ledger.store.book import Book

# Why the text of a line cannot be given any more.
ERASED = ("file_part_erased", "layout_erased")


@dataclass(frozen=True)
class RawLine:
    """A sheet line as it was written; `sheet_line` is its id, batch.row."""

    sheet_line: str
    file: str
    line: int
    raw: str


def raw_lines(book: Book, asked: EvidenceAsked) -> tuple[RawLine, ...]:
    """Return the lines behind the entries of a change; none where their texts were erased."""
    of_change = {"job": asked.job, "change": asked.change}
    try:
        stage_written(book, f"{QUERIES}/lines_of_book", **of_change)
        add_written_of_files(book, f"{QUERIES}/lines_of_files", **of_change)
    except Refused as refused:
        if refused.kind not in ERASED:
            raise
        return ()
    rows = book.rows(f"{QUERIES}/lines_written")
    return tuple(RawLine(place, file or "", line, raw or "") for place, file, line, raw in rows)


def whole_files(book: Book, asked: EvidenceAsked) -> tuple[KeptFile, ...]:
    """Return the files of these lines as they came, other lines in them too.

    Raises: Refused when a part of one was erased.
    """
    of_change = {"job": asked.job, "change": asked.change}
    # The parts of a file are asked for with the lines that are wanted of it.
    stage_wanted(book, f"{QUERIES}/lines_of_files", **of_change)
    return tuple(
        KeptFile(
            FileShown(
                row["name"] or "erased",
                "timesheet as it came",
                None,
                row["sha256"],
                f"file:{row['batch']}.{row['row']}",
            ),
            salt_text(row["salt"]),
            _bytes_of(book, (row["batch"], row["row"]), row["name"] or "erased"),
            sealed_name(row),
        )
        for row in book.records(f"{QUERIES}/files", **of_change)
    )


def _bytes_of(book: Book, file: tuple[int, int], name: str) -> bytes:
    return b"".join(part.data for part in kept_parts(book, file, name, whole=True))
