"""The cells of a job: budget, planned, earned and actual of each part and trade."""

from dataclasses import dataclass, replace
from datetime import date

from ledger.baseline.job_baseline import TAKEN_OUT, CellFacts, Key
from ledger.domain.forecast import AS_BOOKED, ForecastPart
from ledger.domain.measures import RowSums
from ledger.performance.actuals import CellActual, by_cell
from ledger.performance.basis import Basis
from ledger.performance.grouping import NO_WORK, kind_of, place_of
from ledger.performance.methods import Taken

UNBUDGETED = Taken(AS_BOOKED)


@dataclass(frozen=True)
class Cell:
    """One package, variation or other place and one trade, measured: whole units.

    `forecast`, `own` and `taken` are nothing yet until the cell was forecast.
    """

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
    recently_measured: bool = False
    forecast: int = 0
    own: int | None = None
    taken: Taken = UNBUDGETED

    @property
    def key(self) -> Key:
        return self.part, self.trade

    @property
    def as_part(self) -> ForecastPart:
        return ForecastPart(self.bac, self.ev, self.ac, self.finished, self.level_of_effort)

    @property
    def sums(self) -> RowSums:
        return RowSums(self.bac, self.pv, self.ev, self.ac)


@dataclass(frozen=True)
class Contingency:
    """What was set aside: left now, at the start, and taken out by changes; whole units."""

    left: int = 0
    original: int = 0
    omitted: int = 0


def contingency_of(basis: Basis) -> Contingency:
    """Return the contingency of a job."""
    every = basis.set_aside
    return Contingency(
        sum(basis.amount(c.ms, c.cost) for facts in every for c in facts.changes),
        sum(basis.amount(c.ms, c.cost) for facts in every for c in facts.frozen),
        -sum(
            basis.amount(c.ms, c.cost)
            for facts in every
            for c in facts.of_sources(TAKEN_OUT, basis.day)
        ),
    )


def measured_cells(basis: Basis) -> dict[Key, Cell]:
    """Return the cells of a job's row, not forecast yet: those with a budget come first."""
    cells = {
        (facts.part, facts.trade): _budgeted(basis, facts)
        for facts in basis.measured
        if facts.frozen or not basis.scope.original
    }
    for booked in basis.actuals.by_cell(*basis.recent_span):
        if not basis.left_out(booked.part):
            key = (booked.part, booked.trade)
            kind = kind_of(basis, booked.part)
            cells[key] = _with_actual(cells.get(key) or _cell(basis, key, kind), booked, kind)
    for premium in by_cell(basis.premium, *basis.recent_span):
        key = (premium.part, premium.trade)
        cells[key] = _with_actual(_cell(basis, key, premium.part), premium, premium.part)
    return cells


def _cell(basis: Basis, key: Key, kind: str) -> Cell:
    part, trade = key
    return Cell(
        *place_of(basis, part, trade, kind),
        level_of_effort=basis.is_level_of_effort(part, kind),
        finished=basis.is_finished(part, trade),
    )


def _budgeted(basis: Basis, facts: CellFacts) -> Cell:
    original, day = basis.scope.original, basis.day
    now = basis.baseline.earned(facts, day, original=original)
    first, last = basis.recent_span
    approved = [] if original else facts.of_sources(frozenset({"approval"}), day)
    omitted = [] if original else facts.of_sources(TAKEN_OUT, day)
    return replace(
        _cell(basis, (facts.part, facts.trade), facts.package_kind),
        bac=basis.amount(now.budget_ms, now.budget_cost),
        ev=basis.amount(now.earned_ms, now.earned_cost),
        pv=basis.amount(*basis.baseline.planned(facts, day, original=original)),
        recent_ev=_earned_by(basis, facts, last) - _earned_by(basis, facts, first),
        recently_measured=_is_measured(basis, facts, first, last),
        original=sum(basis.amount(c.ms, c.cost) for c in facts.frozen),
        approved=sum(basis.amount(c.ms, c.cost) for c in approved),
        omitted=-sum(basis.amount(c.ms, c.cost) for c in omitted),
    )


def _earned_by(basis: Basis, facts: CellFacts, day: date) -> int:
    then = basis.baseline.earned(facts, day, original=basis.scope.original)
    return basis.amount(then.earned_ms, then.earned_cost)


def _is_measured(basis: Basis, facts: CellFacts, after: date, last: date) -> bool:
    """Return whether a budget was measured after a day and by another, or its base was."""
    days = basis.baseline.shares(facts.part, facts.trade).days
    return any(after < day <= last for day in days)


def _with_actual(cell: Cell, booked: CellActual, kind: str) -> Cell:
    rework = 0 if kind in NO_WORK else booked.rework
    return replace(cell, ac=booked.amount, rework=rework, recent_ac=booked.recent)
