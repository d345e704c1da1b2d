"""settings.toml and job.toml."""

from pathlib import Path
from typing import Any

from ledger.baseline.calendar_changes import with_calendar_in_force
from ledger.baseline.postings import is_frozen
from ledger.changes.provisional_sums import provisional_sums
from ledger.domain.codes import word_of
from ledger.domain.pay import classes_of
from ledger.domain.pictures import picture_type
from ledger.errors import Refused, Remedy
from ledger.inputs.files import keep_file
from ledger.inputs.job_card import job_row
from ledger.inputs.outcomes import FileLoaded, OwnerSees
from ledger.inputs.settings_file import CODES, settings_of
from ledger.inputs.small_files import Row, supersede
from ledger.inputs.sums_named import sums_left_out
from ledger.jobs.jobs import key_dates_astray, sums_astray
from ledger.jobs.working_days import OF_CALENDAR, working_days_of, write_days
from ledger.outcomes import Outcome
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.input_files import InputFile
from ledger.tables.near_miss import near_miss
from ledger.tables.raw_files import LARGEST_TOML
from ledger.tables.toml_keys import TomlFile
from ledger.tables.toml_text import tables_of
from ledger.tables.whole_files import read_bytes, read_text

LARGEST_LOGO = 5_000_000


def read_toml(path: Path) -> TomlFile:
    """Return a TOML file's tables. Raises: Refused, naming the file and what is wrong."""
    file = read_text(path, most=LARGEST_TOML)
    if file.is_workbook:
        raise Refused("settings_are_workbook", file=file.name)
    return TomlFile(file.name, tables_of(file.name, file.text), file.text)


def _kept_logo(book: Book, batch: Batch, path: Path) -> str:
    """Keep the yard's picture and return its SHA-256. Raises: Refused when it is no picture."""
    if not picture_type(read_bytes(path, LARGEST_LOGO)):
        raise Refused("logo_unknown", file=path.name)
    return keep_file(batch, path)


def load_settings(book: Book, batch: Batch, file: InputFile) -> FileLoaded:
    """Add the yard's settings that are new or changed."""
    path, read = file.path, read_toml(file.path)
    settings = settings_of(read)
    _refuse_unknown_classes(book, read, settings)
    if logo := settings.get("yard.logo"):
        settings["yard.logo"] = _kept_logo(book, batch, path.parent / logo)
    codes = {name.split(".", 1)[1] for name in settings if name.split(".")[0] in CODES}
    _refuse_taken(book, path.name, codes)
    rows = [{"name": name, "value": value} for name, value in settings.items()]
    loaded = supersede(book, batch, "setting", rows)
    for job in book.current("job"):
        if not is_frozen(book, job["job"]):
            write_calendar(book, batch, job)
    return FileLoaded(path.name, (loaded,))


def _refuse_unknown_classes(book: Book, file: TomlFile, settings: dict[str, str]) -> None:
    """Raises: Faults for premiums of pay classes unknown to a yard that lists its own.

    Those of the book are judged with a file that has any of the two tables.
    """
    known = {row["name"]: row["value"] for row in book.current("setting")} | settings
    listed = any(name.startswith("pay_classes.") for name in known)
    if not listed or not {"premiums", "pay_classes"} & file.tables.keys():
        return
    classes, written = classes_of(known), file.tables.get("premiums", {})
    paths = {f"premiums.{word_of(name)}": ("premiums", name) for name in written}
    for premium in known:
        section, _, name = premium.partition(".")
        if section == "premiums" and name not in classes:
            near = near_miss(name, classes)
            hint = f"did you mean {near}?" if near else "give it a kind under [pay_classes]"
            what = f'{premium}: pay class "{name}" is unknown; {hint}'
            file.fault(paths.get(premium, ("pay_classes",)), what)
    file.settle()


def _refuse_taken(book: Book, file: str, codes: set[str]) -> None:
    for row in book.current("job"):
        for code, what in book.rows("jobs/codes_of_job", job=row["job"]):
            if code in codes:
                raise Refused("code_taken", file=file, code=code, job=row["job"], by=f"a {what}")


def load_job(book: Book, batch: Batch, file: InputFile) -> FileLoaded:
    """Add a job, or its new version, with its calendar by day."""
    read = read_toml(file.path)
    return FileLoaded(file.path.name, load_card(book, batch, read, job_row(read)))


def load_card(book: Book, batch: Batch, read: TomlFile, row: Row) -> tuple[Outcome, ...]:
    """Add a job's card if it is new or changed; a frozen one keeps its first working days."""
    _refuse_missing_packages(book, read, row)
    _refuse_sums_left_out(book, read, row)
    frozen = is_frozen(book, row["job"])
    if frozen:
        row = _as_frozen(book, read.name, row)
    loaded = supersede(book, batch, "job", [row])
    if not frozen:
        write_calendar(book, batch, row)
    return loaded, OwnerSees(row["owner_sees_overrun"])


def _refuse_missing_packages(book: Book, file: TomlFile, row: dict[str, Any]) -> None:
    """Raises: Faults when a key date or sum is of packages that the job's estimate has not."""
    path = ("job",) if "key_dates" in file.tables["job"] else ()
    for place, name, code in key_dates_astray(book, row["job"], row["key_dates"]):
        what = f'key date "{name}": unknown package or change "{code}" in job {row["job"]}'
        file.fault((*path, "key_dates", place, "packages"), what)
    path = ("job",) if "provisional_sums" in file.tables["job"] else ()
    for place, name, code in sums_astray(book, row["job"], row["provisional_sums"]):
        what = f'provisional sum "{name}": unknown package or change "{code}" in job {row["job"]}'
        file.fault((*path, "provisional_sums", place, "package"), what)
    file.settle()


def _refuse_sums_left_out(book: Book, file: TomlFile, row: dict[str, Any]) -> None:
    """Raises: Faults when changes are paid from a provisional sum that is left out."""
    kept = provisional_sums(row["provisional_sums"])
    for name, code in sums_left_out(book, row["job"], kept):
        file.fault(("provisional_sums",), f'provisional sum "{name}" is named by {code}; keep it')
    file.settle()


def write_calendar(book: Book, batch: Batch, row: dict[str, Any]) -> None:
    """Write a job's working days out unless they are so already; a frozen job keeps its own."""
    write_days(book, batch, row["job"], working_days_of(book, row))


KEPT_BY_FREEZE = (
    "contract_sum",
    "planned_start",
    "planned_finish",
    "management_reserve_ms",
    *OF_CALENDAR,
)
# Of these what the rows of a baseline change set or move.
MOVED_BY_ROWS = frozenset({"contract_sum", "management_reserve_ms"})


def _as_frozen(book: Book, file: str, row: Row) -> Row:
    """Return a frozen job's card as it is kept: baseline changes hold what they make of its days.

    Raises: Refused when it says otherwise what only a baseline change or days granted may change.
    """
    before = [each for each in book.current("job") if each["job"] == row["job"]]
    if not before:
        return row
    _refuse_after_freeze(file, with_calendar_in_force(book, before[0]), row)
    return {**row, **{name: before[0][name] for name in OF_CALENDAR}}


def _refuse_after_freeze(file: str, before: Row, row: Row) -> None:
    for name in KEPT_BY_FREEZE:
        if before[name] != row[name]:
            if name in MOVED_BY_ROWS:
                by_rows = Remedy("load", what="baseline-changes")
                raise Refused("frozen_job_sum_kept", file=file, key=name, remedy=by_rows)
            if name in OF_CALENDAR:
                by_name = Remedy("load_calendar")
                raise Refused("frozen_job_sum_kept", file=file, key=name, remedy=by_name)
            by_packages = Remedy("load_estimate_change")
            raise Refused("frozen_job_keeps", file=file, key=name, remedy=by_packages)
    agreed = before["completion_date"]
    if agreed is not None and row["completion_date"] != agreed:
        by_days = Remedy("decide_time", job=row["job"])
        raise Refused("completion_date_kept", file=file, agreed=agreed, remedy=by_days)
