"""Timesheets in any layout: every line booked or held, the counts proven.

A file goes through the steps of `_Load` one after the other: read, understand, judge, compare, keep
and place. Between them stand facts; the lines themselves stand in temporary tables, each of which
one module writes.
"""

import contextlib
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path

from ledger import __version__
from ledger.errors import Refused
from ledger.outcomes import Outcome
from ledger.sheets.comparing import add_held, compare_lines, read_to_compare
from ledger.sheets.file_parts import FilePart, cut, keep_file_parts
from ledger.sheets.judged_lines import judge_by_themselves, judge_in_place, judge_lines
from ledger.sheets.keeping import LinesCounted, keep_file, keep_lines
from ledger.sheets.known_file_parts import LinesLeftOut, join_known, stage_known_parts
from ledger.sheets.places import post_split
from ledger.sheets.reading import (
    ReadBy,
    ReadLines,
    SheetFile,
    known_sheet_file,
    layouts_read_by,
    named_files,
    passed_over,
    read_lines,
    sheet_file,
)
from ledger.sheets.sheet_days import ReadAs, compare_sheets, keep_reissues, questions_waiting
from ledger.sheets.staging import NotInPlace
from ledger.sheets.totals import check_totals
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.layouts import PLAIN, Layout, keep_layout


@dataclass(frozen=True)
class SheetLoad:
    """What is to be loaded: files and folders, the job of lines that name none, the layout."""

    paths: Sequence[Path]
    job: str | None = None
    layout: Layout = PLAIN


@dataclass(frozen=True)
class FileCounts:
    """What became of the lines of one file."""

    file: str
    sha256: str
    lines_read: int
    booked: int
    held: int
    already_booked: int
    already_held: int
    left_out: int


@dataclass(frozen=True)
class SheetsLoaded:
    """What became of the files of one command."""

    files: list[FileCounts]
    booked_ms: int
    remarks: list[Outcome]


@dataclass(frozen=True)
class _Judged:
    """A file whose lines were judged: its counts, and whether the book had any line near them."""

    counts: FileCounts
    booked_ms: int
    is_compared: bool


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
    post_split(book, batch)
    if load.layout.data and any(batch.counts.values()):
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
    # Whether the lines to compare with are read, and what changed since.
    is_read: bool = False
    has_reissued: bool = False
    has_held: bool = False

    def add(self, sheets: SheetFile) -> None:
        """Book or hold the lines of a file; of one loaded before, say what they are now."""
        before = _loaded_before(self.book, sheets)
        if before:
            keep_file(self.batch, sheets, before)
            self.remarks += passed_over(sheets)
            self.counts.append(FileCounts(sheets.file.name, sheets.file.sha256, **asdict(before)))
            return
        if not sheets.is_whole:
            # A file before it may have changed what became of its lines.
            sheets = sheet_file(self.book, sheets.file.path, sheets.file.name, self.by)
        self._read_to_compare()
        file_parts = cut(sheets.file)
        read, left_out = self._read(sheets, file_parts)
        self.remarks += passed_over(sheets)
        if sheets.has_totals:
            self.remarks += check_totals(self.book, sheets.file.name)
        judged = self._judge(sheets, read, left_out)
        self._keep(sheets, judged, read.raw)
        keep_file_parts(self.batch, sheets.file, file_parts)
        self.counts.append(judged.counts)
        self.booked_ms += judged.booked_ms

    def _read_to_compare(self) -> None:
        """Stage the lines to compare a file with that are no entries.

        They are read once, and again after a file that re-issued sheets; held ones are added.
        """
        if not self.is_read or self.has_reissued:
            read_to_compare(self.book)
        elif self.has_held:
            add_held(self.book)
        self.is_read, self.has_reissued, self.has_held = True, False, False

    def _read(
        self, sheets: SheetFile, file_parts: list[FilePart]
    ) -> tuple[ReadLines, LinesLeftOut]:
        """Read and understand the lines of a file that are not known; return what is left out."""
        unread = stage_known_parts(self.book, sheets, file_parts)
        if unread is not None:
            # Whatever is astray in it is said of the whole file.
            with contextlib.suppress(Refused, NotInPlace):
                read = read_lines(self.book, sheets, unread)
                if left_out := join_known(self.book):
                    return read, left_out
        return read_lines(self.book, sheets), LinesLeftOut()

    def _judge(self, sheets: SheetFile, read: ReadLines, left_out: LinesLeftOut) -> _Judged:
        """Say of each line what becomes of it, compared with the book where it has any near."""
        book, batch = self.book, self.batch
        is_compared = compare_lines(book, has_known_parts=bool(left_out.lines))
        last = {"batch": batch.sequence, "last_line_row": batch.last_row("line")}
        if is_compared:
            judge_by_themselves(book, **last)
            compare_sheets(book, _read_as(sheets))
        elif read.raw:
            judge_in_place(book, batch)
        else:
            judge_lines(book, "sheets/lines_new", **last)
        row = book.records("sheets/lines_counted")[0]
        booked_ms = int(row.pop("booked_ms"))
        name, digest = sheets.file.name, sheets.file.sha256
        row["lines_read"] += left_out.lines
        row["already_held"] += left_out.held
        row["already_booked"] += left_out.lines - left_out.held
        counts = FileCounts(name, digest, left_out=read.rows_left_out, **row)
        assert counts.lines_read == read.lines + left_out.lines + left_out.joined
        assert counts.lines_read == (
            counts.booked + counts.held + counts.already_booked + counts.already_held
        )
        return _Judged(counts, booked_ms, is_compared)

    def _keep(self, sheets: SheetFile, judged: _Judged, raw: str | None) -> None:
        """Keep the file, its new lines, each where it belongs, and the sheets given otherwise."""
        counts = judged.counts
        counted = LinesCounted(
            counts.lines_read,
            counts.booked,
            counts.held,
            counts.already_booked,
            counts.already_held,
            counts.left_out,
        )
        keep_file(self.batch, sheets, counted)
        if counts.booked or counts.held:
            keep_lines(self.batch, sheets, raw, has_held=bool(counts.held))
        self.has_held = bool(counts.held)
        if judged.is_compared:
            reissued = keep_reissues(self.batch, counts.file)
            self.remarks += [*reissued, *questions_waiting(self.book, counts.file)]
            self.has_reissued = bool(reissued)


def _read_as(sheets: SheetFile) -> ReadAs:
    layout, file = sheets.layout, sheets.file
    # What a tab's name tells, a text file's own name tells.
    name = file.name if layout.tab and not file.is_workbook else None
    return ReadAs(file.sha256, name, sheets.job, layout.recorded)


def _loaded_before(book: Book, sheets: SheetFile) -> LinesCounted | None:
    """Return what the lines of a file are whose very bytes were loaded before; None if not."""
    read_as = _read_as(sheets)
    if read_as.layout not in layouts_read_by(book, read_as.sha256):
        return None
    rows = book.rows("sheets/file_loaded_before", program=__version__, **asdict(read_as))
    if not rows:
        return None
    lines, rows_left_out, held = rows[0]
    return LinesCounted(lines, 0, 0, lines - held, held, rows_left_out)
