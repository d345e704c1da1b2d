"""Loads of one job's plan and progress."""

from collections import defaultdict
from collections.abc import Set
from dataclasses import dataclass
from datetime import date
from typing import Any

from ledger.baseline.postings import POTS, is_frozen
from ledger.errors import Refused, Remedy
from ledger.inputs import columns
from ledger.inputs.codes import refuse_shared_codes
from ledger.inputs.outcomes import (
    EstimateLoaded,
    FileLoaded,
    FormRowsBlank,
    KeyDateAstray,
    SumAstray,
)
from ledger.inputs.progress_forms import read_progress
from ledger.inputs.progress_remarks import progress_slips
from ledger.inputs.small_files import replace_whole, supersede
from ledger.inputs.yard_files import file_loaded, refuse_equal_keys
from ledger.jobs.jobs import job_card, key_dates_astray, sums_astray
from ledger.outcomes import Outcome
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.small_tables import FileColumn, FileRow, ReadTable

OF_THE_PACKAGE = (
    "title",
    "control_account",
    "planned_start",
    "planned_finish",
    "technique",
    "spread",
    "quantity",
    "unit",
    "start_share",
    "base_package",
    "package_kind",
    "work_kind",
)


def load_estimate(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add a whole revision of a job's estimate."""
    table = read_input(book, file, columns.ESTIMATE)
    refuse_equal_keys(table, ("work_package", "trade"))
    packages: dict[str, list[FileRow]] = defaultdict(list)
    for line in table.lines:
        line.values["package_kind"] = line["package_kind"] or "work"
        packages[line["work_package"]].append(line)
    for lines in packages.values():
        check_package(table, lines, set(packages))
    table.settle()
    refuse_shared_codes(book, table.file.name, job, packages=set(packages))
    rows = list({(r["work_package"], r["trade"]): r for r in _job_rows(table, job)}.values())
    frozen = is_frozen(book, job)
    changed = replace_whole(book, batch, "work_package", rows, {"job": job})
    if changed and frozen:
        by_name = Remedy("load", what="baseline-changes")
        raise Refused("estimate_frozen", where=table.file.name, job=job, remedy=by_name)
    loaded = EstimateLoaded(len(packages), sum(r["budget_ms"] for r in rows), not changed)
    return file_loaded(table, [loaded, *_astray(book, job)])


def _astray(book: Book, job: str) -> list[Outcome]:
    """Return each package that a key date or a sum names and the estimate has not."""
    card = job_card(book, job)
    dates = [
        KeyDateAstray(name, code) for _, name, code in key_dates_astray(book, job, card.key_dates)
    ]
    sums = [
        SumAstray(name, code) for _, name, code in sums_astray(book, job, card.provisional_sums)
    ]
    return [*dates, *sums]


def _job_rows(table: ReadTable, job: str) -> list[dict[str, Any]]:
    return [{"job": job, **line.values} for line in table.lines]


def check_package(table: ReadTable, lines: list[FileRow], packages: set[str | None]) -> None:
    """Note what does not fit in the rows of a package, of an estimate with these packages."""
    first = lines[0]
    if first["work_package"] in POTS:
        table.fault(
            first.number,
            f"{first['work_package']} is reserved for baseline changes; use another code",
        )
    for line in lines[1:]:
        differing = [name for name in OF_THE_PACKAGE if line[name] != first[name]]
        if differing:
            table.fault(line.number, f"differs from line {first.number} in {', '.join(differing)}")
    start, finish = first["planned_start"], first["planned_finish"]
    if start and finish and finish < start:
        table.fault(first.number, f"planned_finish {finish} is before planned_start {start}")
    technique, base = first["technique"], first["base_package"]
    if base and any(
        each["work_package"] == base and each["technique"] == "level_of_effort"
        for each in table.lines
    ):
        table.fault(first.number, f"its base_package {base} is a level of effort; name another")
    if technique == "apportioned_effort" and (base is None or base not in packages):
        table.fault(first.number, "apportioned_effort needs a base_package of this estimate")
    if technique == "apportioned_effort" and base == first["work_package"]:
        table.fault(first.number, "base_package is the package itself; name another")
    if technique == "units_complete" and not first["quantity"]:
        table.fault(first.number, "units_complete needs a quantity above 0")
    if technique == "fixed_formula" and first["start_share"] is None:
        table.fault(first.number, "fixed_formula needs a start_share (0, 0.25, 0.5)")


def load_milestones(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add milestones of packages with their weights."""
    return _before_freeze(book, batch, _JobLoad(file, job, "milestone", columns.MILESTONES))


def load_plan(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add a plan by day for packages that are not spread by a rule."""
    return _before_freeze(book, batch, _JobLoad(file, job, "plan_line", columns.PLAN))


@dataclass(frozen=True)
class _JobLoad:
    file: InputFile
    job: str
    table: str
    columns: tuple[FileColumn, ...]


KEYS = {"milestone": ("work_package", "milestone"), "plan_line": ("work_package", "trade", "day")}


def _before_freeze(book: Book, batch: Batch, load: _JobLoad) -> FileLoaded:
    table = read_input(book, load.file, load.columns)
    refuse_equal_keys(table, KEYS[load.table])
    known_packages(book, load.job, table)
    table.settle()
    before = batch.last_row(load.table)
    loaded = supersede(book, batch, load.table, _job_rows(table, load.job))
    if batch.last_row(load.table) > before and is_frozen(book, load.job):
        raise Refused("plan_frozen", file=table.file.name, job=load.job)
    return file_loaded(table, [loaded])


def known_packages(book: Book, job: str, table: ReadTable, more: Set[str] = frozenset()) -> None:
    """Note a fault for each package or change that the job has not, nor is among `more`."""
    known = {row[0] for row in book.rows("jobs/codes_of_job", job=job)} | more
    for line in table.lines:
        name = line["work_package"]
        if name and name not in known:
            table.fault(line.number, f'"{name}" is not a package or change of job {job}')


def load_progress(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add measurements; of a progress form those that were filled in."""
    table, left_blank = read_progress(book, file, job)
    refuse_equal_keys(table, ("work_package", "trade", "day", "milestone"))
    known_packages(book, job, table)
    milestones = {
        (row["work_package"], row["milestone"])
        for table_name in ("milestone", "replanned_milestone")
        for row in book.current(table_name)
        if row["job"] == job
    }
    for line in table.lines:
        _check_progress(table, line, milestones)
    table.settle()
    loaded = supersede(book, batch, "progress", _job_rows(table, job))
    blank = [] if left_blank is None else [FormRowsBlank(left_blank)]
    return file_loaded(table, [loaded, *blank], progress_slips(book, job, table))


FACTS = ("percent", "quantity_done", "milestone", "started", "finished")


def _check_progress(table: ReadTable, line: FileRow, milestones: set[tuple[str, str]]) -> None:
    day: date | None = line["day"]
    for name in ("started", "finished"):
        if day and line[name] and line[name] > day:
            table.fault(line.number, f"{name} {line[name]} is after the date {day}")
    reached = line["milestone"]
    if reached and (line["work_package"], reached) not in milestones:
        table.fault(line.number, f'"{reached}" is not a milestone of {line["work_package"]}')
    measured = [*FACTS, "quantity_at_completion", "estimate_to_complete_ms"]
    if all(line.is_blank(name) for name in measured):
        table.fault(line.number, "measures nothing; give a percent, quantity, milestone or date")
