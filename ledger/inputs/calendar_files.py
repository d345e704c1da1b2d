"""The calendar of a frozen job, from its job.toml, under the name of a baseline change."""

from typing import Any

from ledger.baseline.baseline_changes import replan
from ledger.baseline.calendar_changes import with_calendar_in_force
from ledger.baseline.postings import is_frozen
from ledger.errors import Refused
from ledger.inputs.job_card import job_row
from ledger.inputs.outcomes import CalendarReplanned, FileLoaded
from ledger.inputs.replan_files import is_recorded
from ledger.inputs.toml_files import load_card, read_toml
from ledger.jobs.jobs import job_unknown
from ledger.jobs.working_days import OF_CALENDAR
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.input_files import InputFile

Row = dict[str, Any]


def load_job_replanned(book: Book, batch: Batch, file: InputFile, name: str) -> FileLoaded:
    """Add what a job's file says of its working days under a baseline change, the rest as ever."""
    read = read_toml(file.path)
    row = job_row(read)
    calendar = _calendar(book, batch, file.path.name, (row, name))
    kept = {key: _card(book, row["job"])[key] for key in OF_CALENDAR}
    in_force = with_calendar_in_force(book, {**row, **kept})
    return FileLoaded(file.path.name, (calendar, *load_card(book, batch, read, in_force)))


def load_replanned_calendar(
    book: Book, batch: Batch, file: InputFile, job: str, name: str
) -> FileLoaded:
    """Add what the file of a job says of its working days, and nothing else.

    Raises: Refused when the file is of another job.
    """
    row = job_row(read_toml(file.path))
    if row["job"] != job:
        raise Refused("calendar_of_another", file=file.path.name, job=job, given=row["job"])
    return FileLoaded(file.path.name, (_calendar(book, batch, file.path.name, (row, name)),))


def _card(book: Book, job: str) -> Row:
    """Return the job's card as frozen. Raises: Refused when there is no such job."""
    cards = [each for each in book.current("job") if each["job"] == job]
    if not cards:
        raise job_unknown(job)
    return cards[0]


def _calendar(book: Book, batch: Batch, file: str, under: tuple[Row, str]) -> CalendarReplanned:
    """Add a calendar that is new, and let it act if its change is recorded.

    Raises: Refused when the job is not frozen, and when the calendar cannot be so.
    """
    (row, name), job = under, under[0]["job"]
    card = _card(book, job)
    if not is_frozen(book, job):
        raise Refused("calendar_not_frozen", file=file, job=job)
    loaded = [r for r in book.current("replanned_calendar") if (r["job"], r["name"]) == (job, name)]
    before = loaded[0] if loaded else with_calendar_in_force(book, card)
    keys = tuple(key for key in OF_CALENDAR if row[key] != before[key])
    if not keys:
        return CalendarReplanned(name, keys, None)
    if loaded and is_recorded(book, job, name):
        raise Refused("calendar_under_name", file=file, name=name)
    says = {"job": job, "name": name, **{key: row[key] for key in OF_CALENDAR}}
    batch.append_row("replanned_calendar", says)
    try:
        return CalendarReplanned(name, keys, replan(book, batch, job, name))
    except Refused as error:
        raise Refused("calendar_would_not", file=file, because=error) from None
