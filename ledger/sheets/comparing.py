"""Lines compared with those of the book, field by field: which it has, and which it may have."""

from ledger.sheets.held_lines import read_corrected, read_written
from ledger.sheets.known_codes import stage_codes
from ledger.sheets.written_lines import stage_written
from ledger.store.book import Book

# What is staged of corrected lines, each after what it reads.
_OF_CORRECTED = {
    "line_corrected": "sheets/lines_corrected_ever",
    "entry_replaced": "sheets/entries_replaced",
    "entry_before": "sheets/entries_before",
}


def read_to_compare(book: Book) -> None:
    """Stage the lines that wait, ended without an entry or were corrected, as they read.

    To be done before the lines to compare with them are staged; it reads into the same tables.
    """
    stage_codes(book)
    book.stage_once("week_begin", "sheets/week_begin")
    book.stage_once("job_by_code", "sheets/jobs_by_code")
    _, has_held, has_corrected = book.rows("sheets/lines_there")[0]
    if has_held and (lines := stage_written(book, "sheets/lines_to_read")):
        read_written(book, lines)
        _stage_read(book, "as_written", as_corrected=False)
    else:
        book.stage_none("read_as_written", "sheets/lines_read")
    if has_held and has_corrected:
        read_corrected(book)
        _stage_read(book, "as_corrected", as_corrected=True)
    else:
        book.stage_none("read_as_corrected", "sheets/lines_read")


def _stage_read(book: Book, name: str, *, as_corrected: bool) -> None:
    stage_alike(book, "sheets/places_all")
    book.stage(f"read_{name}", "sheets/lines_read", as_corrected=as_corrected)


def stage_alike(book: Book, places: str) -> int:
    """Stage the parsed lines in the places that a query names, by what makes two lines the same.

    Returns how many.
    """
    if not book.stage("wanted", places):
        book.stage_none("alike", "sheets/lines_alike")
        return 0
    return book.stage("alike", "sheets/lines_alike")


def compare_lines(book: Book, *, has_known_parts: bool = False) -> bool:
    """Stage which of the parsed lines the book has already, and which of the rest it may have.

    Lines that were held and stand in known parts of the file are left out of both sides. Returns
    False, and stages nothing, where the book has nothing of these workers on these days.
    """
    has_entries, has_held, _ = book.rows("sheets/lines_there")[0]
    if not (has_entries or has_held) or not book.rows("sheets/lines_near")[0][0]:
        return False
    _stage_had(book)
    if has_known_parts:
        book.stage("had_left_out", "sheets/had_left_out")
        book.execute(
            "DELETE FROM staged_had WHERE (line_batch, line_row) IN"
            " (SELECT (line_batch, line_row) FROM staged_had_left_out)"
        )
    if stage_alike(book, "sheets/places_had"):
        book.stage("same", "sheets/lines_same")
        _stage_questioned(book, is_any=book.rows("sheets/lines_to_question")[0][0])
    else:
        book.stage_none("same", "sheets/lines_same")
        _stage_questioned(book, is_any=False)
    return True


def _stage_had(book: Book) -> None:
    """Stage the lines of the book that the parsed lines may be."""
    _, _, has_corrected = book.rows("sheets/lines_there")[0]
    for name, query in _OF_CORRECTED.items():
        if has_corrected:
            book.stage(name, query)
        else:
            book.stage_none(name, query)
    book.stage("had", "sheets/lines_had")


def _stage_questioned(book: Book, *, is_any: bool) -> None:
    """Stage the lines that may be lines of the book, if any can be."""
    if is_any:
        book.stage("questioned", "sheets/lines_questioned")
    else:
        book.stage_none("questioned", "sheets/lines_questioned")


def compare_corrected(book: Book) -> None:
    """Stage of each parsed line, as it reads now, whether it is a booked line of another file."""
    _stage_had(book)
    stage_alike(book, "sheets/places_all")
    book.stage("compared", "sheets/corrections_compared")


def add_held(book: Book) -> None:
    """Add the held lines of the file judged last to those read, for the next file.

    To be done while that file is still staged.
    """
    stage_alike(book, "sheets/places_held")
    book.stage("read_since", "sheets/lines_read_since")
    book.restage("read_since", "read_as_written")
