"""Commands about weeks and periods: sheets missing, periods closed and reopened."""

from typing import Annotated, Any

import typer

from ledger.cli.context import Day, Format, chosen, day_of, reading
from ledger.cli.output import as_csv, as_table, give, to_json

FORMATS = ("table", "json", "csv")
MaybeJob = Annotated[
    str | None, typer.Option("--job", help="by the calendar of this job; else of all jobs")
]


def missing(
    context: typer.Context,
    job: MaybeJob = None,
    status_date: Day = None,
    by: Annotated[str, typer.Option(help="week or worker")] = "week",
    format: Format = "table",
) -> None:
    """Show which sheets are in and which are missing, by week or by worker.

    Example: fairhours missing --job FERRY --status-date 2026-05-31
    """
    from ledger.performance.sheets import by_week, by_worker, missing_sheets

    chosen("--format", format, FORMATS)
    chosen("--by", by, ("week", "worker"))
    code = job.strip().upper() if job else None
    with reading(context) as book:
        day, sheets = missing_sheets(book, code, day_of(status_date))
        stamp = book.stamp()
    weeks, workers = by_week(sheets), by_worker(sheets)
    if format == "json":
        counted = {"weeks": _listed("week", weeks), "workers": _listed("worker_id", workers)}
        known = {"sequence": stamp.sequence, "head": stamp.head}
        sums = {"sheets_in": sum(each.is_in for each in sheets), "sheets_expected": len(sheets)}
        give(to_json({"job": code, "status_date": day, **sums, **counted, "known_at": known}))
        return
    rows = [
        (
            each.key,
            each.expected,
            each.sheets_in,
            len(each.missing),
            " ".join(map(str, each.missing)),
        )
        for each in (weeks if by == "week" else workers)
    ]
    give((as_csv if format == "csv" else as_table)(SHEETS[by], rows))


SHEETS = {
    "week": ("week", "expected", "in", "missing", "missing_workers"),
    "worker": ("worker_id", "expected", "in", "missing", "missing_weeks"),
}


def _listed(key: str, counted: list[Any]) -> list[dict[str, Any]]:
    return [
        {
            key: each.key,
            "expected": each.expected,
            "in": each.sheets_in,
            "missing": each.missing,
        }
        for each in counted
    ]


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    for command in (missing,):
        app.command()(command)
