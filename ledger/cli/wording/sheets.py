"""Loads of timesheets, in words."""

from functools import singledispatch

from ledger.cli.colour import marked
from ledger.cli.output import as_csv, to_json
from ledger.cli.tables import as_table
from ledger.cli.wording.endings import finished_lines
from ledger.commands.sheets import SheetsLoad
from ledger.commands.sheets_as_json import load_json
from ledger.domain.counting import counted, hours_text
from ledger.domain.questions import QUESTIONS
from ledger.outcomes import Outcome
from ledger.sheets import file_outcomes as outcomes
from ledger.sheets.untagged import UntaggedCode

CODES_SHOWN = 10


@singledispatch
def remark(outcome: Outcome) -> str:
    """Return what is said of a file of sheets beside its counts."""
    raise AssertionError(f"no words for {type(outcome).__name__}")


@remark.register
def of_files(outcome: outcomes.FilesPassedOver) -> str:
    return f"{outcome.folder}: files left out: {', '.join(outcome.files)}"


@remark.register
def of_columns(outcome: outcomes.ColumnsPassedOver) -> str:
    where = outcome.file if outcome.tab is None else f"{outcome.file}, {outcome.tab}"
    return f"{where}: unknown columns left out: {', '.join(outcome.columns)}"


@remark.register
def of_tabs(outcome: outcomes.TabsPassedOver) -> str:
    return f"{outcome.file}: tabs left out: {', '.join(outcome.tabs)}"


@remark.register
def of_total(outcome: outcomes.TotalNotChecked) -> str:
    what = "hours above the total" if outcome.is_read else f'the total "{outcome.text}"'
    return f"{outcome.place}: {what} cannot be read; not checked"


@remark.register
def of_reissues(outcome: outcomes.SheetsReissued) -> str:
    sheets = ", ".join(
        f"{sheet} ({counted(days, 'worker-day', 'worker-days')})"
        for sheet, days in outcome.worker_days
    )
    return (
        f"{outcome.file}: handed in again with other lines: {sheets}; "
        "confirming reverses lines not repeated, see `fairhours reissues`; "
        "to correct one line, reject the re-issue and use `fairhours correct entry`"
    )


@remark.register
def of_mended(outcome: outcomes.HeldLinesMended) -> str:
    lines = counted(outcome.lines, "held line", "held lines")
    return f"{outcome.file}: {lines} corrected by this file"


@remark.register
def of_questions(outcome: outcomes.QuestionsWaiting) -> str:
    command = f'line --file "{outcome.file}" --reason-is {outcome.reason} --reason "..."'
    one, more = QUESTIONS[outcome.reason]
    why = one if outcome.lines == 1 else more
    held = counted(outcome.lines, "line is", "lines are")
    return (
        f"{outcome.file}: {held} held: {why}; if the same: `fairhours reject {command}`, "
        f"if not: `fairhours release {command}`"
    )


def sheets_lines(done: SheetsLoad) -> list[str]:
    """Return all that is said of a load of sheets, with its counts as a table."""
    remarks = map(remark, done.loaded.remarks)
    return [*remarks, counts_text(done, "table"), booked_line(done), *following_lines(done)]


def counts_text(done: SheetsLoad, format: str) -> str:
    """Return the counts of each file, as a table, CSV or JSON."""
    if format == "json":
        return to_json(load_json(done))
    files = [vars(each) for each in done.loaded.files]
    head = [name for name in files[0] if name != "sha256"]
    rows = [[row[name] for name in head] for row in files]
    if format == "csv":
        return as_csv(head, rows)
    held = head.index("held")
    return as_table(head, rows, [(number, held) for number, row in enumerate(rows) if row[held]])


def booked_line(done: SheetsLoad) -> str:
    """Return the hours booked, and how many lines wait."""
    held = sum(each.held for each in done.loaded.files)
    before = sum(each.already_held for each in done.loaded.files)
    lines = f"{counted(held, 'line', 'lines')} held"
    waiting = f"; {lines}, see `fairhours held`"
    known = f"; {counted(before, 'line', 'lines')} held or rejected earlier"
    hours = hours_text(done.loaded.booked_ms)
    line = f"{hours} h booked{waiting if held else ''}{known if before else ''}"
    return marked(line, lines) if held else line


def following_lines(done: SheetsLoad) -> list[str]:
    """Return what is said last: unknown codes, doubts, the hours of the whole book."""
    untagged = [untagged_line(done.untagged)] if done.untagged else []
    amounts = ", ".join(f"{kind} {hours_text(ms)} h" for kind, ms in done.whole_book)
    return [*untagged, *finished_lines(done.finished), f"whole book: {amounts}"]


def untagged_line(codes: tuple[UntaggedCode, ...]) -> str:
    """Return the hours and the codes in a line; hours of two places, each rounded by itself."""
    named = [f"{each.code or 'no code'} ({hours_text(each.ms)} h)" for each in codes[:CODES_SHOWN]]
    if rest := codes[CODES_SHOWN:]:
        named.append(f"and {len(rest)} more ({hours_text(sum(each.ms for each in rest))} h)")
    return f"{hours_text(sum(each.ms for each in codes))} h untagged: {', '.join(named)}"
