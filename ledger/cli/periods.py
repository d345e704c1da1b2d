"""Commands about weeks and periods: sheets missing, periods closed and reopened."""

from typing import TYPE_CHECKING, Annotated, Any

import typer

from ledger.cli.context import (
    Day,
    Format,
    MoveHours,
    Reason,
    chosen,
    day_given,
    day_of,
    to_read,
    to_write,
)
from ledger.cli.output import (
    FORMATS,
    as_csv,
    give,
    give_rows,
    hours_in_format,
    say,
    say_all,
    to_json,
)
from ledger.cli.tables import as_table
from ledger.domain.allocation import hours_of, to_places

if TYPE_CHECKING:
    from ledger.performance.periods import Period
    from ledger.performance.sheets import Expected, SheetsCounted

MaybeJob = Annotated[
    str | None, typer.Option("--job", help="by the calendar of this job; else of all jobs")
]


def missing(
    context: typer.Context,
    job: MaybeJob = None,
    status_date: Day = None,
    by: Annotated[str, typer.Option(help="week or worker")] = "week",
    thin: Annotated[bool, typer.Option("--thin", help="list only thin sheets")] = False,
    format: Format = "table",
) -> None:
    """Show which of the yard's sheets are in, missing or thin, by week or by worker.

    A sheet counts on whatever job its hours were booked. It is thin with under half of the
    worker's calendar hours (8 for each working day on which they are active) and no absence.

    Example: fairhours missing --job FERRY --status-date 2026-05-31
    """
    from ledger.commands.periods import missing_sheets
    from ledger.commands.periods_as_json import missing_json
    from ledger.performance.sheets import by_week, by_worker

    chosen("--format", format, FORMATS)
    chosen("--by", by, ("week", "worker"))
    known = missing_sheets(to_read(context), job, day_of(status_date))
    sheets = known.sheets
    if format == "json":
        give(to_json(missing_json(known, counts=COUNTS)))
        return
    shape = as_csv if format == "csv" else as_table
    if not thin:
        counted = by_week(sheets) if by == "week" else by_worker(sheets)
        give(shape(SHEETS[by], [_counted_row(each) for each in counted]))
    thin_rows = [_thin_row(each, format) for each in sheets if each.is_thin]
    if thin_rows and format == "table":
        give("thin: under half of the worker's calendar hours, and no absence")
    if thin or (thin_rows and format == "table"):
        give(shape(THIN, thin_rows))
    (give if format == "table" else say)(COUNTS)


def _counted_row(each: "SheetsCounted") -> list[Any]:
    missing = " ".join(map(str, each.missing))
    return [each.key, each.expected, each.sheets_in, len(each.missing), missing]


def _thin_row(each: "Expected", format: str) -> list[Any]:
    hours = [hours_in_format(ms, format) for ms in (each.ms, each.calendar_ms)]
    return [each.week, each.worker_id, *hours]


COUNTS = "counts cover all sheets of the yard, whatever the job"
THIN = ("week", "worker_id", "hours", "calendar_hours")
SHEETS = {
    "week": ("week", "expected", "in", "missing", "missing_workers"),
    "worker": ("worker_id", "expected", "in", "missing", "missing_weeks"),
}


close = typer.Typer(help="Close a period.", no_args_is_help=True, rich_markup_mode=None)
reopen = typer.Typer(
    help="Reopen a period or a doubt.", no_args_is_help=True, rich_markup_mode=None
)
To = Annotated[str, typer.Option("--to", help="the last day of the period")]


@close.command("period")
def close_the_period(context: typer.Context, to: To) -> None:
    """Close the yard's period up to a day: its figures stay as now known.

    Says how the period stands: sheets, held lines, doubts, and hours paid beside hours booked.

    Example: fairhours close period --to 2026-03-31
    """
    from ledger.cli.wording.payroll import checklist_lines
    from ledger.commands.periods import close_period

    day = day_given(to, "--to")
    closed = close_period(to_write(context), day)
    say_all(checklist_lines(closed.checklist))
    say(f"closed to {closed.to}: its figures are those known at batch {closed.known_at}")


@reopen.command("period")
def reopen_the_period(
    context: typer.Context,
    to: To,
    reason: Reason,
    move_hours: MoveHours = False,
) -> None:
    """Reopen the last closed period: its figures are as now known until it is closed again.

    Example: fairhours reopen period --to 2026-03-31 --reason "a foreman's sheets were left out"
    """
    from ledger.cli.wording.endings import finished_lines
    from ledger.commands.periods import reopen_period

    day = day_given(to, "--to")
    done = reopen_period(to_write(context), day, reason, move_hours=move_hours)
    before = f"--known-at {done.was_known_at} shows it as it was closed"
    say_all([f"reopened to {done.to}; {before}", *finished_lines(done.finished)])


def periods(
    context: typer.Context,
    job: Annotated[
        str | None, typer.Option("--job", help="figures of this job; else hours of the yard")
    ] = None,
    in_: Annotated[str, typer.Option("--in", help="hours or cost, of a job")] = "hours",
    late: Annotated[bool, typer.Option("--late", help="list only late adjustments")] = False,
    format: Format = "table",
) -> None:
    """Show each period as closed, its own figures, and the late adjustments in them.

    Own is up to the period's end, less what was closed before. Late is the part of it that
    belongs to earlier periods and came in after they were closed.

    Example: fairhours periods --job FERRY
    """
    from ledger.commands.periods import periods as periods_known
    from ledger.commands.periods_as_json import periods_json
    from ledger.performance.report import UNIT

    chosen("--format", format, FORMATS)
    unit = chosen("--in", in_, ("hours", "cost")) if job else "hours"
    known = periods_known(to_read(context), job, unit)
    listed = known.periods
    if format == "json":
        give(to_json(periods_json(known)))
        return
    places = 4 if format == "csv" else 2
    shape = as_csv if format == "csv" else as_table
    facts = [_late_row(each, fact, places) for each in listed for fact in each.late_facts]
    if not late:
        rows = [row for each in listed for row in _rows(each, UNIT[unit], places)]
        give(shape(PERIOD, _adding_up(rows) if format == "table" else rows))
    if late or (facts and format == "table"):
        give(shape(LATE, facts))


def kept(context: typer.Context, format: Format = "table") -> None:
    """List entries, of closed periods or claimed, that stay though codes and rules would move them.

    Example: fairhours kept
    """
    from ledger.commands.periods import kept_entries

    chosen("--format", format, FORMATS)
    rows = kept_entries(to_read(context))
    for row in rows:
        row["hours"] = hours_in_format(row.pop("ms"), format)
    give_rows(format, KEPT, rows)


KEPT = ("entry", "day", "worker_id", "hours", "from_place", "to_place", "is_claimed")
PERIOD = ("period_to", "state", "record_stamp", "figure", "cumulative", "own", "late")
LATE = ("period_to", "kind", "job", "part", "day", "entry", "worker_id", "hours", "reason", "batch")


def _of(row: dict[str, Any], names: tuple[str, ...]) -> list[Any]:
    return [row[name] for name in names]


def _rows(period: "Period", per: int, places: int) -> list[list[Any]]:
    state = "closed" if period.closing else "open"
    stamp = period.closing.sequence if period.closing else None
    return [
        [period.last_day, state, stamp, name, *_amounts(period, name, per, places)]
        for name in period.cumulative
    ]


def _adding_up(rows: list[list[Any]]) -> list[list[Any]]:
    """Return the rows with each period's own figure as shown: cumulative less that before it."""
    before: dict[str, Any] = {}
    adjusted = []
    for *head, figure, cumulative, own, late in rows:
        if own is not None and figure in before:
            own = cumulative - before[figure]
        before[figure] = cumulative
        adjusted.append([*head, figure, cumulative, own, late])
    return adjusted


def _amounts(period: "Period", name: str, per: int, places: int) -> list[Any]:
    every = (period.cumulative[name], period.own[name], period.late[name])
    return [None if value is None else to_places(value, places, per) for value in every]


def _late_row(period: "Period", fact: dict[str, Any], places: int) -> list[Any]:
    hours = None if fact["ms"] is None else hours_of(fact["ms"], places)
    names = ("kind", "job", "part", "day", "entry", "worker_id")
    return [period.last_day, *_of(fact, names), hours, fact["reason"], fact["recorded_in"]]


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(close, name="close")
    app.add_typer(reopen, name="reopen")
    for command in (missing, periods, kept):
        app.command()(command)
