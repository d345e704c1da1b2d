"""Timesheets in any layout: every line booked or held, the counts proven."""

import contextlib
import re
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path

from ledger import __version__
from ledger.errors import Refused
from ledger.outcomes import Outcome
from ledger.sheets.comparing import add_held, compare_corrected, compare_lines, read_to_compare
from ledger.sheets.held_lines import stage_held
from ledger.sheets.judged_lines import judge_by_themselves, judge_lines
from ledger.sheets.outcomes import ColumnsPassedOver, FilesPassedOver, TabsPassedOver
from ledger.sheets.sheet_days import ReadAs, compare_sheets, keep_reissues, questions_waiting
from ledger.sheets.sheet_parts import Part, parts_of, unknown_columns
from ledger.sheets.staging import CsvFile, Staged, TabRows, begin, stage_csv, stage_tab, understand
from ledger.sheets.totals import check_totals
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.heads import left_out
from ledger.tables.layouts import PLAIN, Layout, keep_layout
from ledger.tables.preflight import TextFile, read_text
from ledger.tables.raw_files import changed, version_of

# Any other path may stand for several files, or for a packed one, where the table is read.
_PLAIN_NAME = re.compile(r"^[\w /.,+()@-]*\.(?:csv|txt|tsv)$", re.IGNORECASE)
# What a folder's other files are is not looked at.
ENDINGS = (".csv", ".txt", ".tsv", ".xlsx", ".xlsm", ".ods")


# The layout that a file is read by, and the job of lines that name none.
Of = tuple[Layout, str | None]


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


def load_sheets(book: Book, batch: Batch, load: SheetLoad) -> SheetsLoaded:
    """Book or hold every line of the files.

    Raises: Refused when any of them cannot be read; then none is booked.
    """
    named, remarks = named_files(load.paths)
    files = [read_text(path, load.layout.encoding, name) for path, name in named]
    parts = [parts_of(book, file, load.layout) for file in files]
    job = load.job or load.layout.job
    counts: list[FileCounts] = []
    booked_ms, before = 0, None
    for file, tables in zip(files, parts, strict=True):
        book.progress.step(file.name, len(files))
        of = (tables[0].layout, job)
        if again := _loaded_before(book, file, of):
            _keep_file(batch, file, of, again)
            remarks += _passed_over(file, tables)
            counts.append(again)
            continue
        _read_before(book, before)
        staged, rows_left_out = stage(book, file, tables, job)
        if not staged and not any(part.reading.days for part in tables):
            raise Refused("rows_missing", file=file.name)
        remarks += _passed_over(file, tables)
        if any(part.reading.total for part in tables):
            remarks += check_totals(book, file.name)
        before = _judge(book, batch, file, of, rows_left_out)
        assert staged == before.counts.lines_read
        _keep_file(batch, file, of, before.counts)
        _keep_lines(batch, before.counts)
        if before.is_compared:
            before.reissued += keep_reissues(batch, file.name)
            remarks += [*before.reissued, *questions_waiting(book, file.name)]
        counts.append(before.counts)
        booked_ms += before.booked_ms
    if load.layout.data and any(batch.counts.values()):
        keep_layout(book, batch, load.layout)
    return SheetsLoaded(counts, booked_ms, remarks)


def named_files(paths: Sequence[Path]) -> tuple[list[tuple[Path, str]], list[Outcome]]:
    """Return the files, those of folders by their place in them, and the others.

    Raises: Refused when a folder has no file of a kind that is read.
    """
    found: list[tuple[Path, str]] = []
    passed_over: list[Outcome] = []
    for path in paths:
        if not path.is_dir():
            found.append((path, path.name))
            continue
        inside = sorted(each for each in path.rglob("*") if each.is_file() and _is_seen(path, each))
        fitting = [each for each in inside if each.suffix.lower() in ENDINGS]
        if not fitting:
            raise Refused("folder_without_sheets", folder=path.name, endings=tuple(ENDINGS))
        found += [(each, f"{path.name}/{each.relative_to(path).as_posix()}") for each in fitting]
        others = tuple(each.relative_to(path).as_posix() for each in inside if each not in fitting)
        passed_over += [FilesPassedOver(path.name, others)] if others else []
    return found, passed_over


def _is_seen(folder: Path, path: Path) -> bool:
    """Return whether a file is neither hidden nor the lock of an open workbook."""
    return not any(part.startswith((".", "~$")) for part in path.relative_to(folder).parts)


def _passed_over(file: TextFile, parts: Sequence[Part]) -> list[Outcome]:
    """Return the columns and tabs of a file that are not read."""
    found: list[Outcome] = [
        ColumnsPassedOver(file.name, part.tab.name if part.tab else None, tuple(names))
        for part in parts
        if (names := unknown_columns(part))
    ]
    rest = left_out(file, [part.tab for part in parts if part.tab])
    return found + ([TabsPassedOver(file.name, tuple(rest))] if rest else [])


def stage(book: Book, file: TextFile, parts: Sequence[Part], job: str | None) -> tuple[int, int]:
    """Stage and parse the lines of a file; return how many, and how many rows were left out."""
    begin(book)
    lines = rows_left_out = 0
    for part in parts:
        staged = _stage_part(book, file, part, job)
        lines += staged.lines
        rows_left_out += part.above + staged.rows - staged.rows_used
    understand(book)
    return lines, rows_left_out


def _stage_part(book: Book, file: TextFile, part: Part, job: str | None) -> Staged:
    if part.tab:
        below = enumerate(part.tab.rows[part.at + 1 :], start=part.at + 2)
        return stage_tab(book, TabRows(part.tab.name, part.head, below), part.reading, job)
    with plain_copy(file, part) as path:
        csv_file = CsvFile(file.name, path, part.text, part.head, part.layout.delimiter, part.at)
        return stage_csv(book, csv_file, part.reading, job)


@contextlib.contextmanager
def plain_copy(file: TextFile, part: Part) -> Iterator[Path]:
    """Give the file, or a copy from the head on in UTF-8 with line feeds alone, if it differs."""
    if file.plain and part.at == 1 and _PLAIN_NAME.search(str(file.path)):
        yield file.path
        if version_of(file.path) != file.version:
            raise changed(file.name)
        return
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "sheets.csv"
        copy.write_text(part.text, encoding="utf-8", newline="")
        yield copy


def _read_as(file: TextFile, of: Of) -> ReadAs:
    layout, job = of
    # What a tab's name tells, a text file's own name tells.
    name = file.name if layout.tab and not file.is_workbook else None
    return ReadAs(file.sha256, name, job, layout.recorded)


def _loaded_before(book: Book, file: TextFile, of: Of) -> FileCounts | None:
    """Return what the lines of a file are whose very bytes were loaded before; None if not."""
    read_as = _read_as(file, of)
    found = book.rows("sheets/file_loaded_before", program=__version__, **asdict(read_as))
    if not found:
        return None
    lines, rows_left_out, held = found[0]
    return FileCounts(file.name, file.sha256, lines, 0, 0, lines - held, held, rows_left_out)


@dataclass
class _Judged:
    """A file whose lines were judged: its counts, and whether the book had any line near them."""

    counts: FileCounts
    booked_ms: int
    is_compared: bool
    reissued: list[Outcome] = field(default_factory=list)


def _read_before(book: Book, before: _Judged | None) -> None:
    """Stage the lines to compare a file with that are no entries; `before` is the file before it.

    They are read once, and again after a file that re-issued sheets; held ones of others are added.
    """
    if before is None or before.reissued:
        read_to_compare(book)
    elif before.counts.held:
        add_held(book)


def _judge(book: Book, batch: Batch, file: TextFile, of: Of, rows_left_out: int) -> _Judged:
    """Say of each parsed line what becomes of it; return the counts and the time booked."""
    is_compared = compare_lines(book)
    last = {
        "batch": batch.sequence,
        "last_line_row": batch.last_row("sheet_line"),
        "last_entry_row": batch.last_row("entry"),
    }
    if is_compared:
        judge_by_themselves(book, **last)
        compare_sheets(book, _read_as(file, of), batch.last_row("entry"))
    else:
        judge_lines(book, "sheets/lines_new", **last)
    row = book.records("sheets/lines_counted")[0]
    booked_ms = int(row.pop("booked_ms"))
    counts = FileCounts(file.name, file.sha256, left_out=rows_left_out, **row)
    assert counts.lines_read == (
        counts.booked + counts.held + counts.already_booked + counts.already_held
    )
    return _Judged(counts, booked_ms, is_compared)


def _keep_file(batch: Batch, file: TextFile, of: Of, counts: FileCounts) -> None:
    layout, job = of
    facts = {name: value for name, value in asdict(counts).items() if name != "file"}
    described = {
        "name": file.name,
        "kind": "sheets",
        "layout": layout.recorded,
        "encoding": file.encoding,
        "default_job": job,
        **facts,
    }
    batch.append("file", {name: [value] for name, value in described.items()})


def _keep_lines(batch: Batch, counts: FileCounts) -> None:
    """Keep the judged lines of the file kept last."""
    if counts.booked or counts.held:
        batch.append_query("sheet_line", "sheets/lines_to_keep", file_row=batch.last_row("file"))
    if counts.held:
        batch.append_query("line_outcome", "sheets/lines_to_hold")
    if counts.booked:
        batch.append_query("entry", "sheets/lines_to_book")


def look_again_at_held(book: Book, batch: Batch) -> tuple[int, int]:
    """Book the held lines whose worker is known by now; return how many, and how many ended.

    A line that was held for its job ends where that job is known now and the line is booked.
    """
    if not book.rows("sheets/lines_there")[0][1]:
        return 0, 0
    matched = 0
    if book.rows("sheets/held_chosen", file=None, reason="job_differs"):
        read_to_compare(book)
        stage_held(book)
        compare_corrected(book)
        matched = batch.append_query("line_outcome", "sheets/lines_of_known_job")
    stage_held(book)
    judge_lines(book, "sheets/held_again", last_entry_row=batch.last_row("entry"))
    batch.append_query("line_outcome", "sheets/lines_released")
    batch.append_query("line_outcome", "sheets/held_for_another_reason")
    return batch.append_query("entry", "sheets/lines_to_book"), matched
