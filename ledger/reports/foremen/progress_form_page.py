"""The progress form as a page: the table to be written on, and the same rows for the workbook."""

from decimal import Decimal
from itertools import groupby

from ledger.domain.techniques import FILLED_IN
from ledger.reports import page_parts
from ledger.reports.canonical import digest
from ledger.reports.dates import written
from ledger.reports.foremen.progress_form import FormRow, NotListed, ProgressForm
from ledger.reports.tables import Cell, Column, Fact, Page, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, cut, visible_throughout

TITLE = "Progress form"
WORK_LENGTH = 90
HOW_TO_READ = (
    "Look at the work, then write where it stands. A row that is left blank adds nothing; where "
    "nothing moved, write the same figure again.",
    "The form shows no hours, and progress is not worked out from them: hours used say what the "
    "work took, not how much of it is done.",
    "Percent is of the work as planned, not of the time that has passed. Work is 100 % when "
    "nobody has to come back to it.",
    "Hours to go: what the work still needs, by your own estimate, whatever is left of the budget.",
)
COLUMNS = (
    Column("Code", "code"),
    Column("Work", "text"),
    Column("Trade", "trades"),
    Column("Planned", "due"),
    Column("Last", "standing"),
    Column("Measured", "date", missing="never"),
    Column("Now", "sum"),
    Column("Finished on", "day"),
    Column("Hours to go", "off"),
    Column("Remark", "note"),
)
WHY_NOT = {
    "level_of_effort": "measured by the plan alone (level of effort)",
    "apportioned_effort": "measured by its base package",
    "no_milestone_left": "no milestone left to reach",
}
TO_WRITE = {"percent_complete": "%", "fixed_formula": "started on", "weighted_milestone": "reached"}
# The workbook's heads are those of files of progress, so that it loads as it stands.
HEAD = (
    *("job", "work_package", "title", "trade", "technique", "planned", "last", "last_measured"),
    *("milestone", "date", "percent", "quantity_done", "quantity_at_completion", "reached"),
    *("started", "finished", "estimate_to_complete_hours", "note"),
)
NEVER = "\N{EN DASH}"
NOT_HERE = ""  # A cell that does not measure its row; None is one to be filled in.


def progress_form_page(view: ProgressForm) -> Page:
    """Return the form ready to be shown; the digest is that of the view as it was given.

    The first section is for paper, the second for the workbook.
    """
    seal = digest(view)
    visible_form: ProgressForm = visible_throughout(view)
    code = cut(visible_form.job, NAME_LENGTH)
    title = cut(visible_form.title, page_parts.LINE_LENGTH)
    return Page(
        title=TITLE,
        subject=f"{code} · {title}",
        letterhead=page_parts.letterhead(visible_form.yard),
        facts=(Fact("Work seen up to", written(visible_form.status_date)),),
        headline="",
        figures=tuple(_not_listed(each) for each in visible_form.not_listed),
        sections=(
            Section(TITLE, paper_table(visible_form)),
            Section(TITLE, workbook_table(visible_form)),
        ),
        how_to_read=HOW_TO_READ,
        caution="",
        proof=page_parts.proof(visible_form.known_at, view, visible_form.remade_by),
        running=(f"{TITLE} · {code} · {cut(title, 60)}", written(visible_form.status_date)),
        foot=page_parts.foot(visible_form.known_at, seal),
        banner=page_parts.banner(rehearsal=visible_form.rehearsal),
        cover="How to",
    )


def _not_listed(part: NotListed) -> Fact:
    return Fact(cut(part.code, NAME_LENGTH), WHY_NOT[part.why], cut(part.title, WORK_LENGTH))


def paper_table(view: ProgressForm) -> Table:
    """Return what is measured by control account, changes last."""
    rows: list[Row] = []
    for account, group in groupby(view.rows, key=lambda row: row.account):
        label = cut(account, NAME_LENGTH) or "Changes"
        rows.append(Row((label[:1].upper() + label[1:],), "group", span=len(COLUMNS)))
        rows += [paper_row(row) for row in group]
    caption = f"Progress on {written(view.status_date)}"
    return Table("Form", caption, COLUMNS, tuple(rows), "Nothing is open to be measured.")


def paper_row(row: FormRow) -> Row:
    """Return a row whose open cells say in what to write."""
    planned = row.planned_finish.isoformat() if row.planned_finish else NOT_HERE
    if row.planned_start:
        planned = f"{row.planned_start.isoformat()} to {planned}"
    unit = f"of {_plain(row.quantity)} {row.unit}".rstrip() if row.quantity else row.unit
    return Row(
        (
            cut(row.code, NAME_LENGTH) if row.is_first else NOT_HERE,
            work_words(row),
            cut(row.trade, NAME_LENGTH) or NOT_HERE,
            planned,
            last_words(row),
            row.last_measured,
            TO_WRITE.get(row.technique, cut(unit, NAME_LENGTH)),
            None if row.is_first else NOT_HERE,
            None if row.is_first else NOT_HERE,
            None,
        )
    )


def work_words(row: FormRow) -> str:
    title = cut(row.title, WORK_LENGTH)
    if not row.milestone:
        return title
    milestone = f"milestone {cut(row.milestone, NAME_LENGTH)}"
    return f"{title}: {milestone}" if row.is_first else milestone


def last_words(row: FormRow) -> str:
    """Return where a row stood when it was measured last, or stands since its budget changed."""
    by = f" by {cut(row.changed_by, NAME_LENGTH)}" if row.changed_by else ""
    if row.counted_since is not None:
        since = row.counted_since.isoformat()
        return f"{_plain(row.percent)} %; measured anew since {since}{by}: give that day too"
    if row.milestone:
        return "not reached"
    if row.last_measured is None:
        return NEVER
    if row.percent is not None:
        return f"{_plain(row.percent)} %" + (f", budget changed{by}" if by else "")
    if row.quantity_done is not None:
        whole = f" of {_plain(row.quantity)}" if row.quantity else ""
        return f"{_plain(row.quantity_done)}{whole} {row.unit}".rstrip()
    return f"started {written(row.started)}" if row.started else "not started"


def _plain(value: Decimal | None) -> str:
    return f"{value.normalize():f}" if value is not None else ""


def workbook_table(view: ProgressForm) -> Table:
    """Return the same rows under the heads of a file of progress: None is a cell to fill in."""
    columns = tuple(Column(name, "text") for name in HEAD)
    rows = tuple(Row(workbook_row(view, row)) for row in view.rows)
    return Table("Progress", f"{TITLE} of {view.job}, {view.status_date}", columns, rows)


def workbook_row(view: ProgressForm, row: FormRow) -> tuple[Cell, ...]:
    takes = FILLED_IN[row.technique]
    cells: dict[str, Cell] = {
        "job": view.job,
        "work_package": row.code,
        "title": row.title,
        "trade": row.trade,
        "technique": row.technique,
        "planned": row.planned_finish.isoformat() if row.planned_finish else NOT_HERE,
        "last": last_words(row),
        "last_measured": row.last_measured.isoformat() if row.last_measured else "never",
        "milestone": row.milestone,
        "date": view.status_date,
    }
    dated = ("started", "finished", "estimate_to_complete_hours")
    is_open = {*takes, "note", *(dated if row.is_first else ())}
    return tuple(cells.get(name, None if name in is_open else NOT_HERE) for name in HEAD)
