"""What each cell of a job will take: by the job's index, working days or its own estimate."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction

from ledger.baseline.job_baseline import Key
from ledger.baseline.postings import freeze_day, standard_rate
from ledger.domain.allocation import rounded
from ledger.domain.earned_value import last_rate
from ledger.domain.forecast import (
    FINISHED,
    LEVEL_OF_EFFORT,
    OWN_ESTIMATE,
    Efficiency,
    by_efficiency,
    by_own_estimate,
    by_working_days,
)
from ledger.domain.schedule import TimeFigures
from ledger.performance.basis import FOUR_WEEKS, Basis
from ledger.performance.cells import UNBUDGETED, Cell
from ledger.performance.grouping import NO_WORK
from ledger.performance.methods import Taken


def efficiency_of(basis: Basis, cells: Iterable[Cell]) -> Efficiency:
    """Return the sums of the cells without level of effort."""
    counted = [cell for cell in cells if not cell.level_of_effort]
    percent = basis.book.setting("measuring.forecast_threshold_percent", "15")
    return Efficiency(
        sum(cell.bac for cell in counted),
        sum(cell.ev for cell in counted),
        sum(cell.ac for cell in counted),
        Fraction(percent),
    )


class Forecasting:
    """The forecast of a job's cells, by the job's efficiency and its slip in time."""

    def __init__(self, basis: Basis, efficiency: Efficiency, time: TimeFigures) -> None:
        self.basis, self.efficiency, self.time = basis, efficiency, time

    def of(self, cells: dict[Key, Cell]) -> dict[Key, Cell]:
        """Return the cells with their forecasts, in the order they came."""
        done = {key: self._by_rule(cell) for key, cell in cells.items()}
        by_part: dict[str, list[Cell]] = {}
        for cell in done.values():
            by_part.setdefault(cell.part, []).append(cell)
        for part, of_part in by_part.items():
            done |= {cell.key: cell for cell in self._by_estimates(part, of_part)}
        return done

    def _by_rule(self, cell: Cell) -> Cell:
        part, own, taken = cell.as_part, cell.own, cell.taken
        if cell.kind in NO_WORK:
            forecast, own = cell.ac, cell.ac
        elif cell.level_of_effort:
            forecast = by_working_days(part, *self._effort_days(cell))
            taken = Taken(LEVEL_OF_EFFORT)
        else:
            forecast = by_efficiency(part, self.efficiency.factor)
            taken = Taken(self.efficiency.method) if cell.bac else UNBUDGETED
        if part.complete:
            unmeasured = cell.part if cell.bac and not cell.ev and not cell.level_of_effort else ""
            own, taken = cell.ac, Taken(FINISHED, unmeasured=unmeasured)
        return replace(cell, forecast=forecast, own=own, taken=taken)

    def _effort_days(self, cell: Cell) -> tuple[int, int]:
        """Return the working days still to come of a level of effort, and all that were planned.

        Each counts by its weight, as the plan does.
        """
        baseline, calendar = self.basis.baseline, self.basis.baseline.calendar
        if package := baseline.package(cell.part):
            start, finish = package["planned_start"], package["planned_finish"]
        else:  # Each trade of a change has dates of its own.
            facts = baseline.cells.get(cell.key)
            if facts is None or not facts.plan:
                return 0, 0
            start, finish = min(facts.plan), max(facts.plan)
        whole = sum(calendar.weights_of(start, finish))
        after = max(self.basis.day, start - timedelta(days=1))
        ending = calendar.weight_upto(finish, self.time.slip_days)
        left = ending - calendar.weight_upto(after)
        return max(0, left), whole

    def _by_estimates(self, part: str, cells: list[Cell]) -> list[Cell]:
        """Return the cells of a part with what its own estimates of the last four weeks say."""
        budgeted = [cell for cell in cells if cell.bac > 0]
        if budgeted and all(cell.as_part.complete for cell in budgeted):
            # Time of other trades on a part that is done.
            return [replace(cell, own=cell.forecast) for cell in cells]
        going_on = {cell.key: cell for cell in cells if not cell.as_part.complete}
        if part in NO_WORK:
            return []
        for trade, day, to_complete in self._estimates(part):
            chosen = [c for c in going_on.values() if trade is None or c.trade == trade]
            if chosen and self.basis.day - day <= FOUR_WEEKS:
                going_on |= {c.key: c for c in self._estimated(chosen, day, to_complete)}
        return list(going_on.values())

    def _estimates(self, part: str) -> list[tuple[str | None, date, int]]:
        """Return the latest estimate to complete of each trade that names one, oldest first."""
        latest: dict[str | None, tuple[date, int]] = {}
        for trade, measure in self.basis.baseline.measures.get(part, []):
            if measure.day <= self.basis.day and measure.estimate_to_complete_ms is not None:
                latest[trade] = (measure.day, measure.estimate_to_complete_ms)
        in_order = sorted(latest.items(), key=lambda each: each[1][0])
        return [(trade, day, to_complete) for trade, (day, to_complete) in in_order]

    def _estimated(self, cells: list[Cell], day: date, to_complete_ms: int) -> list[Cell]:
        rate = self._estimate_rate(cells)
        if rate is None:
            return []
        trades = [cell.trade for cell in cells]
        then = self.basis.actuals.of_trades(cells[0].part, trades, day)
        amount = rounded(to_complete_ms * rate)
        amounts = by_own_estimate([cell.as_part for cell in cells], then, amount)
        taken = Taken(OWN_ESTIMATE, day)
        return [
            replace(cell, forecast=forecast, own=forecast, taken=taken)
            for cell, forecast in zip(cells, amounts, strict=True)
        ]

    def _estimate_rate(self, cells: list[Cell]) -> Fraction | None:
        """Return what an hour of the cells' budget is worth in the unit, on the baseline shown.

        Of a budget taken out whole it is the rate last in force; without one the trade's standard
        rate on the day of the freeze, None when there is none.
        """
        scope, book = self.basis.scope, self.basis.book
        if scope.unit == "hours":
            return Fraction(1)
        known = self.basis.baseline.cells
        facts = [known[cell.key] for cell in cells if cell.key in known]
        every = [change for f in facts for change in f.changes]
        frozen = [change for f in facts for change in f.frozen] if scope.original else []
        for changes in (frozen, every):
            if (rate := last_rate(changes)) is not None:
                return rate
        standard = standard_rate(book, cells[0].trade, freeze_day(book, self.basis.job))
        return None if standard is None else Fraction(standard)
