"""Loads of small files, in words."""

from collections.abc import Sequence
from functools import singledispatch

from ledger.baseline.approval import OmissionShort
from ledger.baseline.baseline_changes import ReplannedParts
from ledger.baseline.instructed_plan import PlanMoved
from ledger.baseline.replan_guards import PlannedByDay
from ledger.cli.refusals.worded import worded
from ledger.cli.wording.endings import finished_lines, kept_lines
from ledger.commands.loads import FilesLoaded, JobFrozen, LayoutsKept, RulesLoaded
from ledger.domain.counting import counted, hours_text
from ledger.domain.daywork import AGREED
from ledger.errors import messages, ranges
from ledger.inputs import outcomes
from ledger.outcomes import Outcome
from ledger.sheets.outcomes import AttendanceLoaded, WorkerDayChanged
from ledger.tables.small_tables import RowsLeftOut

# How many lines that rows were added up into are named one by one.
SUMS_NAMED = 10
LAYOUT_STANDS = {"new": "new", "changed": "changed", "as_before": "unchanged"}
WHOLES = {
    "rule": "rule",
    "change_line": "change-lines",
    "change_event": "change-events",
    "daywork_sheet": "daywork-sheets",
}


def load_lines(loaded: FilesLoaded) -> list[str]:
    """Return what is said of a load of small files."""
    lines = [line for file in loaded.files for line in file_lines(file)]
    return lines + finished_lines(loaded.finished)


def rules_lines(loaded: RulesLoaded) -> list[str]:
    """Return what is said of a load of rules, with the entries of closed periods that stay."""
    lines = [line for file in loaded.files for line in file_lines(file)]
    kept = loaded.finished.places.kept
    moving = (
        ["--with-closed moves them, as late adjustments"]
        if any(not each.is_claimed for each in kept)
        else []
    )
    return [*lines, *finished_lines(loaded.finished), *kept_lines(kept), *moving]


def layout_lines(kept: LayoutsKept) -> list[str]:
    """Return what is said of layouts that were loaded."""
    return [f"{each.file}: layout: {LAYOUT_STANDS[each.standing]}" for each in kept.layouts]


def freeze_lines(done: JobFrozen) -> list[str]:
    """Return what is said of a freeze."""
    job = done.frozen
    rows = counted(job.rows, "row", "rows")
    return [f"job {job.job}: frozen on {job.on}, {hours_text(job.budget_ms)} h in {rows}"]


def file_lines(file: outcomes.FileLoaded) -> list[str]:
    """Return what is said of one file."""
    lines = [line for outcome in file.outcomes for line in lines_of(outcome)]
    if file.unknown_columns:
        lines.append(f"unknown columns left out: {', '.join(file.unknown_columns)}")
    if file.tabs_left_out:
        lines.append(f"tabs left out: {', '.join(file.tabs_left_out)}")
    if file.rows_left_out:
        lines.append(_rows_left_out(file.rows_left_out))
    texts = [f"{file.file}: {line}" for line in lines]
    texts += [
        f"{each.where}: the total {each.text} cannot be read; not checked"
        for each in file.totals_unchecked
    ]
    return texts + messages(list(file.slips))


def _rows_left_out(left: Sequence[RowsLeftOut]) -> str:
    """Return how many rows were left out, why and which: 4 rows left out: 3 total (7, 9-10)."""
    count = sum(len(each.rows) for each in left)
    named = [
        f"{len(each.rows)} {each.why} ({f'{each.tab} ' if each.tab else ''}{ranges(each.rows)})"
        for each in left
    ]
    return f"{counted(count, 'row', 'rows')} left out: {', '.join(named)}"


@singledispatch
def lines_of(outcome: Outcome) -> list[str]:
    """Return what is said of a file's rows."""
    raise AssertionError(f"no words for {type(outcome).__name__}")


@lines_of.register
def of_rows(outcome: outcomes.RowsLoaded) -> list[str]:
    table, changed = outcome.table, outcome.changed
    return [
        f"{table}: {outcome.new} new, {len(changed)} changed, {outcome.as_before} unchanged",
        *(f"{table} {_named(row.key)}: {_differences(row.fields)}" for row in changed),
    ]


def _named(key: tuple[object, ...]) -> str:
    return " ".join(str(part) for part in key if part is not None)


def _differences(fields: tuple[outcomes.FieldChange, ...]) -> str:
    return ", ".join(map(_difference, fields))


def _difference(field: outcomes.FieldChange) -> str:
    before, after = field.before, field.after
    if field.name == "ms" and isinstance(before, int) and isinstance(after, int):
        return f"hours {hours_text(before)} -> {hours_text(after)}"
    return f"{field.name} {_value_text(before)} -> {_value_text(after)}"


def _value_text(value: object) -> str:
    return "blank" if value is None else str(value)


@lines_of.register
def of_form(outcome: outcomes.FormRowsBlank) -> list[str]:
    return [f"progress form: {counted(outcome.count, 'row', 'rows')} left blank, nothing added"]


@lines_of.register
def of_wholes(outcome: outcomes.WholesLoaded) -> list[str]:
    changed = str(outcome.changed)
    if outcome.table == "change_line":
        changed = counted(outcome.changed, "revision", "revisions")
    return [f"{WHOLES[outcome.table]}: {changed} new or changed, {outcome.as_before} unchanged"]


@lines_of.register
def of_sums(outcome: outcomes.RowsAddedUp) -> list[str]:
    sums = outcome.sums
    count = sum(len(each.rows) for each in sums)
    lines = [f"{counted(count, 'row', 'rows')} added up into {counted(len(sums), 'line', 'lines')}"]
    lines += [
        f"{_named(each.key)}: rows {', '.join(each.rows)} are {hours_text(each.ms)} h together"
        for each in sums[:SUMS_NAMED]
    ]
    if len(sums) > SUMS_NAMED:
        lines.append(f"and {len(sums) - SUMS_NAMED} more; payroll_row has all their rows")
    return lines


@lines_of.register
def of_strangers(outcome: outcomes.Strangers) -> list[str]:
    return [f"{outcome.what} not in the crew: {', '.join(outcome.names)}"] if outcome.names else []


@lines_of.register
def of_employment(outcome: outcomes.EmploymentBlank) -> list[str]:
    return [
        f"supplier without employment, counted as paid by payroll: {', '.join(outcome.workers)}; "
        "where the supplier is paid for them, write agency or subcontract under employment"
    ]


@lines_of.register
def of_rule(outcome: outcomes.RuleAstray) -> list[str]:
    return [
        f"line {outcome.line}: rule {outcome.rule}: unknown code {outcome.booked_to}; "
        "its hours stay untagged until a job has it"
    ]


@lines_of.register
def of_budgets(outcome: outcomes.BudgetsRated) -> list[str]:
    return [f"rate: {counted(outcome.count, 'budget', 'budgets')} now rated"]


@lines_of.register
def of_owner(outcome: outcomes.OwnerSees) -> list[str]:
    if outcome.overrun:
        seen = "all hours of the job, including the yard's own overrun"
    else:
        seen = "hours and prices of changes, not the other hours of the job"
    return [f"owner_sees_overrun = {str(outcome.overrun).lower()}: the owner sees {seen}"]


@lines_of.register
def of_estimate(outcome: outcomes.EstimateLoaded) -> list[str]:
    if outcome.as_before:
        return ["estimate: unchanged"]
    packages = counted(outcome.packages, "package", "packages")
    return [f"estimate: {packages}, {hours_text(outcome.budget_ms)} h"]


@lines_of.register
def of_key_date(outcome: outcomes.KeyDateAstray) -> list[str]:
    return [
        f'key date "{outcome.name}" names {outcome.code}, which is not in this estimate; '
        "until it is, the job cannot be frozen"
    ]


@lines_of.register
def of_sum(outcome: outcomes.SumAstray) -> list[str]:
    return [
        f'provisional sum "{outcome.name}" names {outcome.code}, which is not in this estimate; '
        "correct it in job.toml"
    ]


@lines_of.register
def of_baseline_changes(outcome: outcomes.BaselineChangesLoaded) -> list[str]:
    return [f"baseline-changes: {outcome.new} new of {outcome.count}"]


@lines_of.register
def of_balance(outcome: outcomes.BaselineKept) -> list[str]:
    before, after = outcome.before, outcome.after
    pairs = (
        ("baseline", before.baseline_ms, after.baseline_ms),
        ("contingency", before.contingency_ms, after.contingency_ms),
        ("reserve", before.reserve_ms, after.reserve_ms),
    )
    moved = ", ".join(
        f"{name} {hours_text(was)} h" + (f" -> {hours_text(now)} h" if now != was else "")
        for name, was, now in pairs
        if was or now
    )
    lines = [f"{outcome.name}: {moved}; contract budget {hours_text(after.whole_ms)} h, as before"]
    lines += _replanned(outcome.name, outcome.replanned.packages)
    lines += _planned(outcome.name, outcome.replanned.planned)
    return lines + _respread(outcome.name, outcome.replanned)


def _planned(name: str, moved: tuple[PlannedByDay, ...]) -> list[str]:
    """Return what is planned by the day of a change before and after it, where that moves."""
    if not moved:
        return []
    each = [f"{m.part} {hours_text(m.before_ms)} h -> {hours_text(m.after_ms)} h" for m in moved]
    return [f"{name}: planned by {moved[0].day}: {', '.join(each)}"]


def _replanned(name: str, packages: tuple[str, ...]) -> list[str]:
    """Return that packages were replanned, if any were."""
    named = ", ".join(packages)
    line = f"{name}: {named} replanned; what was earned and planned by then stays"
    return [line] if packages else []


@lines_of.register
def of_replanned(outcome: outcomes.PackagesReplanned) -> list[str]:
    if not outcome.packages:
        return [f"{outcome.name}: {counted(outcome.count, 'package', 'packages')} unchanged"]
    named = ", ".join(outcome.packages)
    if outcome.is_recorded:
        return _replanned(outcome.name, outcome.packages) + _planned(outcome.name, outcome.planned)
    return [
        f"{outcome.name}: {named} recorded; it acts once baseline change {outcome.name} is loaded "
        "with its date and hours (`fairhours load baseline-changes`)"
    ]


def _respread(name: str, replanned: ReplannedParts) -> list[str]:
    """Return what a change of the calendar moves in the plan, if there is one."""
    if not replanned.is_calendar:
        return []
    named = ", ".join(replanned.respread)
    moved = f"plan of {named} spread over the new working days" if named else "no plan moves"
    return [f"{name}: calendar changed after its date; {moved}"]


@lines_of.register
def of_calendar(outcome: outcomes.CalendarReplanned) -> list[str]:
    if not outcome.keys:
        return [f"{outcome.name}: calendar unchanged"]
    if outcome.replanned:
        return _respread(outcome.name, outcome.replanned)
    return [
        f"{outcome.name}: {', '.join(outcome.keys)} recorded; the calendar changes once baseline "
        f"change {outcome.name} is loaded with its date and hours "
        "(`fairhours load baseline-changes`)"
    ]


@lines_of.register
def of_rewording(outcome: outcomes.Reworded) -> list[str]:
    word = "approved" if outcome.is_approved else "submitted"
    return [
        f"{outcome.change} was {word}: statements from {outcome.shown_from} on "
        "show the new wording; earlier ones, or those remade with --known-at, keep the old"
    ]


@lines_of.register
def of_approval(outcome: outcomes.ApprovalInDoubt) -> list[str]:
    return [f"to look into: {worded(each)}" for each in outcome.lacks]


@lines_of.register
def of_instruction(outcome: outcomes.InstructionAwaits) -> list[str]:
    may = " or ".join(outcome.listed) or "a listed person"
    silence = f", or silence from {outcome.counts_from}" if outcome.counts_from else ""
    return [
        f"{outcome.change}: instruction received from {outcome.person}, confirmation awaited: "
        f"it counts once {may} confirms it{silence}"
    ]


@lines_of.register
def of_sheet(outcome: outcomes.SheetMarked) -> list[str]:
    word = "agreed" if outcome.mark == AGREED else "recorded, not agreed"
    line = f"{hours_text(outcome.taken_ms)} h {word}"
    if outcome.struck_ms:
        line += f", {hours_text(outcome.struck_ms)} h struck off"
    if outcome.items:
        line += f", {counted(outcome.items, 'item', 'items')}"
    if outcome.late_ms:
        line += f"; {hours_text(outcome.late_ms)} h booked since are not on it"
    return [f"{outcome.change} sheet {outcome.daywork_sheet}: {line}"]


@lines_of.register
def of_omission(outcome: OmissionShort) -> list[str]:
    return [
        f"{outcome.change}: of {hours_text(outcome.wanted_ms)} h to be omitted from "
        f"{outcome.work_package} only {hours_text(outcome.taken_ms)} h are not yet earned; "
        "the price stays as approved"
    ]


@lines_of.register
def of_moved_plan(outcome: PlanMoved) -> list[str]:
    return [f"{outcome.change}: planned from {outcome.first} now, as it was instructed"]


@lines_of.register
def of_attendance(outcome: AttendanceLoaded) -> list[str]:
    lines = [
        f"attendance, worker-days: {outcome.new} new, {len(outcome.changed)} changed, "
        f"{outcome.as_before} unchanged",
        *map(_clocked, outcome.changed),
    ]
    if outcome.strangers:
        lines.append(f"workers not in the crew: {', '.join(outcome.strangers)}")
    if outcome.apart:
        apart = counted(outcome.apart, "worker-day differs", "worker-days differ")
        lines.append(f"{apart} from what is booked, see `fairhours doubts --kind attendance`")
    return lines


def _clocked(day: WorkerDayChanged) -> str:
    before, after = _times(day.before), _times(day.after)
    return f"worker {day.worker_id} on {day.day}: {before} -> {after}"


def _times(times: Sequence[tuple[str, str, int]]) -> str:
    return ", ".join(
        f"{start} to {finish}{f' less {pause} min' if pause else ''}"
        for start, finish, pause in times
    )
