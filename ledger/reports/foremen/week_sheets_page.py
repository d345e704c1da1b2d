"""The sheets of a week as a page: a grid for each worker, and the codes that may be written."""

from dataclasses import replace

from ledger.reports import page_parts
from ledger.reports.canonical import digest
from ledger.reports.dates import written
from ledger.reports.foremen.week_sheets import Code, WeekDay, WeekSheets, WorkerSheet
from ledger.reports.tables import Column, Fact, Page, Row, Sheet, Table
from ledger.reports.text import NAME_LENGTH, cut, visible_throughout

TITLE = "Weekly sheet"
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
ROWS = 14  # What a page of A4 holds beside totals, signatures and a list of usual length.
WORK_LENGTH = 60
GROUPS = {"non_productive": "Time lost", "overhead": "On no job", "absence": "Away"}
CODES = (Column("Code", "code"), Column("Work", "text"), Column("Job", "job"))


def week_sheets_page(view: WeekSheets) -> Page:
    """Return the sheets ready to be shown; the digest is that of the view as it was given."""
    seal = digest(view)
    week_sheets: WeekSheets = visible_throughout(view)
    first, last = written(week_sheets.days[0].day), written(week_sheets.days[-1].day)
    jobs = ", ".join(cut(job, NAME_LENGTH) for job in week_sheets.jobs)
    return Page(
        title=TITLE,
        subject=f"{first} to {last}" + (f" · {jobs}" if jobs else ""),
        letterhead=page_parts.letterhead(week_sheets.yard),
        facts=(),
        headline="",
        figures=(),
        sections=(),
        how_to_read=(),
        caution="",
        proof=page_parts.proof(week_sheets.known_at, view, week_sheets.remade_by),
        running=(TITLE, f"{first} to {last}"),
        foot=page_parts.foot(week_sheets.known_at, seal),
        banner=page_parts.banner(rehearsal=week_sheets.rehearsal),
        sheets=tuple(sheet(week_sheets, each) for each in week_sheets.sheets),
        cover="About",
    )


def sheet(view: WeekSheets, worker: WorkerSheet) -> Sheet:
    """Return one worker's sheet: who and when, the grid, the codes."""
    first = view.days[0].day
    name = cut(worker.name, WORK_LENGTH)
    return Sheet(
        anchor=f"worker-{view.sheets.index(worker) + 1}",
        code=cut(worker.worker_id, NAME_LENGTH),
        kind=cut(worker.trade, NAME_LENGTH),
        title=name or "Name:",
        facts=(
            Fact("Hand", cut(worker.worker_id, NAME_LENGTH)),
            Fact("Week from", written(first), f"to {written(view.days[-1].day)}"),
        ),
        texts=(),
        tables=(grid(view, worker), listed(worker)),
    )


def grid(view: WeekSheets, worker: WorkerSheet) -> Table:
    """Return the rows to be filled in: the worker's codes, then empty ones."""
    columns = (
        *CODES,
        *(
            Column(DAYS[each.day.weekday()], "off" if each.mark else "day", day_words(each))
            for each in view.days
        ),
        Column("Total", "sum"),
        Column("Remark", "note"),
    )
    blank = ("",) * (len(columns) - len(CODES))
    filled = [Row((*cells(code, WORK_LENGTH), *blank)) for code in worker.rows]
    empty = Row(("",) * len(columns), "blank")
    rows = [*filled, *[empty] * (ROWS - len(filled))]
    return Table("Sheet", "Hours by code and day", columns, tuple(rows))


def day_words(day: WeekDay) -> str:
    return " ".join(filter(None, (day.day.isoformat(), day.mark)))


def cells(code: Code, length: int) -> tuple[str, str, str]:
    return cut(code.code, NAME_LENGTH), cut(code.title, length), cut(code.job, NAME_LENGTH)


def listed(worker: WorkerSheet) -> Table:
    """Return the codes that may be written: of each job its work, then non-productive time."""
    rows: list[Row] = []
    groups: dict[str, dict[tuple[str, str], Code]] = {}
    for code in worker.codes:
        group = GROUPS.get(code.group, code.job)
        groups.setdefault(group, {}).setdefault((code.code, code.title), code)
    for group in sorted(groups, key=list(GROUPS.values()).__contains__):
        rows.append(Row((cut(group, NAME_LENGTH),), "group", span=len(CODES)))
        for code in groups[group].values():
            job = code.job if code.group == "work" else ""
            rows.append(Row(cells(replace(code, job=job), WORK_LENGTH)))
    trade = cut(worker.trade, NAME_LENGTH)
    caption = f"Codes, {trade}" if trade else "Codes"
    return Table("Codes", caption, CODES, tuple(rows), "No code takes hours this week.")
