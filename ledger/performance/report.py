"""The performance of a job, ready to print: rows, what stands outside, time, incomplete mark."""

from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction

from ledger.baseline.job_baseline import Key
from ledger.domain.measures import Figure, RowFigures
from ledger.domain.schedule import TimeFigures
from ledger.jobs.jobs import job_card
from ledger.outcomes import Outcome, Reason, because
from ledger.performance.basis import Scope
from ledger.performance.cells import Cell
from ledger.performance.completeness import Completeness, completeness, missing_amounts
from ledger.performance.forecast_range import ForecastRange, forecast_range
from ledger.performance.grouping import in_order, key_of, last_rows
from ledger.performance.measure import Measured, row_of
from ledger.performance.methods import SEVERAL, Method, methods_of
from ledger.performance.outside import OutsideRow, outside_rows
from ledger.performance.status_dates import default_status_date
from ledger.performance.time_outlook import TimeOutlook, time_outlook
from ledger.store.book import Book

UNIT = {"hours": 3_600_000, "cost": 36_000_000_000}
COSTED = because("changes_costed")
AMOUNTS = frozenset(
    {
        *("bac", "pv", "ev", "ac", "sv", "cv", "eac", "etc", "vac"),
        *("eac_budget_rate", "eac_cpi", "eac_cpi_spi", "eac_weighted", "eac_recent"),
        "eac_own_estimate",
    }
)
ORDER = (
    *("bac", "pv", "ev", "ac", "sv", "cv", "spi", "cpi", "percent_complete"),
    *("eac_budget_rate", "eac_cpi", "eac_cpi_spi", "eac_weighted", "eac_recent"),
    *("eac_own_estimate", "eac", "etc", "vac", "tcpi_bac", "tcpi_eac"),
    *("cpi_measured", "spi_measured"),
)


@dataclass(frozen=True)
class PerformanceAsked:
    """What to show: job, day (None: the newest measured week end), baseline, unit and rows."""

    job: str
    status_date: date | None = None
    baseline: str = "current"
    unit: str = "hours"
    by: str = "job"


@dataclass
class PerformanceRow:
    """One row: its key, its figures in whole units or ratios, and why some are not defined.

    `methods` are those by which its parts are forecast.
    """

    key: str
    figures: dict[str, Figure]
    undefined: dict[str, Reason] = field(default_factory=dict)
    methods: tuple[Method, ...] = ()

    @property
    def eac_method(self) -> str | None:
        """Return the method of the row's EAC, `several` when its parts have more than one."""
        names = {method.name for method in self.methods}
        return SEVERAL if len(names) > 1 else min(names, default=None)


@dataclass
class Performance:
    """Everything `fairhours performance` says."""

    asked: PerformanceAsked
    status_date: date
    rows: list[PerformanceRow]
    outside: list[PerformanceRow]
    anticipated_final: int | None
    time: TimeFigures
    outlook: TimeOutlook
    forecast: ForecastRange | None
    completeness: Completeness
    cpi_with_missing: dict[str, Fraction | None]
    undefined: dict[str, Reason]
    job_booked: int | None

    @property
    def incomplete(self) -> list[Outcome]:
        return self.completeness.reasons

    @property
    def notes(self) -> list[Reason]:
        """Return what is said beside the figures: how changes are costed."""
        return [COSTED] if self.asked.unit == "cost" else []


def performance(book: Book, asked: PerformanceAsked) -> Performance:
    """Return the performance of a job.

    Raises: Refused when there is no such job, or nothing to tell a status date from.
    """
    job_card(book, asked.job)
    day = asked.status_date or default_status_date(book, asked.job)
    scope = Scope(day, asked.unit, asked.baseline == "original")
    return performance_of(Measured(book, asked.job, scope), asked)


def performance_of(measured: Measured, asked: PerformanceAsked) -> Performance:
    """Return the performance of a job that was measured in the scope asked for."""
    day, why = measured.day, measured.undefined_cost
    complete = completeness(measured.book, measured)
    return Performance(
        asked,
        day,
        [_undefined_row(asked, why)] if why else _rows(measured, asked.by),
        [] if why else [_outside_row(row) for row in outside_rows(measured)],
        None if why else _current(measured).anticipated_final,
        measured.time,
        time_outlook(measured, _in_hours(measured)),
        forecast_range(measured),
        complete,
        {} if why else _with_missing(measured, asked.by, missing_amounts(measured, complete)),
        {"anticipated_final": why} if why else {},
        None if why else measured.actuals.total,
    )


def _current(measured: Measured) -> Measured:
    """Return the job on its current baseline, which an anticipated final is always of."""
    if not measured.scope.original:
        return measured
    return Measured(measured.book, measured.job, Scope(measured.day, measured.scope.unit))


def _in_hours(measured: Measured) -> Measured:
    """Return the job in hours, which key dates are always in."""
    if measured.scope.unit == "hours":
        return measured
    scope = replace(measured.scope, unit="hours")
    return Measured(measured.book, measured.job, scope)


def _undefined_row(asked: PerformanceAsked, why: Reason) -> PerformanceRow:
    key = asked.job if asked.by == "job" else "all"
    undefined = dict.fromkeys((*ORDER, "eac_method", "eac_method_reason"), why)
    return PerformanceRow(key, dict.fromkeys(ORDER), undefined)


def _rows(measured: Measured, by: str) -> list[PerformanceRow]:
    efficiency = measured.efficiency
    return [
        _as_row(key, row_of(cells), methods_of((cell.taken for cell in cells), efficiency))
        for key, cells in _groups(measured, by)
    ]


def _with_missing(
    measured: Measured, by: str, added: dict[Key, Fraction]
) -> dict[str, Fraction | None]:
    """Return CPI by row with missing sheets at each worker's four-week mean."""
    cpi: dict[str, Fraction | None] = {}
    for key, cells in _groups(measured, by):
        actual = sum(cell.ac + added.get((cell.part, cell.trade), 0) for cell in cells)
        has_budget = sum(cell.bac for cell in cells) and actual
        earned = sum(cell.ev for cell in cells)
        cpi[key] = Fraction(earned) / actual if has_budget else None
    return cpi


def _groups(measured: Measured, by: str) -> list[tuple[str, list[Cell]]]:
    groups: dict[str, list[Cell]] = {}
    if by == "job":
        groups[measured.job] = list(measured.cells.values())
    else:
        for cell in sorted(measured.cells.values(), key=lambda c: (c.part, c.trade or "")):
            groups.setdefault(key_of(cell, by), []).append(cell)
        groups |= {key: groups.get(key, []) for key in last_rows(measured)}
    return [(key, groups[key]) for key in in_order(groups)]


def _as_row(key: str, row: RowFigures, methods: tuple[Method, ...]) -> PerformanceRow:
    return PerformanceRow(key, row.figures, row.undefined, methods)


def _outside_row(row: OutsideRow) -> PerformanceRow:
    figures: dict[str, Figure] = dict.fromkeys(ORDER)
    figures |= {"bac": row.budget, "ac": row.actual, "eac": row.forecast}
    figures |= {"etc": row.forecast - row.actual, "vac": row.budget - row.forecast}
    undefined = {name: row.why for name in ORDER if figures[name] is None}
    return PerformanceRow(row.key, figures, undefined, row.methods)
