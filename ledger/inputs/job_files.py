"""Loads of one job's plan and progress."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from typing import Any

from ledger.baseline.baseline_changes import post_baseline_change
from ledger.baseline.freeze import hours
from ledger.baseline.postings import POTS, is_frozen
from ledger.changes.requests import changes_of
from ledger.errors import Refused, Remedy
from ledger.inputs import columns
from ledger.inputs.codes import refuse_shared_codes
from ledger.inputs.outcomes import (
    BaselineChangesLoaded,
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
from ledger.tables.small_tables import Column, Line, ReadTable

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
    packages: dict[str, list[Line]] = defaultdict(list)
    for line in table.lines:
        line.values["package_kind"] = line["package_kind"] or "work"
        packages[line["work_package"]].append(line)
    for lines in packages.values():
        _check_package(table, lines, set(packages))
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


def _check_package(table: ReadTable, lines: list[Line], packages: set[str | None]) -> None:
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
    return _before_freeze(book, batch, _Load(file, job, "milestone", columns.MILESTONES))


def load_plan(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add a plan by day for packages that are not spread by a rule."""
    return _before_freeze(book, batch, _Load(file, job, "plan_line", columns.PLAN))


@dataclass(frozen=True)
class _Load:
    file: InputFile
    job: str
    table: str
    columns: tuple[Column, ...]


KEYS = {"milestone": ("work_package", "milestone"), "plan_line": ("work_package", "trade", "day")}


def _before_freeze(book: Book, batch: Batch, load: _Load) -> FileLoaded:
    table = read_input(book, load.file, load.columns)
    refuse_equal_keys(table, KEYS[load.table])
    _known_packages(book, load.job, table)
    table.settle()
    before = batch.last_row(load.table)
    loaded = supersede(book, batch, load.table, _job_rows(table, load.job))
    if batch.last_row(load.table) > before and is_frozen(book, load.job):
        raise Refused("plan_frozen", file=table.file.name, job=load.job)
    return file_loaded(table, [loaded])


def _known_packages(book: Book, job: str, table: ReadTable) -> None:
    known = {row[0] for row in book.rows("jobs/codes_of_job", job=job)}
    for line in table.lines:
        name = line["work_package"]
        if name and name not in known:
            table.fault(line.number, f'"{name}" is not a package or change of job {job}')


def load_progress(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add measurements; of a progress form those that were filled in."""
    table, left_blank = read_progress(book, file, job)
    refuse_equal_keys(table, ("work_package", "trade", "day", "milestone"))
    _known_packages(book, job, table)
    milestones = {
        (row["work_package"], row["milestone"])
        for row in book.current("milestone")
        if row["job"] == job
    }
    for line in table.lines:
        _check_progress(table, line, milestones)
    table.settle()
    loaded = supersede(book, batch, "progress", _job_rows(table, job))
    blank = [] if left_blank is None else [FormRowsBlank(left_blank)]
    return file_loaded(table, [loaded, *blank], progress_slips(book, job, table))


FACTS = ("percent", "quantity_done", "milestone", "started", "finished")


def _check_progress(table: ReadTable, line: Line, milestones: set[tuple[str, str]]) -> None:
    day: date | None = line["day"]
    for name in ("started", "finished"):
        if day and line[name] and line[name] > day:
            table.fault(line.number, f"{name} {line[name]} is after the date {day}")
    reached = line["milestone"]
    if reached and (line["work_package"], reached) not in milestones:
        table.fault(line.number, f'"{reached}" is not a milestone of {line["work_package"]}')
    measured = [*FACTS, "quantity_at_completion", "estimate_to_complete_ms"]
    if all(line[name] is None for name in measured):
        table.fault(line.number, "measures nothing; give a percent, quantity, milestone or date")


def load_baseline_changes(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add named baseline changes, each whole and summing to nothing, and post them."""
    table = read_input(book, file, columns.BASELINE_CHANGES)
    if not is_frozen(book, job):
        estimate = Remedy("load", what="estimate")
        raise Refused("estimate_not_frozen", file=table.file.name, job=job, remedy=estimate)
    named: dict[str, list[Line]] = defaultdict(list)
    for line in table.lines:
        named[line["name"]].append(line)
    for lines in named.values():
        total = sum(line["ms"] or 0 for line in lines)
        if total:
            table.fault(
                lines[-1].number, f"the rows of a change add up to {hours(total)} h, not to 0"
            )
        if len({line["day"] for line in lines}) > 1:
            table.fault(lines[-1].number, "the rows of a change must have one date")
    open_ones = {c for c, change in changes_of(book, job).items() if not change.is_approved}
    known = {row[0] for row in book.rows("jobs/codes_of_job", job=job)} | set(POTS)
    for line in table.lines:
        if line["work_package"] and line["work_package"] not in known:
            table.fault(line.number, f'"{line["work_package"]}" is not a package of job {job}')
        elif line["work_package"] in open_ones:
            what = f"{line['work_package']} is not approved; hours move to approved changes only"
            table.fault(line.number, what)
        elif line["work_package"] not in POTS and line["trade"] is None:
            table.fault(line.number, "trade is blank; hours of a package need a trade")
    table.settle()
    posted = [_post_named(book, batch, job, lines) for lines in named.values()]
    return file_loaded(table, [BaselineChangesLoaded(sum(posted), len(posted))])


def _post_named(book: Book, batch: Batch, job: str, lines: list[Line]) -> bool:
    name = lines[0]["name"]
    rows = [
        {"job": job, "position": position, **line.values}
        for position, line in enumerate(lines, start=1)
    ]
    had = any(row["name"] == name and row["job"] == job for row in book.current("baseline_change"))
    if not replace_whole(book, batch, "baseline_change", rows, {"job": job, "name": name}):
        return False
    if had:
        raise Refused("baseline_change_known", name=name)
    post_baseline_change(book, batch, job, rows)
    return True
