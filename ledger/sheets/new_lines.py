"""The lines of files that are not known by their bytes: each booked or held, the counts proven.

A file goes through the steps of `NewLines` one after the other: read, understand, judge, compare,
keep and place. Between them stand facts; the lines themselves stand in temporary tables, each of
which one module writes.
"""

import contextlib
from dataclasses import dataclass

from ledger.errors import Refused
from ledger.outcomes import Outcome
from ledger.sheets.comparing import add_held, compare_lines, read_to_compare
from ledger.sheets.file_counts import FileCounts, keep_file, read_as
from ledger.sheets.file_parts import FilePart, cut, keep_file_parts
from ledger.sheets.judged_lines import judge_by_themselves, judge_in_place, judge_lines
from ledger.sheets.keeping import keep_lines
from ledger.sheets.known_file_parts import LinesLeftOut, join_known, stage_known_parts
from ledger.sheets.places import post_split
from ledger.sheets.reading import ReadLines, read_lines
from ledger.sheets.sheet_days import compare_sheets, keep_reissues, questions_waiting
from ledger.sheets.sheet_files import SheetFile, passed_over
from ledger.sheets.staging import NotInPlace
from ledger.sheets.totals import check_totals
from ledger.store.batches import Batch
from ledger.store.book import Book


@dataclass(frozen=True)
class LinesAdded:
    """A file whose lines were booked or held: its counts, and what is said of it beside them."""

    counts: FileCounts
    booked_ms: int
    remarks: list[Outcome]


@dataclass(frozen=True)
class _Judged:
    """A file whose lines were judged: its counts, and whether the book had any line near them."""

    counts: FileCounts
    booked_ms: int
    is_compared: bool


@dataclass
class NewLines:
    """The new files of one command on their way into the book."""

    book: Book
    batch: Batch
    # Whether the lines to compare with are read, and what changed since.
    is_read: bool = False
    has_reissued: bool = False
    has_held: bool = False

    def add(self, sheets: SheetFile) -> LinesAdded:
        """Book or hold the lines of a file that was read whole."""
        assert sheets.is_whole, sheets.file.name
        self._read_to_compare()
        file_parts = cut(sheets.file)
        read, left_out = self._read(sheets, file_parts)
        remarks = passed_over(sheets)
        if sheets.has_totals:
            remarks += check_totals(self.book, sheets.file.name)
        judged = self._judge(sheets, read, left_out)
        remarks += self._keep(sheets, judged, read.raw)
        keep_file_parts(self.batch, sheets.file, file_parts)
        return LinesAdded(judged.counts, judged.booked_ms, remarks)

    def end(self) -> None:
        """Post the lines whose hours are split, once all files are added."""
        post_split(self.book, self.batch)

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
            compare_sheets(book, read_as(sheets))
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

    def _keep(self, sheets: SheetFile, judged: _Judged, raw: str | None) -> list[Outcome]:
        """Keep the file, its new lines, each where it belongs, and the sheets given otherwise.

        Return what is said of these.
        """
        counts = judged.counts
        keep_file(self.batch, sheets, counts)
        if counts.booked or counts.held:
            keep_lines(self.batch, sheets, raw, has_held=bool(counts.held))
        self.has_held = bool(counts.held)
        if not judged.is_compared:
            return []
        reissued = keep_reissues(self.batch, counts.file)
        self.has_reissued = bool(reissued)
        return [*reissued, *questions_waiting(self.book, counts.file)]
