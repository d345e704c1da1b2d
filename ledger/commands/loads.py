"""Loads of small files, and the freeze of the estimate."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from ledger.baseline.freeze import Frozen
from ledger.baseline.freeze import freeze as freeze_job
from ledger.commands.access import WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.domain.codes import code_of
from ledger.errors import Refused
from ledger.inputs import (
    baseline_files,
    calendar_files,
    certificate_files,
    change_files,
    claim_files,
    daywork_files,
    job_files,
    leave_files,
    past_work,
    payment_files,
    payroll_files,
    replan_files,
    toml_files,
    yard_files,
)
from ledger.inputs.columns import FIELDS_BY_TABLE
from ledger.inputs.files import record_file
from ledger.inputs.outcomes import FileLoaded
from ledger.jobs.jobs import job_card
from ledger.outcomes import Outcome
from ledger.sheets.attendance import load_attendance
from ledger.sheets.reversals import reason_of
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.input_files import InputFile
from ledger.tables.layout_files import (
    LayoutKept,
    LayoutWanted,
    find_layout,
    keep_layout,
    load_layout,
)
from ledger.tables.layouts import Layout
from ledger.tables.raw_files import version_of

OfYard = Callable[[Book, Batch, InputFile], FileLoaded]
OfJob = Callable[[Book, Batch, InputFile, str], FileLoaded]

OF_YARD: Mapping[str, OfYard] = {
    "settings": toml_files.load_settings,
    "job": toml_files.load_job,
    "crew": yard_files.load_crew,
    "rates": yard_files.load_rates,
    "rules": yard_files.load_rules,
    "past-work": past_work.load_past_work,
    "attendance": load_attendance,
    "leave": leave_files.load_leave,
    "payroll": payroll_files.load_payroll,
    "supplier-hours": payroll_files.load_supplier_hours,
    "payroll-notes": payroll_files.load_payroll_notes,
}
OF_JOB: Mapping[str, OfJob] = {
    "charge-rates": yard_files.load_charge_rates,
    "estimate": job_files.load_estimate,
    "milestones": job_files.load_milestones,
    "plan": job_files.load_plan,
    "progress": job_files.load_progress,
    "baseline-changes": baseline_files.load_baseline_changes,
    "changes": change_files.load_changes,
    "change-lines": change_files.load_change_lines,
    "change-events": change_files.load_change_events,
    "daywork-items": daywork_files.load_daywork_items,
    "daywork-sheets": daywork_files.load_daywork_sheets,
    "job-costs": claim_files.load_job_costs,
    "claim-percents": claim_files.load_claim_percents,
    "certified": certificate_files.load_certified,
    "payments": payment_files.load_payments,
}


@dataclass(frozen=True)
class UnderChange:
    """A job, and the name of the baseline change that files replan it by.

    A job's own file names the job itself.
    """

    job: str | None
    name: str


@dataclass(frozen=True)
class FilesLoaded(Outcome):
    """What came of each file of a load, and of the load."""

    files: tuple[FileLoaded, ...]
    finished: Finished


@dataclass(frozen=True)
class RulesLoaded(Outcome):
    """What came of each file of rules, and what moved; a dry run wrote nothing."""

    files: tuple[FileLoaded, ...]
    finished: Finished
    dry_run: bool


@dataclass(frozen=True)
class LayoutsKept(Outcome):
    """Layouts kept in the book."""

    layouts: tuple[LayoutKept, ...]
    finished: Finished


@dataclass(frozen=True)
class JobFrozen(Outcome):
    """A job's estimate frozen as its original baseline."""

    frozen: Frozen
    finished: Finished


@dataclass(frozen=True)
class LoadAsked:
    """Files of a kind of `OF_YARD`, or of `OF_JOB` with their job, that are to be loaded.

    The layout is a TOML file or the name of one that is kept.
    """

    kind: str
    files: Sequence[Path]
    job: str | UnderChange | None = None
    layout: str | None = None
    move_hours: bool = False


def load_files(
    access: WriteAccess,
    kind: str,
    files: Sequence[Path],
    *,
    job: str | UnderChange | None = None,
    move_hours: bool = False,
) -> FilesLoaded:
    """Load files under our own names, as `load_asked` does."""
    return load_asked(access, LoadAsked(kind, files, job, move_hours=move_hours))


def load_asked(access: WriteAccess, asked: LoadAsked) -> FilesLoaded:
    """Load files as one batch.

    Under a baseline change they are packages, milestones, plans or a calendar of it.

    Raises: Refused and Faults when a file cannot be loaded; then none is.
    """
    with access.writing(f"load {asked.kind}") as (book, batch):
        loaded = _load_each(book, batch, asked, _loader(asked.kind, asked.job))
        finished = finish(book, batch, move_hours=asked.move_hours)
    return FilesLoaded(loaded, finished)


def load_rules(
    access: WriteAccess,
    files: Sequence[Path],
    *,
    late_reason: str | None = None,
    dry_run: bool = False,
    layout: str | None = None,
) -> RulesLoaded:
    """Load rules; with a reason, entries of closed periods move too, as late adjustments.

    Raises: Refused and Faults when a file cannot be loaded; then none is.
    """
    why = None if late_reason is None else reason_of(late_reason)
    with access.writing("load rules", dry_run=dry_run) as (book, batch):
        asked = LoadAsked("rules", files, layout=layout)
        loaded = _load_each(book, batch, asked, yard_files.load_rules)
        finished = finish(book, batch, late_reason=why)
    return RulesLoaded(loaded, finished, dry_run)


def _load_each(
    book: Book, batch: Batch, asked: LoadAsked, loader: OfYard
) -> tuple[FileLoaded, ...]:
    """Load files one after the other, and record those that added anything."""
    layout = _layout(book, asked)
    loaded = []
    for path in asked.files:
        before, read = sum(batch.counts.values()), version_of(path)
        file = InputFile(path, layout)
        loaded.append(loader(book, batch, file))
        if sum(batch.counts.values()) > before:
            record_file(batch, path, asked.kind, read, layout)
    if layout and any(batch.counts.values()):
        keep_layout(book, batch, layout)
    return tuple(loaded)


def _layout(book: Book, asked: LoadAsked) -> Layout | None:
    if asked.layout is None:
        return None
    return find_layout(book, LayoutWanted(asked.layout, asked.kind, FIELDS_BY_TABLE))


def _loader(kind: str, job: str | UnderChange | None) -> OfYard:
    if job is None:
        return OF_YARD[kind]
    if isinstance(job, UnderChange) and job.job is None:
        return _job_under_name(job.name)
    if isinstance(job, UnderChange):
        assert job.job is not None
        code, load = code_of(job.job), _under_name(kind, job.name)
    else:
        code, load = code_of(job), OF_JOB[kind]

    def of_job(book: Book, batch: Batch, file: InputFile) -> FileLoaded:
        job_card(book, code)
        return load(book, batch, file, code)

    return of_job


def _job_under_name(baseline_change: str) -> OfYard:
    name = _name_of(baseline_change)

    def of_calendar(book: Book, batch: Batch, file: InputFile) -> FileLoaded:
        return calendar_files.load_job_replanned(book, batch, file, name)

    return of_calendar


def _name_of(baseline_change: str) -> str:
    name = " ".join(baseline_change.split())
    if not name:
        raise Refused("change_name_blank")
    return name


def _under_name(kind: str, baseline_change: str) -> OfJob:
    name = _name_of(baseline_change)

    def under_name(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
        return replan_files.OF_CHANGE[kind](book, batch, file, job, name)

    return under_name


def load_layouts(access: WriteAccess, files: Sequence[Path]) -> LayoutsKept:
    """Keep layouts in the book, each under its file's name."""
    with access.writing("load layout") as (book, batch):
        kept = tuple(load_layout(book, batch, path, FIELDS_BY_TABLE) for path in files)
        finished = finish(book, batch)
    return LayoutsKept(kept, finished)


def freeze(access: WriteAccess, job: str, on: date) -> JobFrozen:
    """Freeze a job's estimate as its original baseline."""
    with access.writing("freeze") as (book, batch):
        frozen = freeze_job(book, batch, code_of(job), on)
        finished = finish(book, batch)
    return JobFrozen(frozen, finished)
