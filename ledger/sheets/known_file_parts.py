"""Parts of a file that the book has: their lines are counted there, not read again.

A part is known where an earlier file has the same bytes, all its lines were new in that file, and
both files are read alike: a plain list without quotes, under the same head, by the same layout, job
and program. Its lines would be found in the book one by one; those of worker-days or sheets that
any other line touches are compared with all others, as the book has them.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from ledger import __version__
from ledger.sheets.file_parts import FilePart
from ledger.sheets.reading import Unread
from ledger.sheets.sheet_files import SheetFile
from ledger.sheets.staging import add_parsed
from ledger.store.book import Book
from ledger.store.contents import unpacked
from ledger.tables.layouts import PLAIN

# So many stretches of lines to read are told apart; a file with more is read whole.
STRETCHES = 50


@dataclass(frozen=True)
class LinesLeftOut:
    """Lines that are counted and not read: how many, how many of them are held or refused.

    `joined` is how many more were not read, and are compared as the book has them.
    """

    lines: int = 0
    held: int = 0
    joined: int = 0


def stage_known_parts(
    book: Book, sheets: SheetFile, file_parts: Sequence[FilePart]
) -> Unread | None:
    """Stage in `staged_known_file_part` the parts that are known; return what is left to read.

    None where none is known: then the file is read whole.
    """
    if not _may_be_known(sheets, file_parts):
        return None
    digests = Counter(part.sha256 for part in file_parts)
    candidates = [
        part
        for part in file_parts
        if digests[part.sha256] == 1 and part.line_ends > 1 and part.is_ended
    ]
    inputs = {
        "numbers": [part.number for part in candidates],
        "digests": [part.sha256 for part in candidates],
        # The head is no sheet line.
        "firsts": [max(part.first_line or 0, 2) for part in candidates],
        "lines": [_lines(part) for part in candidates],
    }
    book.stage("new_file_part", "sheets/new_file_parts", **inputs)
    which = {"layout": sheets.layout.recorded, "job": sheets.job, "program": __version__}
    if not book.stage("file_part_alike", "sheets/file_parts_alike", **which):
        return None
    _stage_files_alike(book, sheets.file.text.partition("\n")[0])
    if not book.stage("known_file_part", "sheets/known_file_parts"):
        return None
    return _unread(book, file_parts)


def _may_be_known(sheets: SheetFile, file_parts: Sequence[FilePart]) -> bool:
    file = sheets.file
    return (
        len(file_parts) > 1
        and file.plain
        and sheets.layout is PLAIN
        and sheets.tables[0].at == 1
        and '"' not in file.text
        # Whose a line by name is may be known otherwise since.
        and "worker_name" not in sheets.tables[0].head
    )


def _lines(part: FilePart) -> int:
    return part.line_ends - (part.first_line == 1)


def _stage_files_alike(book: Book, head: str) -> None:
    """Stage the files of the parts there that begin with the same head."""
    alike = [
        (batch, row)
        for batch, row, packing, data in book.rows("sheets/heads_there")
        if data and unpacked(packing, data).partition(b"\n")[0].decode() == head
    ]
    batches, rows = [batch for batch, _ in alike], [row for _, row in alike]
    book.stage("file_alike", "sheets/files_alike", batches=batches, file_rows=rows)


def _unread(book: Book, file_parts: Sequence[FilePart]) -> Unread | None:
    """Return the parts that are to be read, and the lines left out before each stretch of them."""
    known = {number for (number,) in book.rows("sheets/numbers_known")}
    left = tuple(part for part in file_parts if part.number not in known)
    stretches: dict[int, int] = {}
    rows = left_out = 0
    for part in file_parts:
        if part.number in known:
            left_out += _lines(part)
            continue
        if left_out not in stretches.values():
            stretches[rows] = left_out
        rows += _lines(part)
    return Unread(left, stretches) if len(stretches) <= STRETCHES else None


def join_known(book: Book) -> LinesLeftOut | None:
    """Add the lines of known parts that others touch to those parsed; return what is counted.

    None where a held line is touched: it is to be read again.
    """
    book.stage("stretch_known", "sheets/stretches_known")
    book.view_of("line_flagged", "sheets/lines_flagged")
    book.stage("day_touched", "sheets/days_touched")
    book.stage("sheet_touched", "sheets/sheets_touched")
    book.stage("row_touched", "sheets/rows_touched")
    book.stage("line_touched", "sheets/lines_touched")
    if book.rows("sheets/held_touched")[0][0]:
        return None
    add_parsed(book, "sheets/lines_touched_staged")
    return LinesLeftOut(*book.rows("sheets/lines_left_out")[0])
