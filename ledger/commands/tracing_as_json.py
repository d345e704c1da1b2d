"""Traces for machines: hours of 4 places."""

from decimal import Decimal
from typing import Any

from ledger.commands.as_json import Json, known_at
from ledger.commands.tracing import EntryLife, FigureKnown
from ledger.domain.allocation import hours_of
from ledger.performance.tracing import FiguresOfEntry


def life_json(life: EntryLife, named: str, *, of_line: bool) -> Json:
    """Return the life of an entry or of a sheet line, named as it was asked for."""
    what = "line" if of_line else "entry"
    return {
        what: named,
        "life": [_in_hours(row) for row in life.rows],
        "figures": [figures_row(each) for each in life.figures],
        "known_at": known_at(life.stamp),
    }


def figures_row(each: FiguresOfEntry) -> Json:
    """Return the figures of an entry's time at one place; null of time that is in none."""
    figures = each.figures
    return {
        "job": each.job,
        "booked_to": each.place,
        "cause": each.cause,
        "rework": each.rework,
        "hours": hours_of(each.ms, 4),
        "status_date": each.status_date,
        "in_ac": None if figures is None else not each.not_approved,
        "step": figures and figures.step,
        "asked_by": figures and figures.asked_by,
        "borne_by": figures and figures.borne_by,
        "change": each.change,
        "daywork_sheets": each.daywork_sheets,
        "closed_to": each.closed_to,
    }


def figure_json(known: FigureKnown) -> Json:
    """Return a figure, what of it is worked, what is not, and the entries that are."""
    traced = known.traced
    return {
        "job": traced.job,
        "status_date": traced.status_date,
        "figure": traced.group,
        "name": traced.name,
        "hours": hours_of(traced.ms, 4),
        "worked_hours": hours_of(traced.worked_ms, 4),
        "not_worked": {what: hours_of(ms, 4) for what, ms in traced.not_worked.items()},
        "entries": [_in_hours(row) for row in traced.entries],
        "known_at": known_at(known.stamp),
        "closed_to": known.closed_to,
    }


def _in_hours(row: dict[str, Any]) -> Json:
    hours: Decimal | None = None if row["ms"] is None else hours_of(row["ms"], 4)
    return {**{name: row[name] for name in row if name != "ms"}, "hours": hours}
