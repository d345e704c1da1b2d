"""Sheets given again: where a file has other lines of a worker and day than the sheet has."""

from dataclasses import dataclass

from ledger.domain.questions import QUESTIONS
from ledger.store.batches import Batch
from ledger.store.book import Book


@dataclass(frozen=True)
class ReadAs:
    """A file's bytes, and what else decides how its lines read."""

    sha256: str
    name: str | None
    job: str | None
    layout: str


def compare_sheets(book: Book, file: ReadAs, last_entry_row: int) -> None:
    """Stage the judged lines of a file, those held that give a sheet's worker-day otherwise.

    A file that was loaded before says nothing new by what it leaves out. Held lines that the file
    has put right, one by one, are no re-issue.
    """
    if book.stage("sheet_had", "sheets/sheet_days_had"):
        seen = book.rows("sheets/file_seen", sha256=file.sha256, name=file.name, layout=file.layout)
        book.stage("sheet_given", "sheets/sheet_days_given")
        book.stage("sheet_differing", "sheets/sheet_days_differing", is_seen=seen[0][0])
    else:
        book.stage_none("sheet_given", "sheets/sheet_days_given")
        book.stage_none("sheet_differing", "sheets/sheet_days_differing")
    if book.rows("sheets/sheets_reissued"):
        book.stage("judged", "sheets/lines_judged_by_sheet", last_entry_row=last_entry_row)
    else:
        book.restage("first", "judged")


def questions_told(book: Book, name: str) -> list[str]:
    """Return lines to print: how many lines of the file judged last wait for which question."""
    said = []
    for reason, lines in book.rows("sheets/questions_counted"):
        command = f'line --file "{name}" --reason-is {reason} --reason "..."'
        one, more = QUESTIONS[reason]
        said.append(
            f"{name}: {one if lines == 1 else more.format(lines)}; if they are the same: "
            f"`fairhours reject {command}`, if they are others: `fairhours release {command}`"
        )
    return said


def keep_reissues(batch: Batch, name: str) -> list[str]:
    """Keep which worker-days the file that was kept last re-issues; end the lines it put right.

    Returns lines to print.
    """
    found = batch.book.rows("sheets/sheets_reissued")
    if not found:
        return []
    given = {"batch": batch.sequence, "file_row": batch.last_row("file")}
    batch.append_query("reissued_line", "sheets/lines_reissued", **given)
    mended = batch.append_query("line_outcome", "sheets/lines_mended", file=name)
    sheets = [f"{sheet} ({_days(days)})" for sheet, is_mended, days in found if not is_mended]
    said = []
    if sheets:
        said.append(
            f"{name}: handed in again with other lines: {', '.join(sheets)}; "
            "confirming takes back the lines not given again, see `fairhours reissues`; "
            "to correct one line: reject the re-issue, then `fairhours correct entry`"
        )
    if mended:
        said.append(f"{name}: held lines put right by it: {mended}")
    return said


def _days(count: int) -> str:
    return "1 day of a worker" if count == 1 else f"{count} days of workers"
