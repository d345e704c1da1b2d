"""Timesheets, CSV or workbook: every line booked or held, the counts proven."""

import contextlib
import csv
import io
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from decimal import Decimal
from pathlib import Path

from ledger.domain.parsing import MS_PER_HOUR
from ledger.errors import Refused
from ledger.intake.heads import check_head, head_of, head_row, left_out, only_tab, shown_tabs
from ledger.intake.preflight import TextFile, read_text
from ledger.intake.sheet_days import compare_sheets, keep_reissues
from ledger.intake.workbooks import Tab
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.staging import CsvFile, TabRows, stage_csv, stage_tabs

COLUMNS = (
    "sheet",
    "worker_id",
    "date",
    "hours",
    "start",
    "finish",
    "break_minutes",
    "booking_code",
    "job",
    "note",
    "pay_class",
    "trade",
    "rework",
    "approved_by",
)
NEEDED = ("worker_id", "date", "booking_code")


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
    booked_hours: Decimal
    remarks: list[str]


@dataclass(frozen=True)
class SheetFile:
    """A file of sheets with the head of its table, or the tabs that are read and their heads."""

    source: TextFile
    head: list[str]
    tabs: tuple[tuple[Tab, int], ...] = ()

    @property
    def remarks(self) -> list[str]:
        """What is to be said of columns and tabs that are not read."""
        name = self.source.name
        if not self.tabs:
            return _unknown(name, self.head)
        said = [
            line
            for tab, at in self.tabs
            for line in _unknown(f"{name}, {tab.name}", _head(tab, at))
        ]
        rest = left_out(self.source, [tab for tab, _ in self.tabs])
        return said + ([f"{name}: tabs left out: {', '.join(rest)}"] if rest else [])


def load_sheets(
    book: Book,
    batch: Batch,
    paths: Sequence[Path],
    job: str | None,
    progress: Callable[[str], None] = lambda _: None,
) -> SheetsLoaded:
    """Book or hold every line of the files.

    Raises: Refused when any of them cannot be read; then none is booked.
    """
    files = [sheet_file(read_text(path)) for path in paths]
    counts, booked_ms = [], 0
    for file in files:
        progress(file.source.name)
        counted, ms = _load(book, batch, file, job)
        counts.append(counted)
        booked_ms += ms
    remarks = [line for file in files for line in file.remarks]
    return SheetsLoaded(counts, Decimal(booked_ms) / MS_PER_HOUR, remarks)


def sheet_file(source: TextFile) -> SheetFile:
    """Return a file with its head, or with each tab that has the needed columns.

    Raises: Refused when the head does not fit, or no tab has one that does.
    """
    if not source.is_workbook:
        head = head_of(next(csv.reader(io.StringIO(source.text.lstrip("\n")))))
        check_head(f"{source.name}:1", head, _missing)
        return SheetFile(source, head)
    shown = shown_tabs(source)
    tabs = tuple((tab, at) for tab in shown if (at := head_row(tab, _missing)) is not None)
    for tab, at in tabs or (only_tab(source, _missing),):
        check_head(f"{source.name}, {tab.name} row {at + 1}", _head(tab, at), _missing)
    return SheetFile(source, [], tabs)


def _head(tab: Tab, at: int) -> list[str]:
    return head_of(tab.rows[at])


def _missing(head: Sequence[str]) -> list[str]:
    missing = [name for name in NEEDED if name not in head]
    if "hours" not in head and not {"start", "finish"} <= set(head):
        missing.append("hours (or start and finish)")
    return missing


def _unknown(where: str, head: Sequence[str]) -> list[str]:
    names = [name for name in head if name and name not in COLUMNS]
    return [f"{where}: columns not known here, left out: {', '.join(names)}"] if names else []


@contextlib.contextmanager
def plain_copy(file: TextFile) -> Iterator[Path]:
    """Give the file, or a copy with line feeds alone where its line ends are of another kind."""
    if file.plain:
        yield file.path
        return
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "sheets.csv"
        copy.write_text(file.text, encoding="utf-8", newline="")
        yield copy


def _stage(book: Book, file: SheetFile, job: str | None) -> tuple[int, int]:
    """Stage the lines of a file; return how many there are, and how many rows were left out."""
    if not file.tabs:
        source = file.source
        with plain_copy(source) as path:
            return stage_csv(book, CsvFile(source.name, path, source.text, file.head, COLUMNS, job))
    rows = [
        TabRows(tab.name, _head(tab, at), enumerate(tab.rows[at + 1 :], start=at + 2))
        for tab, at in file.tabs
    ]
    staged = stage_tabs(book, rows, COLUMNS, job)
    return staged, sum(len(tab.rows) - 1 for tab, _ in file.tabs) - staged


def _load(book: Book, batch: Batch, file: SheetFile, job: str | None) -> tuple[FileCounts, int]:
    staged, left_out_rows = _stage(book, file, job)
    if not staged:
        raise Refused(f"{file.source.name}: has a head but no rows; nothing to load")
    book.stage("parsed", "lines_parsed")
    book.stage("reasoned", "lines_reasoned")
    book.stage(
        "first",
        "lines_judged",
        batch=batch.sequence,
        last_line_row=batch.last_row("sheet_line"),
        last_entry_row=batch.last_row("entry"),
    )
    compare_sheets(book, file.source.sha256, job, batch.last_row("entry"))
    row = book.records("lines_counted")[0]
    booked_ms = int(row.pop("booked_ms"))
    counts = FileCounts(file.source.name, file.source.sha256, left_out=left_out_rows, **row)
    assert (
        staged
        == counts.lines_read
        == (counts.booked + counts.held + counts.already_booked + counts.already_held)
    )
    _keep(batch, file.source, job, counts)
    return counts, booked_ms


def _keep(batch: Batch, source: TextFile, job: str | None, counts: FileCounts) -> None:
    facts = {name: value for name, value in asdict(counts).items() if name != "file"}
    described = {
        "name": source.name,
        "kind": "sheets",
        "layout": "long",
        "encoding": source.encoding,
        "default_job": job,
        **facts,
    }
    batch.append("file", {name: [value] for name, value in described.items()})
    batch.append_query("sheet_line", "lines_to_keep", file_row=batch.last_row("file"))
    batch.append_query("line_outcome", "lines_to_hold")
    batch.append_query("entry", "lines_to_book")
    keep_reissues(batch, source.name)


def look_again_at_held(book: Book, batch: Batch) -> int:
    """Book the held lines whose worker is known by now; return how many."""
    book.stage("held", "held_lines")
    book.stage("raw", "held_raw")
    book.stage("parsed", "lines_parsed")
    book.stage("reasoned", "lines_reasoned")
    book.stage("judged", "held_again", last_entry_row=batch.last_row("entry"))
    batch.append_query("line_outcome", "lines_released")
    batch.append_query("line_outcome", "held_for_another_reason")
    return batch.append_query("entry", "lines_to_book")
