"""Timesheets in any layout: every line booked or held, the counts proven.

A file whose very bytes were loaded before is counted from the book; the lines of any other go
through the steps of `new_lines.py`.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from ledger.outcomes import Outcome
from ledger.sheets.file_counts import FileCounts, keep_file, loaded_before
from ledger.sheets.sheet_files import (
    ReadBy,
    SheetFile,
    known_sheet_file,
    named_files,
    passed_over,
    sheet_file,
)
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.layouts import PLAIN, Layout

if TYPE_CHECKING:
    from ledger.sheets.new_lines import NewLines


@dataclass(frozen=True)
class SheetLoad:
    """What is to be loaded: files and folders, the job of lines that name none, the layout."""

    paths: Sequence[Path]
    job: str | None = None
    layout: Layout = PLAIN


@dataclass(frozen=True)
class SheetsLoaded:
    """What became of the files of one command."""

    files: list[FileCounts]
    booked_ms: int
    remarks: list[Outcome]


def load_sheets(book: Book, batch: Batch, load: SheetLoad) -> SheetsLoaded:
    """Book or hold every line of the files.

    Raises: Refused when any of them cannot be read; then none is booked.
    """
    named, remarks = named_files(load.paths)
    by = ReadBy(load.layout, load.job or load.layout.job)
    files = [
        known_sheet_file(book, path, name, by) or sheet_file(book, path, name, by)
        for path, name in named
    ]
    under_way = _Load(book, batch, by, remarks)
    for sheets in files:
        book.progress.step(sheets.file.name, len(files))
        under_way.add(sheets)
    under_way.end()
    if load.layout.data and any(batch.counts.values()):
        from ledger.tables.layout_files import keep_layout

        keep_layout(book, batch, load.layout)
    return SheetsLoaded(under_way.counts, under_way.booked_ms, under_way.remarks)


@dataclass
class _Load:
    """The files of one command on their way into the book, and what became of them so far."""

    book: Book
    batch: Batch
    by: ReadBy
    remarks: list[Outcome]
    counts: list[FileCounts] = field(default_factory=list)
    booked_ms: int = 0
    new_lines: "NewLines | None" = None

    def add(self, sheets: SheetFile) -> None:
        """Book or hold the lines of a file; of one loaded before, say what they are now."""
        before = loaded_before(self.book, sheets)
        if before:
            keep_file(self.batch, sheets, before)
            self.remarks += passed_over(sheets)
            self.counts.append(before)
            return
        if not sheets.is_whole:
            # A file before it may have changed what became of its lines.
            sheets = sheet_file(self.book, sheets.file.path, sheets.file.name, self.by)
        self._add_lines(sheets)

    def _add_lines(self, sheets: SheetFile) -> None:
        """Book or hold the lines of a file; what that takes is imported for the first of them."""
        if self.new_lines is None:
            from ledger.sheets.new_lines import NewLines

            self.new_lines = NewLines(self.book, self.batch)
        loaded = self.new_lines.add(sheets)
        self.counts.append(loaded.counts)
        self.booked_ms += loaded.booked_ms
        self.remarks += loaded.remarks

    def end(self) -> None:
        """End the load of new lines, if there are any."""
        if self.new_lines:
            self.new_lines.end()
