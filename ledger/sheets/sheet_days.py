"""Sheets given again: where a file has other lines of a worker and day than the sheet has."""

from ledger.outcomes import Outcome
from ledger.sheets.file_counts import ReadAs
from ledger.sheets.file_outcomes import HeldLinesMended, QuestionsWaiting, SheetsReissued
from ledger.sheets.judged_lines import judge_by_sheet
from ledger.store.batches import Batch
from ledger.store.book import Book


def compare_sheets(book: Book, file: ReadAs) -> None:
    """Stage the judged lines of a file, those held that give a sheet's worker-day otherwise.

    A file that was loaded before says nothing new by what it leaves out. Held lines that the file
    has put right, one by one, are no re-issue.
    """
    if book.stage("sheet_had", "sheets/sheet_days_had"):
        seen = book.rows("sheets/file_seen", sha256=file.sha256, name=file.name, layout=file.layout)
        book.stage("sheet_of_file", "sheets/sheet_days_of_file")
        book.stage("sheet_differing", "sheets/sheet_days_differing", is_seen=seen[0][0])
    else:
        book.stage_none("sheet_of_file", "sheets/sheet_days_of_file")
        book.stage_none("sheet_differing", "sheets/sheet_days_differing")
    query = "sheets/lines_judged_by_sheet" if book.rows("sheets/sheets_reissued") else None
    judge_by_sheet(book, query)


def questions_waiting(book: Book, name: str) -> list[QuestionsWaiting]:
    """Return how many lines of the file judged last wait for which question."""
    return [QuestionsWaiting(name, *row) for row in book.rows("sheets/questions_counted")]


def keep_reissues(batch: Batch, name: str) -> list[Outcome]:
    """Keep which worker-days the file that was kept last re-issues; end the lines it put right."""
    reissued = batch.book.rows("sheets/sheets_reissued")
    if not reissued:
        return []
    inputs = {"batch": batch.sequence, "file_row": batch.last_row("file")}
    batch.append_query("reissued_line", "sheets/lines_reissued", **inputs)
    mended = batch.append_query("line_outcome", "sheets/lines_mended", file=name)
    sheets = tuple((sheet, days) for sheet, is_mended, days in reissued if not is_mended)
    outcomes: list[Outcome] = [SheetsReissued(name, sheets)] if sheets else []
    return outcomes + ([HeldLinesMended(name, mended)] if mended else [])
