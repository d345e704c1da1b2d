"""Measures of a job at grain package x trade, in hours or in cost, on either baseline."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from ledger.baseline.job_baseline import LOE, TAKEN_OUT, CellFacts, JobBaseline, Key
from ledger.baseline.postings import freeze_day, standard_rate
from ledger.domain.allocation import rounded
from ledger.domain.earned_value import Measurement, is_finished, last_rate
from ledger.domain.forecast import (
    AS_BOOKED,
    FINISHED,
    LEVEL_OF_EFFORT,
    OWN_ESTIMATE,
    Efficiency,
    Part,
    by_efficiency,
    by_own_estimate,
    by_working_days,
)
from ledger.domain.measures import Outlook, Recent, Row, Sums, total
from ledger.domain.schedule import TimeFigures, time_figures
from ledger.performance.actuals import NON_PRODUCTIVE, UNTAGGED, Actuals, CellActual
from ledger.performance.methods import Taken
from ledger.store.book import Book

FOUR_WEEKS = timedelta(days=28)
UNBUDGETED = Taken(AS_BOOKED)
MEASURED_KINDS = frozenset({"work", "planning", "undistributed", "variation"})


@dataclass
class Cell:
    """One package, variation or other place and one trade, measured: whole units."""

    part: str
    trade: str | None
    kind: str
    control_account: str
    level_of_effort: bool = False
    finished: bool = False
    bac: int = 0
    pv: int = 0
    ev: int = 0
    ac: int = 0
    rework: int = 0
    original: int = 0
    approved: int = 0
    omitted: int = 0
    recent_ev: int = 0
    recent_ac: int = 0
    forecast: int = 0
    own: int | None = None
    taken: Taken = UNBUDGETED

    @property
    def as_part(self) -> Part:
        return Part(self.bac, self.ev, self.ac, self.finished, self.level_of_effort)

    @property
    def sums(self) -> Sums:
        return Sums(self.bac, self.pv, self.ev, self.ac)


@dataclass(frozen=True)
class Scope:
    """What is measured: the day, hours or cost, the current or the original baseline."""

    status_date: date
    unit: str = "hours"
    original: bool = False
    # On an owner's page: of changes that are not approved, prices of submitted revisions alone.
    offered_only: bool = False


class Measured:
    """A job measured: its cells with forecasts, its time figures, and what stands outside."""

    def __init__(self, book: Book, job: str, scope: Scope) -> None:
        self.book, self.job, self.scope = book, job, scope
        self.day = scope.status_date
        self.baseline = JobBaseline(book, job, self.day)
        self.actuals = Actuals(book, job, self.day, scope.unit)
        self.states = {
            code: change.state(self.day) for code, change in self.baseline.changes.items()
        }
        self.undefined_cost = self._why_no_cost() if scope.unit == "cost" else None
        self.cells: dict[Key, Cell] = {}
        self.contingency = 0
        self.contingency_original = 0
        self.contingency_omitted = 0
        if self.undefined_cost is None:
            self._measure()
        self.time = self._time()
        if self.undefined_cost is None:
            self._forecast()

    # -- amounts -----------------------------------------------------------------------------

    def amount(self, ms: int, cost: int | None) -> int:
        """Return ms or cost units, as the scope asks."""
        if self.scope.unit == "hours":
            return ms
        assert cost is not None
        return cost

    def _why_no_cost(self) -> str | None:
        if self.actuals.missing_rate:
            return f"{self.actuals.missing_rate}; load its rate"
        for (part, trade), facts in sorted(self.baseline.cells.items(), key=str):
            priced = [change.cost for change in facts.changes]
            if total(priced) is None and facts.package_kind != "reserve":
                return f"the budget of {part}, {trade} has no rate; load the rate of {trade}"
        for code in self.all_outside:
            for trade in self._added_ms(code):
                if standard_rate(self.book, trade, self.day) is None:
                    return f"{trade} of change {code} has no rate on {self.day}; load its rate"
        return None

    # -- cells -------------------------------------------------------------------------------

    def is_variation(self, part: str) -> bool:
        """Return whether a part is an approved change."""
        return part in self.states and self.states[part].approved

    def is_outside(self, part: str) -> bool:
        """Return whether a part is a change that is not approved."""
        return part in self.baseline.changes and not self.states[part].approved

    def left_out(self, part: str) -> bool:
        """Return whether a part has no place in the job's row."""
        return self.is_outside(part) or (self.scope.original and self.is_variation(part))

    def _measure(self) -> None:
        for facts in self.baseline.cells.values():
            if facts.package_kind == "contingency":
                self._measure_contingency(facts)
            elif facts.package_kind in MEASURED_KINDS and not self.left_out(facts.part):
                self._measure_cell(facts)
        for row in self.actuals.by_cell(*self.recent_span):
            if not self.left_out(row.part):
                self._add_actual(row)

    def _measure_contingency(self, facts: CellFacts) -> None:
        left = sum(self.amount(c.ms, c.cost) for c in facts.changes)
        self.contingency += left
        self.contingency_original += sum(self.amount(c.ms, c.cost) for c in facts.frozen)
        taken = facts.of_sources(TAKEN_OUT, self.day)
        self.contingency_omitted -= sum(self.amount(c.ms, c.cost) for c in taken)

    def _cell(self, part: str, trade: str | None, kind: str) -> Cell:
        key = (part, trade)
        if key not in self.cells:
            package = self.baseline.package(part)
            account = package["control_account"] if package else kind
            if kind == "variation":
                account = "changes"
            loe = kind in {"work", "variation"} and self.baseline.technique(part) == LOE
            cell = Cell(part, trade, kind, account, loe)
            measures = self.baseline.measures_of(part, trade)
            cell.finished = self._is_finished(part, measures)
            self.cells[key] = cell
        return self.cells[key]

    def _is_finished(self, part: str, measures: list[Measurement]) -> bool:
        if part in self.states and (
            self.states[part].complete or self.states[part].stopped_on is not None
        ):
            return True
        return is_finished(measures, self.day)

    def _measure_cell(self, facts: CellFacts) -> None:
        original = self.scope.original
        if original and not facts.frozen:
            return
        cell = self._cell(facts.part, facts.trade, facts.package_kind)
        now = self.baseline.earned(facts, self.day, original=original)
        cell.bac = self.amount(now.budget_ms, now.budget_cost)
        cell.ev = self.amount(now.earned_ms, now.earned_cost)
        cell.pv = self.amount(*self.baseline.planned(facts, self.day, original=original))
        first, last = self.recent_span
        cell.recent_ev = self._earned_by(facts, last) - self._earned_by(facts, first)
        cell.original = sum(self.amount(c.ms, c.cost) for c in facts.frozen)
        if not original:
            approved = facts.of_sources(frozenset({"approval"}), self.day)
            omitted = facts.of_sources(TAKEN_OUT, self.day)
            cell.approved = sum(self.amount(c.ms, c.cost) for c in approved)
            cell.omitted = -sum(self.amount(c.ms, c.cost) for c in omitted)

    def _earned_by(self, facts: CellFacts, day: date) -> int:
        then = self.baseline.earned(facts, day, original=self.scope.original)
        return self.amount(then.earned_ms, then.earned_cost)

    @property
    def recent_span(self) -> tuple[date, date]:
        """Return the week end before the last four week ends by the status date, and the last."""
        calendar = self.baseline.calendar
        end = calendar.week_end(self.day)
        last = end if end == self.day else end - timedelta(days=7)
        return last - FOUR_WEEKS, last

    def _add_actual(self, row: CellActual) -> None:
        if row.part in {NON_PRODUCTIVE, UNTAGGED}:
            kind = row.part
        else:
            kind = "variation" if self.is_variation(row.part) else "work"
        cell = self._cell(row.part, row.trade, kind)
        cell.ac = row.amount
        cell.rework = row.rework if kind in {"work", "variation"} else 0
        cell.recent_ac = row.recent

    # -- forecast ----------------------------------------------------------------------------

    def _time(self) -> TimeFigures:
        plan: dict[date, int] = defaultdict(int)
        earned = 0
        original = self.scope.original
        for facts in self.baseline.cells.values():
            measured = facts.package_kind in MEASURED_KINDS and not self.left_out(facts.part)
            if not measured or self._is_level_of_effort(facts):
                continue
            chosen = facts.original_plan if original else facts.plan
            for day, (ms, cost) in chosen.items():
                plan[day] += self._time_amount(ms, cost)
            now = self.baseline.earned(facts, self.day, original=original)
            earned += self._time_amount(now.earned_ms, now.earned_cost)
        finished_on = self._finished_on()
        return time_figures(plan, earned, self.baseline.calendar, self.day, finished_on)

    def _finished_on(self) -> date | None:
        """Return the last measured day of a job whose measured parts are all complete, else None.

        Level of effort, which is not measured, is left out as it is of all time figures.
        """
        days: list[date] = []
        for facts in self.baseline.cells.values():
            measured = facts.package_kind in MEASURED_KINDS and not self.left_out(facts.part)
            if not measured or self._is_level_of_effort(facts):
                continue
            now = self.baseline.earned(facts, self.day, original=self.scope.original)
            if now.budget_ms <= 0:
                continue
            measures = self.baseline.measures_of(facts.part, facts.trade)
            if now.earned_ms < now.budget_ms and not self._is_finished(facts.part, measures):
                return None
            days += [measure.day for measure in measures if measure.day <= self.day]
        return max(days, default=None)

    def _time_amount(self, ms: int, cost: int | None) -> int:
        """Return the amount time is measured in; in hours while cost is not defined."""
        return ms if self.undefined_cost else self.amount(ms, cost)

    def _is_level_of_effort(self, facts: CellFacts) -> bool:
        of_work = facts.package_kind in {"work", "variation"}
        return of_work and self.baseline.technique(facts.part) == LOE

    @property
    def efficiency(self) -> Efficiency:
        """Return the job's sums without level of effort."""
        cells = [cell for cell in self.cells.values() if not cell.level_of_effort]
        percent = self.book.setting("measuring.forecast_threshold_percent", "15")
        return Efficiency(
            sum(cell.bac for cell in cells),
            sum(cell.ev for cell in cells),
            sum(cell.ac for cell in cells),
            Fraction(percent),
        )

    def _forecast(self) -> None:
        efficiency = self.efficiency
        for cell in self.cells.values():
            if cell.kind in {NON_PRODUCTIVE, UNTAGGED}:
                cell.forecast = cell.own = cell.ac
            elif cell.level_of_effort:
                cell.forecast = by_working_days(cell.as_part, *self._effort_days(cell))
                cell.taken = Taken(LEVEL_OF_EFFORT)
            else:
                cell.forecast = by_efficiency(cell.as_part, efficiency.factor)
                cell.taken = Taken(efficiency.method) if cell.bac else UNBUDGETED
            if cell.as_part.complete:
                cell.own, cell.taken = cell.ac, Taken(FINISHED)
        for part in sorted({cell.part for cell in self.cells.values()}):
            self._own_estimates(part)

    def _effort_days(self, cell: Cell) -> tuple[int, int]:
        """Return the working days still to come of a level of effort, and all that were planned."""
        package, calendar = self.baseline.package(cell.part), self.baseline.calendar
        if package:
            start, finish = package["planned_start"], package["planned_finish"]
        else:  # Each trade of a change has dates of its own.
            facts = self.baseline.cells.get((cell.part, cell.trade))
            if facts is None or not facts.plan:
                return 0, 0
            start, finish = min(facts.plan), max(facts.plan)
        whole = len(calendar.working(start, finish))
        after = max(self.day, start - timedelta(days=1))
        left = calendar.upto(finish) + self.time.slip_days - calendar.upto(after)
        return max(0, left), whole

    def _own_estimates(self, part: str) -> None:
        every = [c for c in self.cells.values() if c.part == part]
        budgeted = [c for c in every if c.bac > 0]
        if budgeted and all(c.as_part.complete for c in budgeted):
            for cell in every:  # Time of other trades on a part that is done.
                cell.own = cell.forecast
            return
        cells = [c for c in every if not c.as_part.complete]
        if not cells or cells[0].kind in {NON_PRODUCTIVE, UNTAGGED}:
            return
        latest: dict[str | None, tuple[date, int]] = {}
        for trade, measure in self.baseline.measures.get(part, []):
            if measure.day <= self.day and measure.estimate_to_complete_ms is not None:
                latest[trade] = (measure.day, measure.estimate_to_complete_ms)
        for trade, (day, to_complete) in sorted(latest.items(), key=lambda each: each[1][0]):
            chosen = [c for c in cells if trade is None or c.trade == trade]
            if chosen and self.day - day <= FOUR_WEEKS:
                self._apply_own(chosen, day, to_complete)

    def _apply_own(self, cells: list[Cell], day: date, to_complete_ms: int) -> None:
        then = self.actuals.of_trades(cells[0].part, [cell.trade for cell in cells], day)
        rate = self._estimate_rate(cells)
        if rate is None:
            return
        amount = rounded(to_complete_ms * rate)
        forecasts = by_own_estimate([cell.as_part for cell in cells], then, amount)
        for cell, forecast in zip(cells, forecasts, strict=True):
            cell.forecast = cell.own = forecast
            cell.taken = Taken(OWN_ESTIMATE, day)

    def _estimate_rate(self, cells: list[Cell]) -> Fraction | None:
        """Return what an hour of the cells' budget is worth in the unit, on the baseline shown.

        Of a budget taken out whole it is the rate last in force; without one the trade's standard
        rate on the day of the freeze, None when there is none.
        """
        if self.scope.unit == "hours":
            return Fraction(1)
        keys = [(cell.part, cell.trade) for cell in cells]
        facts = [self.baseline.cells[key] for key in keys if key in self.baseline.cells]
        every = [change for f in facts for change in f.changes]
        frozen = [change for f in facts for change in f.frozen] if self.scope.original else []
        for changes in (frozen, every):
            if (rate := last_rate(changes)) is not None:
                return rate
        day = freeze_day(self.book, self.job)
        found = standard_rate(self.book, cells[0].trade, day)
        return None if found is None else Fraction(found)

    # -- rows --------------------------------------------------------------------------------

    def row(self, cells: list[Cell]) -> Row:
        """Return the figures of some cells as one row."""
        measured = [cell for cell in cells if not cell.level_of_effort]
        own = total([cell.own for cell in cells])
        return Row(
            _sum(cells),
            _sum(measured),
            Recent(sum(c.recent_ev for c in cells), sum(c.recent_ac for c in cells)),
            Outlook(sum(c.forecast for c in cells), own),
        )

    @property
    def unapproved(self) -> list[str]:
        """Return the codes of the changes that are requested by the day and not approved."""
        return [
            code
            for code, change in self.baseline.changes.items()
            if not self.states[code].approved and change.facts["requested_on"] <= self.day
        ]

    def outside(self, code: str) -> tuple[int, int, int]:
        """Return added budget, AC and forecast of a change that is not approved."""
        actual = self.actuals.of_part(code)
        state = self.states[code]
        if state.instruction == "none":
            return 0, actual, actual
        added = self._added(code)
        return added, actual, actual if state.instruction == "stopped" else max(added, actual)

    def _added_ms(self, code: str) -> dict[str, int]:
        """Return by trade the hours that the latest price of an instructed change adds."""
        state, change = self.states[code], self.baseline.changes[code]
        if state.instruction == "none":
            return {}
        offered = self.scope.offered_only
        return change.added_ms(
            state.submitted_revision if offered else change.latest_revision(self.day)
        )

    def _added(self, code: str) -> int:
        added = self._added_ms(code)
        if self.scope.unit == "hours":
            return sum(added.values())
        rates = {trade: standard_rate(self.book, trade, self.day) for trade in added}
        return sum(ms * (rates[trade] or 0) for trade, ms in added.items())  # All have one.

    @property
    def eac(self) -> int:
        """Return the forecasts of packages and variations + non-productive + untagged."""
        return sum(cell.forecast for cell in self.cells.values())

    @property
    def anticipated_final(self) -> int:
        """Return eac on the current baseline + contingency left + changes not approved."""
        outside = sum(self.outside(code)[2] for code in self.all_outside)
        return self.eac + self.contingency + outside

    @property
    def all_outside(self) -> list[str]:
        """Return every change not approved that was requested or has time booked."""
        booked = {part for part in self.actuals.parts if self.is_outside(part)}
        wanted = set(self.unapproved) | booked
        return sorted(wanted)


def _sum(cells: list[Cell]) -> Sums:
    return Sums(
        sum(c.bac for c in cells),
        sum(c.pv for c in cells),
        sum(c.ev for c in cells),
        sum(c.ac for c in cells),
    )
