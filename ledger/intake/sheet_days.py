"""Sheets given again: where a file has other lines of a worker and day than the sheet has."""

from dataclasses import asdict, dataclass

from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.held_lines import stage_held


@dataclass(frozen=True)
class ReadAs:
    """A file's bytes, and what else decides how its lines read."""

    sha256: str
    name: str | None
    job: str | None
    layout: str


def read_held(book: Book) -> None:
    """Stage the held lines that name a sheet, before the lines of a file are staged."""
    stage_held(book)
    book.stage("held_read", "held_read")


def compare_sheets(book: Book, file: ReadAs, last_entry_row: int) -> None:
    """Stage the judged lines of a file, those held that give a sheet's worker-day otherwise.

    A file that was loaded before says nothing new. Held lines that the file has put right, one by
    one, are no re-issue.
    """
    if _is_new(book, file):
        book.stage("sheet_given", "sheet_days_given")
        book.stage("sheet_differing", "sheet_days_differing")
    else:
        book.stage("sheet_differing", "no_sheet_days")
    if book.rows("sheets_reissued"):
        book.stage("judged", "lines_judged_by_sheet", last_entry_row=last_entry_row)
    else:
        book.restage("first", "judged")


def _is_new(book: Book, file: ReadAs) -> bool:
    """Return whether a file not loaded before has worker-days of which the book has lines."""
    if book.rows("file_seen", **asdict(file))[0][0]:
        return False
    book.stage("sheet_had", "sheet_days_had")
    return bool(book.rows("sheet_days_counted")[0][0])


def add_held(book: Book) -> None:
    """Add the held lines of the file judged last to those staged, for the next file."""
    book.stage("held_since", "held_read_since")
    book.stage("held_read", "held_read_so_far")


def keep_reissues(batch: Batch, name: str) -> list[str]:
    """Keep which worker-days the file that was kept last re-issues; end the lines it put right.

    Returns lines to print.
    """
    found = batch.book.rows("sheets_reissued")
    if not found:
        return []
    given = {"batch": batch.sequence, "file_row": batch.last_row("file")}
    batch.append_query("reissued_line", "lines_reissued", **given)
    mended = batch.append_query("line_outcome", "lines_mended", file=name)
    sheets = [f"{sheet} ({_days(days)})" for sheet, is_mended, days in found if not is_mended]
    said = []
    if sheets:
        said.append(
            f"{name}: handed in again with other lines: {', '.join(sheets)}; "
            "confirming takes back the lines not given again, see `fairhours reissues`; "
            "to correct one line: refuse the re-issue, then `fairhours correct entry`"
        )
    if mended:
        said.append(f"{name}: held lines put right by it: {mended}")
    return said


def _days(count: int) -> str:
    return "1 day of a worker" if count == 1 else f"{count} days of workers"
