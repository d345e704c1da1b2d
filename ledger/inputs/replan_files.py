"""Estimate, milestones and plan after the freeze, each under the name of a baseline change."""

from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from ledger.baseline.baseline_changes import replan
from ledger.baseline.postings import is_frozen
from ledger.baseline.replan_guards import PlannedByDay
from ledger.errors import Refused, Remedy
from ledger.inputs import columns
from ledger.inputs.codes import refuse_shared_codes
from ledger.inputs.job_files import KEYS, check_package, known_packages
from ledger.inputs.outcomes import FileLoaded, PackagesReplanned
from ledger.inputs.small_files import replace_whole
from ledger.inputs.yard_files import file_loaded, refuse_equal_keys
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.small_tables import FileColumn, FileRow, ReadTable


@dataclass(frozen=True)
class _Under:
    """Where rows go: the job, the name of the baseline change, and their table."""

    job: str
    name: str
    table: str


def load_replanned_packages(
    book: Book, batch: Batch, file: InputFile, job: str, name: str
) -> FileLoaded:
    """Add packages, each with all its rows, as a baseline change makes them."""
    table = _read(book, file, job, columns.ESTIMATE)
    refuse_equal_keys(table, ("work_package", "trade"))
    known = {row["work_package"]: row for row in book.current("work_package") if row["job"] == job}
    packages = _by_package(table)
    for line in table.lines:
        line.values["package_kind"] = line["package_kind"] or "work"
    for lines in packages.values():
        check_package(table, lines, {*packages, *known_codes(book, job)})
        base = known.get(lines[0]["base_package"])
        if base and base["technique"] == "level_of_effort" and base["work_package"] not in packages:
            what = f"its base_package {base['work_package']} is a level of effort; name another"
            table.fault(lines[0].number, what)
    table.settle()
    refuse_shared_codes(book, table.file.name, job, packages=set(packages))
    return _replanned(book, batch, table, _Under(job, name, "replanned_package"))


def load_replanned_milestones(
    book: Book, batch: Batch, file: InputFile, job: str, name: str
) -> FileLoaded:
    """Add all milestones of packages as a baseline change makes them."""
    table = _read(book, file, job, columns.MILESTONES)
    refuse_equal_keys(table, KEYS["milestone"])
    known_packages(book, job, table, packages_waiting(book, job, name))
    table.settle()
    return _replanned(book, batch, table, _Under(job, name, "replanned_milestone"))


def load_replanned_days(
    book: Book, batch: Batch, file: InputFile, job: str, name: str
) -> FileLoaded:
    """Add the plan by day that a baseline change gives packages."""
    table = _read(book, file, job, columns.PLAN)
    refuse_equal_keys(table, KEYS["plan_line"])
    known_packages(book, job, table, packages_waiting(book, job, name))
    table.settle()
    return _replanned(book, batch, table, _Under(job, name, "replanned_day"))


OF_CHANGE: Mapping[str, Callable[[Book, Batch, InputFile, str, str], FileLoaded]] = {
    "estimate": load_replanned_packages,
    "milestones": load_replanned_milestones,
    "plan": load_replanned_days,
}


def known_codes(book: Book, job: str) -> set[str]:
    """Return the codes of a job's packages."""
    return {code for code, what in book.rows("jobs/codes_of_job", job=job) if what == "package"}


def packages_waiting(book: Book, job: str, name: str | None) -> set[str]:
    """Return the packages loaded under the name of a baseline change, recorded or not."""
    return {
        row["work_package"]
        for row in book.current("replanned_package")
        if (row["job"], row["name"]) == (job, name)
    }


def is_recorded(book: Book, job: str, name: str) -> bool:
    """Return whether a baseline change of that name is recorded."""
    rows = book.current("baseline_change")
    return any((row["job"], row["name"]) == (job, name) for row in rows)


def _read(book: Book, file: InputFile, job: str, of: tuple[FileColumn, ...]) -> ReadTable:
    table = read_input(book, file, of)
    if not is_frozen(book, job):
        estimate = Remedy("load", what="estimate")
        raise Refused("estimate_not_frozen", file=table.file.name, job=job, remedy=estimate)
    return table


def _by_package(table: ReadTable) -> dict[Any, list[FileRow]]:
    packages: dict[Any, list[FileRow]] = defaultdict(list)
    for line in table.lines:
        packages[line["work_package"]].append(line)
    return packages


def _replanned(book: Book, batch: Batch, table: ReadTable, under: _Under) -> FileLoaded:
    """Add what is new of a file, each package a whole, and let it act if the change is recorded.

    Raises: Refused, naming the line, when the packages cannot be so.
    """
    packages = _by_package(table)
    key = {"job": under.job, "name": under.name}
    had = {
        row["work_package"]
        for row in book.current(under.table)
        if (row["job"], row["name"]) == (under.job, under.name)
    }
    recorded, changed = is_recorded(book, under.job, under.name), []
    for part, lines in packages.items():
        rows = [{**key, **line.values} for line in lines]
        named = list({repr(sorted(row.items())): row for row in rows}.values())
        if not replace_whole(book, batch, under.table, named, {**key, "work_package": part}):
            continue
        if recorded and part in had:
            raise Refused(
                "replanned_under_name",
                file=table.file.name,
                line=lines[0].number,
                name=under.name,
                package=part,
            )
        changed.append(part)
    planned: tuple[PlannedByDay, ...] = ()
    if changed and recorded:
        try:
            replanned = replan(book, batch, under.job, under.name)
        except Refused as error:
            raise at_line(table, error) from None
        planned = replanned.planned if replanned else ()
    packages_changed = tuple(sorted(changed))
    loaded = PackagesReplanned(under.name, packages_changed, len(packages), recorded, planned)
    return file_loaded(table, [loaded])


def at_line(table: ReadTable, error: Refused) -> Refused:
    """Return a refusal with the first line that names its package, else as it is."""
    for line in table.lines:
        if line["work_package"] == error.fields.get("package"):
            return Refused("at_line", file=table.file.name, line=line.number, because=error)
    return error
