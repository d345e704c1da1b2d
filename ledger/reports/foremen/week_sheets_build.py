"""The sheets of a week made from the book: who works, on which days, and which codes they need."""

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from ledger.domain.calendar import WEEKDAYS, days_between
from ledger.errors import Refused, Remedy
from ledger.jobs.jobs import calendar_of, week_start
from ledger.reports.commands_named import NONE, Commands, Remade
from ledger.reports.foremen.job_codes import JobCodes, cause_codes
from ledger.reports.foremen.week_sheets import ALL, Code, WeekDay, WeekSheets, WorkerSheet
from ledger.reports.identity import known_job, stamp_of, yard_of
from ledger.store.book import Book

MOST_ROWS = 11  # Three of a page's rows are left to be written.
FOUR_WEEKS = timedelta(days=28)
ONE_DAY = timedelta(days=1)
GROUPS = ("non_productive", "overhead", "absence")
Place = tuple[str | None, str, str | None]  # Job, booked to, cause.


@dataclass(frozen=True)
class OpenCode:
    """A code that takes hours: where they stand then, and the trades it is planned for."""

    place: Place
    code: Code
    trades: tuple[str, ...] = ()

    @property
    def is_absence(self) -> bool:
        return self.place[1] == "absence"


def build_sheets(
    book: Book, day: date, job: str = "", worker: str = ALL, commands: Commands = NONE
) -> WeekSheets:
    """Return the sheets of the week of a day: of one worker or of all who are active in it.

    `commands` has the words of the one that makes them again.

    Raises: Refused when there is no such job or worker, and when nobody is active.
    """
    first = day - timedelta(days=(day.weekday() - week_start(book)) % 7)
    last = first + timedelta(days=6)
    crew = crew_of(book, first, last, worker)
    before = book.rows(
        "reports/foremen/worker_places", first=first - FOUR_WEEKS, last=first - ONE_DAY
    )
    jobs = [known_job(book, job)] if job else jobs_of(book, (first, last), before)
    codes = [code for each in jobs for code in codes_of(book, each, first)]
    codes = [*codes, *yard_codes(book)]
    booked = by_worker(before)
    stamp = stamp_of(book)
    return WeekSheets(
        yard=yard_of(book),
        jobs=tuple(jobs),
        days=tuple(week_days(book, jobs, first)),
        known_at=stamp,
        remade_by=commands.makes(Remade("sheet", stamp.sequence, first, job, worker)),
        rehearsal=book.rehearsal,
        sheets=tuple(worker_sheet(row, booked[row["worker_id"]], codes) for row in crew),
    )


def crew_of(book: Book, first: date, last: date, worker: str) -> list[dict[str, Any]]:
    """Return who gets a sheet. Raises: Refused when nobody does."""
    crew = book.records("reports/foremen/crew_between", first=first, last=last)
    chosen = [row for row in crew if worker in {ALL, row["worker_id"]}]
    if not chosen and worker != ALL:
        everybody = Remedy("show", what="crew")
        raise Refused("worker_inactive", worker=worker, week=first, remedy=everybody)
    if not chosen:
        raise Refused("crew_inactive", week=first, remedy=Remedy("load", what="crew"))
    return chosen


def jobs_of(book: Book, week: tuple[date, date], before: Iterable[Sequence[Any]]) -> list[str]:
    """Return the jobs that are planned to go on in a week, or had hours in the four before it."""
    first, last = week
    worked = {row[1] for row in before}
    return [
        row["job"]
        for row in book.current("job")
        if row["job"] in worked or (row["planned_start"] <= last and row["planned_finish"] >= first)
    ]


def codes_of(book: Book, job: str, first: date) -> Iterator[OpenCode]:
    """Yield a job's codes that take hours in the week that begins on a day.

    What is finished before it is left out; a change counts once it is ordered by the week's end.
    """
    codes = JobCodes(book, job, first - ONE_DAY)
    changes = codes.changes(first + timedelta(days=6))
    packages = sorted(codes.packages(), key=lambda row: row.code)
    for row in (*packages, *changes):
        if row.is_open:
            yield OpenCode((job, row.code, None), Code(row.code, row.title, job), row.trades)
    for cause in cause_codes(book, job):
        if cause.group == "non_productive":
            title = cause.cause.replace("_", " ")
            code = Code(cause.code, title, job, cause.group)
            yield OpenCode((job, cause.group, cause.cause), code)


def yard_codes(book: Book) -> Iterator[OpenCode]:
    """Yield the codes of the yard's own work, then those of absence."""
    for group in ("overhead", "absence"):
        for cause in cause_codes(book, ""):
            if cause.group == group:
                title = cause.cause.replace("_", " ")
                code = Code(cause.code, title, group=group)
                yield OpenCode((None, group, cause.cause), code)


def by_worker(before: Iterable[Sequence[Any]]) -> dict[str, list[Place]]:
    """Return the places each worker's hours stand at, those with the most hours first.

    A cause tells places apart only where nothing is built.
    """
    places: dict[str, list[Place]] = defaultdict(list)
    for worker_id, job, booked_to, cause, _ in before:
        places[worker_id].append((job, booked_to, cause if booked_to in GROUPS else None))
    return places


def worker_sheet(row: dict[str, Any], booked: list[Place], codes: list[OpenCode]) -> WorkerSheet:
    """Return one worker's sheet: rows for the codes of the last weeks that still take hours.

    Absence is no row to begin with. Of the packages those of their trade are listed, and the rows.
    """
    trade = row["trade"] or ""
    known = {each.place for each in codes if not each.is_absence}
    rows = list(dict.fromkeys(place for place in booked if place in known))[:MOST_ROWS]
    return WorkerSheet(
        worker_id=row["worker_id"],
        name=row["name"] or "",
        trade=trade,
        rows=tuple(each.code for each in codes if each.place in rows),
        codes=tuple(
            each.code
            for each in codes
            if not each.trades or trade in each.trades or each.place in rows
        ),
    )


def week_days(book: Book, jobs: list[str], first: date) -> Iterator[WeekDay]:
    """Yield the week's days; one on which none of the jobs is worked is off, or a holiday.

    A holiday is a day off that falls on a weekday which is worked in other weeks.
    """
    week = list(days_between(first, first + timedelta(days=6)))
    cards = {row["job"]: row for row in book.current("job")}
    worked = {day for job in jobs for day in calendar_of(book, job).working(week[0], week[-1])}
    usual = {
        WEEKDAYS.index(name) for job in jobs for name in json.loads(cards[job]["working_week"])
    }
    for day in week:
        off = "holiday" if day.weekday() in usual else "off"
        yield WeekDay(day, "" if day in worked or not jobs else off)
