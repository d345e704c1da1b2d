"""Timesheets in long form: every line booked or held, the counts proven."""

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
from ledger.intake.preflight import TextFile, read_text
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.staging import CsvFile, stage_csv

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
    unknown_columns: list[str]


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
    files = [read_text(path) for path in paths]
    heads = [_head(file) for file in files]
    counts, booked_ms = [], 0
    for file, head in zip(files, heads, strict=True):
        progress(file.name)
        with plain_copy(file) as path:
            read = CsvFile(file.name, path, file.text, head, COLUMNS, job)
            counted, ms = _load(book, batch, read, file)
        counts.append(counted)
        booked_ms += ms
    unknown = [
        f"{file.name}: columns not known here, left out: {', '.join(names)}"
        for file, head in zip(files, heads, strict=True)
        if (names := [name for name in head if name and name not in COLUMNS])
    ]
    return SheetsLoaded(counts, Decimal(booked_ms) / MS_PER_HOUR, unknown)


def _head(file: TextFile) -> list[str]:
    first = next(csv.reader(io.StringIO(file.text.lstrip("\n"))))
    head = [cell.strip().lower() for cell in first]
    twice = sorted({cell for cell in head if cell and head.count(cell) > 1})
    if twice:
        raise Refused(f"{file.name}:1: the column {twice[0]} is there twice; rename one")
    missing = [name for name in NEEDED if name not in head]
    if "hours" not in head and not {"start", "finish"} <= set(head):
        missing.append("hours (or start and finish)")
    if missing:
        raise Refused(
            f"{file.name}:1: the column {', '.join(missing)} is missing; the head is "
            f"{', '.join(filter(None, head))}"
        )
    return head


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


def _load(book: Book, batch: Batch, file: CsvFile, source: TextFile) -> tuple[FileCounts, int]:
    staged, left_out = stage_csv(book, file)
    if not staged:
        raise Refused(f"{file.name}: has a head but no rows; nothing to load")
    book.stage("parsed", "lines_parsed")
    book.stage("reasoned", "lines_reasoned")
    book.stage(
        "judged",
        "lines_judged",
        batch=batch.sequence,
        last_line_row=batch.last_row("sheet_line"),
        last_entry_row=batch.last_row("entry"),
    )
    row = book.records("lines_counted")[0]
    booked_ms = int(row.pop("booked_ms"))
    counts = FileCounts(file.name, source.sha256, left_out=left_out, **row)
    assert counts.lines_read == (
        counts.booked + counts.held + counts.already_booked + counts.already_held
    )
    _keep(batch, file, source, counts)
    return counts, booked_ms


def _keep(batch: Batch, file: CsvFile, source: TextFile, counts: FileCounts) -> None:
    facts = {name: value for name, value in asdict(counts).items() if name != "file"}
    described = {
        "name": file.name,
        "kind": "sheets",
        "layout": "long",
        "encoding": source.encoding,
        "default_job": file.default_job,
        **facts,
    }
    batch.append("file", {name: [value] for name, value in described.items()})
    batch.append_query("sheet_line", "lines_to_keep", file_row=batch.last_row("file"))
    batch.append_query("line_outcome", "lines_to_hold")
    batch.append_query("entry", "lines_to_book")


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
