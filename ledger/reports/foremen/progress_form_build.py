"""The progress form made from the book: what is open, and its last measurement by a day."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from typing import Any

from ledger.baseline.job_baseline import JobBaseline
from ledger.baseline.standing_progress import StandingProgress
from ledger.domain.allocation import rounded
from ledger.domain.earned_value import Measurement
from ledger.domain.techniques import FILLED_IN
from ledger.jobs.jobs import calendar_of
from ledger.reports.commands_named import NONE, Commands, Remade
from ledger.reports.foremen.code_list import CodeRow
from ledger.reports.foremen.code_list_build import usual_day
from ledger.reports.foremen.job_codes import JobCodes
from ledger.reports.foremen.progress_form import FormRow, NotListed, ProgressForm
from ledger.reports.identity import known_job, stamp_of, yard_of
from ledger.store.book import Book


def build_progress_form(
    book: Book, job: str, status_date: date | None, commands: Commands = NONE
) -> ProgressForm:
    """Return the form of a job for a day.

    Without a day it is the end of the week of the newest entry, so that progress is measured up to
    where hours are; before any entry that of the record.

    Raises: Refused when there is no such job.
    """
    known_job(book, job)
    day = status_date or newest_week_end(book, job)
    listing = _Listing(book, job, day)
    listing.go()
    stamp = stamp_of(book)
    return ProgressForm(
        yard=yard_of(book),
        job=job,
        title=listing.baseline.card.title,
        status_date=day,
        known_at=stamp,
        remade_by=commands.makes(Remade("progress-form", stamp.sequence, day, job)),
        rehearsal=book.rehearsal,
        rows=tuple(listing.rows),
        not_listed=tuple(listing.not_listed),
    )


def newest_week_end(book: Book, job: str) -> date:
    """Return the end of the week of the newest entry, else the usual day."""
    newest: date | None = book.rows("performance/newest_entry", job=job)[0][0]
    return calendar_of(book, job).week_end(newest) if newest else usual_day(book, job)


class _Listing:
    """The rows of a form, one thing to be measured after the other."""

    def __init__(self, book: Book, job: str, day: date) -> None:
        self.book, self.job, self.day = book, job, day
        self.codes = JobCodes(book, job, day)
        self.baseline: JobBaseline = self.codes.baseline
        self.rows: list[FormRow] = []
        self.not_listed: list[NotListed] = []

    @cached_property
    def standing(self) -> StandingProgress:
        return StandingProgress(self.baseline)

    @cached_property
    def units(self) -> dict[str, str]:
        rows = self.book.current("work_package")
        return {row["work_package"]: row["unit"] or "" for row in rows if row["job"] == self.job}

    @cached_property
    def milestones(self) -> dict[str, list[dict[str, Any]]]:
        """Return the milestones of each package by their planned dates."""
        by_package: dict[str, list[dict[str, Any]]] = {}
        rows = [row for row in self.book.current("milestone") if row["job"] == self.job]
        for row in sorted(rows, key=lambda row: (row["planned_date"], row["milestone"])):
            by_package.setdefault(row["work_package"], []).append(row)
        return by_package

    def go(self) -> None:
        for row in (*self.codes.packages(), *self.codes.changes()):
            technique = self.baseline.technique(row.code)
            if not row.is_open:
                continue
            if technique not in FILLED_IN:
                self.not_listed.append(NotListed(row.code, row.title, technique))
                continue
            made = list(self._of_part(row, technique))
            self.rows += made
            if not made:
                self.not_listed.append(NotListed(row.code, row.title, "no_milestone_left"))

    def _of_part(self, row: CodeRow, technique: str) -> Iterator[FormRow]:
        for trade in self._trades(row):
            known = [
                each
                for each in self.baseline.measures_of(row.code, trade or None)
                if each.day <= self.day
            ]
            form_row = self._row(row, technique, trade, known)
            if technique != "weighted_milestone":
                yield form_row
            else:
                yield from self._of_milestones(form_row, known)

    def _trades(self, row: CodeRow) -> list[str]:
        """Return the trades that are measured apart, as they were before; [""] if all in one."""
        by_trade = [trade for trade, _ in self.baseline.measures.get(row.code, []) if trade]
        if not by_trade:
            return [""]
        planned = sorted(t for part, t in self.baseline.cells if part == row.code and t)
        is_over = self.codes.measured.is_finished
        return [trade for trade in planned or by_trade if not is_over(row.code, trade)]

    def _row(self, row: CodeRow, technique: str, trade: str, known: list[Measurement]) -> FormRow:
        package = self.baseline.package(row.code)
        is_counted = technique == "units_complete"
        ends = [each.quantity_at_completion for each in known if each.quantity_at_completion]
        wholes = [package["quantity"] if package else None, ends[-1] if ends else None]
        form_row = FormRow(
            code=row.code,
            title=row.title,
            account=row.account,
            trade=trade,
            technique=technique,
            planned_start=row.planned_start,
            planned_finish=row.planned_finish,
            last_measured=known[-1].day if known else None,
            percent=_last(known, "percent") if technique == "percent_complete" else None,
            quantity_done=_last(known, "quantity_done") if is_counted else None,
            quantity=max((each for each in wholes if each), default=None) if is_counted else None,
            unit=self.units.get(row.code, "") if is_counted else "",
            started=_last(known, "started"),
        )
        return self._as_it_stands(form_row)

    def _as_it_stands(self, row: FormRow) -> FormRow:
        """Return a row with what stands now where its size or its measure is another than then."""
        trade, standing = row.trade or None, self.standing
        percent = standing.percent(row.code, trade)
        if percent is None:
            return row
        now = Decimal(rounded(percent * 10)).scaleb(-1)
        if anew := standing.measured_anew(row.code, trade):
            return replace(row, percent=now, counted_since=anew.since, changed_by=anew.name)
        typed = None if row.percent is None else Fraction(row.percent)
        if typed is None or not standing.differs(row.code, trade, typed):
            return row
        return replace(row, percent=now, changed_by=standing.changed_by(row.code) or "")

    def _of_milestones(self, row: FormRow, known: list[Measurement]) -> Iterator[FormRow]:
        """Yield a row for each milestone that is not reached yet."""
        reached = {each.milestone for each in known}
        left = [m for m in self.milestones.get(row.code, []) if m["milestone"] not in reached]
        for number, milestone in enumerate(left):
            yield replace(
                row,
                milestone=milestone["milestone"],
                planned_start=None,
                planned_finish=milestone["planned_date"],
                is_first=number == 0,
            )


def _last(known: list[Measurement], name: str) -> Any:
    """Return the last value of a field that was measured, None without any."""
    return next((v for each in reversed(known) if (v := getattr(each, name)) is not None), None)
