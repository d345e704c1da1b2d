"""Measures of a job at grain package x trade, in hours or in cost, on either baseline."""

from dataclasses import replace
from datetime import date
from functools import cached_property

from ledger.baseline.job_baseline import Key
from ledger.baseline.postings import standard_rate
from ledger.domain.forecast import Efficiency
from ledger.domain.measures import Outlook, Recent, RowFigures, RowSums, total
from ledger.domain.schedule import TimeFigures
from ledger.outcomes import Reason, because
from ledger.performance.basis import Basis
from ledger.performance.cells import Cell, Contingency, contingency_of, measured_cells
from ledger.performance.forecasts import Forecasting, efficiency_of
from ledger.performance.job_time import job_time
from ledger.performance.unapproved import Unapproved


class Measured(Basis):
    """A job measured: its cells with forecasts, its time figures, and what stands outside.

    Each is worked out when first asked for. Where cost is not defined there are no cells.
    """

    @cached_property
    def undefined_cost(self) -> Reason | None:
        """Return why cost is not defined and what to do about it; None when it is, or not asked."""
        return why_no_cost(self, self.unapproved) if self.scope.unit == "cost" else None

    @cached_property
    def cells(self) -> dict[Key, Cell]:
        """Return the cells of the job's row with their forecasts."""
        return Forecasting(self, self.efficiency, self.time).of(self._unforecast)

    @cached_property
    def _unforecast(self) -> dict[Key, Cell]:
        return {} if self.undefined_cost else measured_cells(self)

    @cached_property
    def efficiency(self) -> Efficiency:
        """Return the job's sums without level of effort."""
        return efficiency_of(self, self._unforecast.values())

    @cached_property
    def time(self) -> TimeFigures:
        """Return where the job stands in time; in hours while cost is not defined."""
        return job_time(self, in_hours=bool(self.undefined_cost))

    @cached_property
    def contingency(self) -> Contingency:
        """Return what was set aside for what was not foreseen."""
        return Contingency() if self.undefined_cost else contingency_of(self)

    @property
    def unapproved(self) -> Unapproved:
        """Return the changes that are not approved."""
        return Unapproved(self)

    def on(self, day: date) -> "Measured":
        """Return the job measured on an earlier day; what is alike then is not read again."""
        assert day <= self.day
        assert self.scope.every == "day"
        scope = replace(self.scope, status_date=day)
        earlier = Measured(self.book, self.job, scope, self.baseline.counted_by(day))
        earlier.actuals = self.actuals.until(day)
        return earlier

    @property
    def eac(self) -> int:
        """Return the forecasts of packages and variations + non-productive + untagged."""
        return sum(cell.forecast for cell in self.cells.values())

    @property
    def anticipated_final(self) -> int:
        """Return eac on the current baseline + contingency left + changes not approved."""
        outside = sum(self.unapproved.amounts(code)[2] for code in self.unapproved.codes)
        return self.eac + self.contingency.left + outside


def why_no_cost(basis: Basis, unapproved: Unapproved) -> Reason | None:
    """Return why the cost of a job is not defined; None when it is."""
    if basis.actuals.missing_rate:
        return basis.actuals.missing_rate
    for (part, trade), facts in sorted(basis.baseline.cells.items(), key=str):
        priced = [change.cost for change in facts.changes]
        if total(priced) is None and facts.package_kind != "reserve":
            return because("budget_without_rate", part=part, trade=trade)
    for code in unapproved.codes:
        for trade in unapproved.added_ms(code):
            if standard_rate(basis.book, trade, basis.day) is None:
                return because("change_without_rate", trade=trade, change=code, day=basis.day)
    return None


def row_of(cells: list[Cell]) -> RowFigures:
    """Return the figures of some cells as one row."""
    return RowFigures(
        _sums(cells),
        _sums([cell for cell in cells if not cell.level_of_effort]),
        _recent(cells),
        Outlook(sum(c.forecast for c in cells), total([c.own for c in cells])),
    )


def _recent(cells: list[Cell]) -> Recent:
    """Return what was gained of late: rows of level of effort alone are measured by time."""
    by_work = [cell for cell in cells if cell.bac and not cell.level_of_effort]
    measured = not by_work or any(cell.recently_measured for cell in by_work)
    return Recent(sum(c.recent_ev for c in cells), sum(c.recent_ac for c in cells), measured)


def _sums(cells: list[Cell]) -> RowSums:
    return RowSums(
        sum(c.bac for c in cells),
        sum(c.pv for c in cells),
        sum(c.ev for c in cells),
        sum(c.ac for c in cells),
    )
