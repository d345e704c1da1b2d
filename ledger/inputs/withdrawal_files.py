"""The file with the right fact, read by the ordinary load in the place of the withdrawn one."""

from collections import defaultdict
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from ledger.baseline.replaying import Recording
from ledger.errors import Refused
from ledger.inputs.baseline_files import load_baseline_changes
from ledger.inputs.calendar_files import load_replanned_calendar
from ledger.inputs.certificate_files import load_certified
from ledger.inputs.change_files import load_change_events, load_change_lines, load_changes
from ledger.inputs.claim_files import load_claim_percents, load_job_costs
from ledger.inputs.daywork_files import load_daywork_items, load_right_sheets
from ledger.inputs.job_files import (
    load_estimate,
    load_milestones,
    load_plan,
    load_progress,
)
from ledger.inputs.leave_files import load_leave
from ledger.inputs.past_work import load_past_work
from ledger.inputs.payroll_files import load_payroll, load_payroll_notes, load_supplier_hours
from ledger.inputs.replan_files import (
    load_replanned_days,
    load_replanned_milestones,
    load_replanned_packages,
)
from ledger.inputs.toml_files import load_job, load_settings
from ledger.inputs.yard_files import load_charge_rates, load_crew, load_rates, load_rules
from ledger.store.book import Book
from ledger.store.rerun import PlacedFact, standing
from ledger.tables.input_files import InputFile

OF_YARD = {
    "rate": load_rates,
    "past_work": load_past_work,
    "crew": load_crew,
    "rule": load_rules,
    "setting": load_settings,
    "job": load_job,
    "leave": load_leave,
    "payroll_line": load_payroll,
    "supplier_hours": load_supplier_hours,
    "payroll_note": load_payroll_notes,
}
OF_JOB = {
    "charge_rate": load_charge_rates,
    "work_package": load_estimate,
    "milestone": load_milestones,
    "plan_line": load_plan,
    "progress": load_progress,
    "baseline_change": load_baseline_changes,
    "change": load_changes,
    "change_line": load_change_lines,
    "change_event": load_change_events,
    "daywork_item": load_daywork_items,
    "daywork_sheet": load_right_sheets,
    "job_cost": load_job_costs,
    "claim_percent": load_claim_percents,
    "certified": load_certified,
}
OF_CHANGE = {
    "replanned_package": load_replanned_packages,
    "replanned_milestone": load_replanned_milestones,
    "replanned_day": load_replanned_days,
    "replanned_calendar": load_replanned_calendar,
}
# Of rows whose number says which they are: its column, and within what they are numbered.
NUMBERED = {
    "change_line": ("position", ("job", "change", "revision")),
    "daywork_item": ("number", ("job", "change")),
    "daywork_sheet": ("position", ("job", "change", "daywork_sheet")),
}


@dataclass(frozen=True)
class RightFile:
    """The file with the right fact; `loads` has loads of the yard's tables that are not above."""

    path: Path
    loads: Mapping[str, Callable[[Book, Any, InputFile], Any]] = field(default_factory=dict)


@dataclass(frozen=True)
class Numbers:
    """What rows with the right facts are numbered by: numbers that are free, and the last taken."""

    free: dict[Hashable, list[int]]
    last: dict[Hashable, int]

    def take(self, columns: Mapping[str, Sequence[Any]], within: Sequence[str]) -> list[int]:
        """Return the numbers of rows: those of the withdrawn ones, then new ones."""
        numbers = []
        for own in zip(*(columns[name] for name in within), strict=True):
            if self.free[own]:
                numbers.append(self.free[own].pop(0))
            else:
                self.last[own] += 1
                numbers.append(self.last[own])
        return numbers


def numbers_of(book: Book, withdrawn: Sequence[PlacedFact]) -> Numbers | None:
    """Return what the rows in the place of withdrawn ones are numbered by, if their kind is."""
    first = withdrawn[0]
    if first.table not in NUMBERED:
        return None
    number, within = NUMBERED[first.table]
    numbers = Numbers(defaultdict(list), defaultdict(int))
    for each in withdrawn:
        numbers.free[_own(each, within)].append(each.values[number])
    for each in (*withdrawn, *standing(book, first.table)):
        own = _own(each, within)
        numbers.last[own] = max(numbers.last[own], each.values[number])
    if first.table == "daywork_item":
        job = first.values["job"]
        for change, last in book.rows("changes/daywork_item_numbers", job=job):
            numbers.last[job, change] = max(numbers.last[job, change], int(last))
    return numbers


def _own(placed: PlacedFact, within: Sequence[str]) -> Hashable:
    return tuple(placed.values[name] for name in within)


def load_right(
    book: Book,
    batch: Recording,
    file: RightFile,
    withdrawn: Sequence[PlacedFact],
    numbers: Numbers | None,
) -> None:
    """Load a file of a table's kind; its rows are kept aside by the batch.

    Raises: Refused and Faults as the ordinary load does, and when it holds other settings.
    """
    first, path = withdrawn[0], file.path
    of_yard = {**OF_YARD, **file.loads}

    def amend(table: str, columns: dict[str, list[Any]]) -> None:
        if table == first.table and table == "setting":
            _refuse_others(path, columns, withdrawn)
        if table == "change_line":
            _refuse_standing(book, path, columns, withdrawn)
        if numbers and table == first.table:
            number, within = NUMBERED[table]
            columns[number] = numbers.take(columns, within)

    batch.amend = amend
    if first.table in of_yard:
        of_yard[first.table](book, batch, InputFile(path))
    elif first.table in OF_CHANGE:
        of = first.values
        OF_CHANGE[first.table](book, batch, InputFile(path), of["job"], of["name"])
    else:
        OF_JOB[first.table](book, batch, InputFile(path), first.values["job"])


def _refuse_standing(
    book: Book, path: Path, columns: dict[str, list[Any]], withdrawn: Sequence[PlacedFact]
) -> None:
    """Raises: Refused when the file gives lines of the revision that stand already."""
    own = {(each.batch, each.row) for each in withdrawn}
    fields = [name for name in columns if name != "position"]
    standing_lines = [
        [each.values[name] for name in fields]
        for each in standing(book, "change_line")
        if (each.batch, each.row) not in own
    ]
    rows = [list(row) for row in zip(*(columns[name] for name in fields), strict=True)]
    if repeated := [row for row in rows if row in standing_lines]:
        described = repeated[0][fields.index("description")]
        raise Refused("right_line_stands", file=path.name, description=described)


def _refuse_others(
    path: Path, columns: dict[str, list[Any]], withdrawn: Sequence[PlacedFact]
) -> None:
    named = {each.values["name"] for each in withdrawn}
    if others := sorted(set(columns["name"]) - named):
        raise Refused("right_settings_others", file=path.name, settings=tuple(others))
