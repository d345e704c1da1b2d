"""What the lines of a file of sheets come to: counted, kept, and known again by its bytes."""

from dataclasses import asdict, dataclass

from ledger import __version__
from ledger.sheets.sheet_files import SheetFile, layouts_read_by
from ledger.store.batches import Batch
from ledger.store.book import Book


@dataclass(frozen=True)
class FileCounts:
    """What became of the lines of one file, and how many of its rows are no lines."""

    file: str
    sha256: str
    lines_read: int
    booked: int
    held: int
    already_booked: int
    already_held: int
    left_out: int


def keep_file(batch: Batch, sheets: SheetFile, counts: FileCounts) -> None:
    """Keep that a file was read, how, and what its lines came to."""
    counted = asdict(counts)
    described = {
        "name": counted.pop("file"),
        "kind": "sheets",
        "layout": sheets.layout.recorded,
        "encoding": sheets.file.encoding,
        "default_job": sheets.job,
        **counted,
    }
    batch.append("file", {name: [value] for name, value in described.items()})


@dataclass(frozen=True)
class ReadAs:
    """A file's bytes, and what else decides how its lines read."""

    sha256: str
    name: str | None
    job: str | None
    layout: str


def read_as(sheets: SheetFile) -> ReadAs:
    """Return what decides how the lines of a file read."""
    layout, file = sheets.layout, sheets.file
    # What a tab's name tells, a text file's own name tells.
    name = file.name if layout.tab and not file.is_workbook else None
    return ReadAs(file.sha256, name, sheets.job, layout.recorded)


def loaded_before(book: Book, sheets: SheetFile) -> FileCounts | None:
    """Return what the lines of a file are whose very bytes were loaded before; None if not."""
    as_read = read_as(sheets)
    if as_read.layout not in layouts_read_by(book, as_read.sha256):
        return None
    rows = book.rows("sheets/file_loaded_before", program=__version__, **asdict(as_read))
    if not rows:
        return None
    lines, rows_left_out, held = rows[0]
    name, digest = sheets.file.name, sheets.file.sha256
    return FileCounts(name, digest, lines, 0, 0, lines - held, held, rows_left_out)
