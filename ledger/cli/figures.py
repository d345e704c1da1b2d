"""Commands that show figures: performance and overrun."""

from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Annotated, Any

import typer

from ledger.cli.context import Day, Format, Job, as_closed, chosen, day_of, reading
from ledger.cli.figures_tables import overrun_table, performance_table
from ledger.cli.output import FORMATS, give, known_at, say, to_json
from ledger.domain.allocation import hours_of, to_places
from ledger.domain.codes import code_of

Exact = Annotated[bool, typer.Option("--exact", help="add whole units and fractions (json)")]
DOUBTFUL = ("held", "untagged", "booked")


def performance(
    context: typer.Context,
    job: Job,
    status_date: Day = None,
    baseline: Annotated[str, typer.Option(help="current or original")] = "current",
    in_: Annotated[str, typer.Option("--in", help="hours or cost")] = "hours",
    by: Annotated[
        str, typer.Option("--by", help="job, control-account, work-package or trade")
    ] = "job",
    exact: Exact = False,
    format: Format = "table",
) -> None:
    """Show where a job stands and where it will end: earned value, forecasts, time.

    Example: fairhours performance --job FERRY --status-date 2026-05-31 --by trade
    """
    from ledger.performance.report import GROUPS, Asked, status_date_of
    from ledger.performance.report import performance as measured

    code, day = code_of(job), day_of(status_date)
    asked = Asked(
        code,
        day,
        chosen("--baseline", baseline, ("current", "original")),
        chosen("--in", in_, ("hours", "cost")),
        chosen("--by", by, GROUPS),
    )
    chosen("--format", format, FORMATS)
    with reading(context) as book:
        day = status_date_of(book, code, day)
        closed_to = as_closed(context, book, code, day)
        result = measured(book, replace(asked, status_date=day))
        stamp = book.stamp()
    if format == "json":
        give(to_json(_performance_json(result, stamp, exact) | {"closed_to": closed_to}))
    else:
        _say_closed(closed_to, stamp)
        performance_table(result, format)


def _say_closed(closed_to: date | None, stamp: Any) -> None:
    if closed_to is not None:
        say(
            f"closed to {closed_to}: as known then, record stamp {stamp.sequence}; "
            "`fairhours periods` lists what came late"
        )


def _figure(name: str, value: Any, per: int) -> Any:
    from ledger.performance.report import AMOUNTS

    if value is None:
        return None
    if name in AMOUNTS:
        return to_places(value, 4, per)
    return to_places(value, 4 if name == "percent_complete" else 6)


def _row_json(row: Any, unit: str, exact: bool) -> dict[str, Any]:
    from ledger.performance.report import ORDER, UNIT

    per = UNIT[unit]
    out: dict[str, Any] = {"key": row.key}
    out |= {name: _figure(name, row.figures[name], per) for name in ORDER}
    out["eac_method"], out["eac_method_reason"] = row.eac_method, row.eac_method_reason
    out["undefined"] = row.undefined
    if exact:
        out["exact"] = {
            name: _exact(name, value, unit)
            for name, value in row.figures.items()
            if value is not None
        }
    return out


def _exact(name: str, value: Any, unit: str) -> dict[str, int]:
    from ledger.performance.report import AMOUNTS, UNIT

    if name in AMOUNTS and unit == "hours" and Fraction(value).denominator == 1:
        return {"ms": int(value)}
    fraction = Fraction(value) / (UNIT[unit] if name in AMOUNTS else 1)
    return {"num": fraction.numerator, "den": fraction.denominator}


def _performance_json(result: Any, stamp: Any, exact: bool) -> dict[str, Any]:
    from ledger.performance.report import UNIT

    per = UNIT[result.asked.unit]
    final, booked = result.anticipated_final, result.job_booked
    return {
        "job": result.asked.job,
        "status_date": result.status_date,
        "baseline": result.asked.baseline,
        "in": result.asked.unit,
        "incomplete": _incomplete_json(result),
        "rows": [_row_json(row, result.asked.unit, exact) for row in result.rows],
        "outside": [_row_json(row, result.asked.unit, exact) for row in result.outside],
        "notes": result.notes,
        "job_booked": None if booked is None else to_places(booked, 4, per),
        "anticipated_final": None if final is None else to_places(final, 4, per),
        "time": _time_json(result),
        "undefined": result.undefined,
        "known_at": known_at(stamp),
    }


def _incomplete_json(result: Any) -> dict[str, Any]:
    told = result.completeness
    hours = {name: hours_of(getattr(told, f"{name}_ms"), 4) for name in DOUBTFUL}
    return {
        "is": bool(told.reasons),
        "reasons": told.reasons,
        "sheets_in": told.sheets_in,
        "sheets_expected": len(told.sheets),
        **{f"{name}_hours": value for name, value in hours.items()},
        "held_lines_without_hours": told.unread_lines,
        "newest_entry": told.newest.get("entry"),
        "newest_measurement": told.newest.get("measurement"),
        "thin_sheets": len(told.thin),
        "booked_since_measured": [
            {
                "package": each.package,
                "measured_on": each.measured_on,
                "hours": hours_of(each.ms, 4),
            }
            for each in told.unmeasured
        ],
        "cpi_with_missing": {
            key: None if cpi is None else to_places(cpi, 6)
            for key, cpi in result.cpi_with_missing.items()
        },
    }


def _time_json(result: Any) -> dict[str, Any]:
    time = result.time
    names = (
        "earned_schedule",
        "actual_time",
        "planned_duration",
        "sv_time",
        "spi_time",
        "forecast_duration",
    )
    figures = {name: getattr(time, name) for name in names}
    return {
        "period": "week",
        **{n: None if v is None else to_places(v, 6) for n, v in figures.items()},
        "forecast_finish": time.forecast_finish,
        "finished_on": time.finished_on,
        "days_granted": result.days_granted,
        "undefined": time.undefined,
    }


def overrun(
    context: typer.Context,
    job: Job,
    status_date: Day = None,
    in_: Annotated[str, typer.Option("--in", help="hours or cost")] = "hours",
    exact: Exact = False,
    format: Format = "table",
) -> None:
    """Explain step by step why the hours changed, who asked for it and who bears it.

    Example: fairhours overrun --job FERRY --status-date 2026-05-31
    """
    from ledger.performance.overrun import overrun as explained
    from ledger.performance.report import status_date_of

    chosen("--format", format, FORMATS)
    unit = chosen("--in", in_, ("hours", "cost"))
    code, given = code_of(job), day_of(status_date)
    with reading(context) as book:
        day = status_date_of(book, code, given)
        closed_to = as_closed(context, book, code, day)
        result = explained(book, code, day, unit)
        stamp = book.stamp()
    if format == "json":
        give(to_json(_overrun_json(result, stamp, exact) | {"closed_to": closed_to}))
    else:
        _say_closed(closed_to, stamp)
        overrun_table(result, format)


def _overrun_json(result: Any, stamp: Any, exact: bool) -> dict[str, Any]:
    from ledger.performance.report import COSTED, UNIT

    per = UNIT[result.unit]
    rows = []
    for name, amount in result.steps.amounts.items():
        row: dict[str, Any] = {"step": name, "amount": to_places(amount, 4, per)}
        for part in ("to_date", "to_come"):
            split = getattr(result.steps, part)
            if name in split:
                row[part] = to_places(split[name], 4, per)
        if exact:
            row["exact"] = _exact("bac", amount, result.unit)
        rows.append(row)
    return {
        "job": result.job,
        "status_date": result.status_date,
        "in": result.unit,
        "steps": rows,
        "asked_by": {k: to_places(v, 4, per) for k, v in result.asked_by.items()},
        "asked_by_changes": {k: to_places(v, 4, per) for k, v in result.asked_by_changes.items()},
        "borne_by": {k: to_places(v, 4, per) for k, v in result.borne_by.items()},
        "notes": [COSTED] if result.unit == "cost" else [],
        "known_at": known_at(stamp),
    }


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    for command in (performance, overrun):
        app.command()(command)
