"""Where a job stands in time: by its plan and what is earned, without level of effort."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date

from ledger.baseline.job_baseline import CellFacts
from ledger.domain.schedule import TimeFigures, time_figures
from ledger.outcomes import because
from ledger.performance.basis import Basis

# A budget with its ms, and those earned of it.
Standing = tuple[CellFacts, int, int]


def job_time(basis: Basis, *, in_hours: bool) -> TimeFigures:
    """Return the time figures of a job, in the scope's unit or in hours whatever that is."""
    plan: dict[date, int] = defaultdict(int)
    earned = 0
    original = basis.scope.original
    every = _measured_by_work(basis)
    in_ms = in_hours or basis.scope.unit == "hours"
    for facts in every:
        chosen = facts.original_plan if original else facts.plan
        for day, (ms, cost) in chosen.items():
            plan[day] += ms if in_ms else basis.amount(ms, cost)
        now = basis.baseline.earned(facts, basis.day, original=original)
        earned += now.earned_ms if in_hours else basis.amount(now.earned_ms, now.earned_cost)
    over = finished_on(basis, _standing(basis, every), basis.day)
    figures = time_figures(plan, earned, basis.baseline.calendar, basis.day, over)
    if sum(plan.values()) <= 0 and len(every) < len(basis.measured):
        only_effort = because("only_effort_planned")
        return replace(figures, undefined=dict.fromkeys(figures.undefined, only_effort))
    return figures


def _measured_by_work(basis: Basis) -> list[CellFacts]:
    return [
        facts
        for facts in basis.measured
        if not basis.is_level_of_effort(facts.part, facts.package_kind)
    ]


def _standing(basis: Basis, every: list[CellFacts]) -> Iterator[Standing]:
    for facts in every:
        now = basis.baseline.earned(facts, basis.day, original=basis.scope.original)
        yield facts, now.budget_ms, now.earned_ms


def finished_on(basis: Basis, every: Iterable[Standing], day: date) -> date | None:
    """Return the last measured day of a job whose measured parts are all complete, else None.

    Each has its budget and what is earned of it by the day, which is not after the status date.
    """
    days: list[date] = []
    for facts, budget_ms, earned_ms in every:
        if budget_ms <= 0:
            continue
        if earned_ms < budget_ms and not basis.is_finished(facts.part, facts.trade, day):
            return None
        measures = basis.baseline.measures_of(facts.part, facts.trade)
        days += [measure.day for measure in measures if measure.day <= day]
    return max(days, default=None)
