"""Sheets missing and periods for machines: hours and money of 4 places, each rounded by itself."""

from typing import Any

from ledger.commands.as_json import Json, known_at
from ledger.commands.periods import PeriodFigures, SheetsExpected
from ledger.domain.allocation import hours_of, to_places
from ledger.performance.periods import Figures, Period
from ledger.performance.report import UNIT
from ledger.performance.sheets import Expected, SheetsCounted, by_week, by_worker


def missing_json(known: SheetsExpected, *, counts: str) -> Json:
    """Return which sheets are in, missing or thin; `counts` says what is counted."""
    sheets = known.sheets
    return {
        "job": known.job,
        "status_date": known.day,
        "counts": counts,
        "sheets_in": sum(each.is_in for each in sheets),
        "sheets_expected": len(sheets),
        "weeks": _listed("week", by_week(sheets)),
        "workers": _listed("worker_id", by_worker(sheets)),
        "thin": [_thin(each) for each in sheets if each.is_thin],
        "known_at": known_at(known.stamp),
    }


def _listed(key: str, counted: list[SheetsCounted]) -> list[Json]:
    return [
        {
            key: each.key,
            "expected": each.expected,
            "in": each.sheets_in,
            "missing": each.missing,
        }
        for each in counted
    ]


def _thin(each: Expected) -> Json:
    return {
        "week": each.week,
        "worker_id": each.worker_id,
        "hours": hours_of(each.ms, 4),
        "calendar_hours": hours_of(each.calendar_ms, 4),
    }


def periods_json(known: PeriodFigures) -> Json:
    """Return each period's own figures and the late adjustments in them."""
    return {
        "job": known.job,
        "in": known.unit,
        "periods": [_period(each, UNIT[known.unit]) for each in known.periods],
        "known_at": known_at(known.stamp),
    }


def _period(period: Period, per: int) -> Json:
    closing = period.closing
    return {
        "period_to": period.last_day,
        "closed": closing is not None,
        "known_at": closing and closing.sequence,
        "closed_by": closing and closing.actor,
        "closed_at": closing and closing.recorded_at,
        "cumulative": _amounts(period, period.cumulative, per),
        "own": _amounts(period, period.own, per),
        "late": _amounts(period, period.late, per),
        "late_adjustments": [_late(fact) for fact in period.late_facts],
    }


def _amounts(period: Period, figures: Figures, per: int) -> Json:
    cumulative = {name: figures[name] for name in period.cumulative}
    return {
        n: None if value is None else to_places(value, 4, per) for n, value in cumulative.items()
    }


def _late(fact: dict[str, Any]) -> Json:
    ms = fact["ms"]
    return {
        **{name: fact[name] for name in ("kind", "job", "part", "day", "entry", "worker_id")},
        "hours": None if ms is None else hours_of(ms, 4),
        "reason": fact["reason"],
        "batch": fact["recorded_in"],
    }
