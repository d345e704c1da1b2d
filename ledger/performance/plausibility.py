"""Plausibility notes of a job's figures, worked out on reading: nothing is kept of them."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from ledger.baseline.job_baseline import LOE, JobBaseline
from ledger.domain.allocation import hours_of, rounded
from ledger.domain.earned_value import Measurement
from ledger.domain.plausibility import LEVEL_OF_EFFORT_PERCENT, PERCENTS_IN_A_ROW, TCPI_APART
from ledger.outcomes import Reason, because
from ledger.performance.basis import FOUR_WEEKS
from ledger.performance.cells import Cell
from ledger.performance.forecast_range import FORMULAS
from ledger.performance.grouping import NO_WORK
from ledger.performance.measure import Measured, row_of

UNITS = "units_complete"
FIXED = "fixed_formula"
MEASURED_BY_WORK = frozenset({"work", "variation"})


@dataclass(frozen=True)
class PackageReplanned:
    """What changed of a package under way: the days as of which, in order, and its quantity now.

    `ways` are those on which it was first measured otherwise than before, `budgets` those on which
    hours came or went.
    """

    ways: tuple[date, ...] = ()
    budgets: tuple[date, ...] = ()
    quantity: Decimal | None = None


@dataclass(frozen=True)
class WorkedPart:
    """A package or variation with all its trades: sums in ms, its measurements and its time."""

    part: str
    technique: str
    bac: int
    ev: int
    ac: int
    complete: bool
    measures: tuple[tuple[str | None, Measurement], ...]
    booked: tuple[tuple[date, int], ...]
    # The own estimate to complete that came with the package's last measurement, in ms.
    estimate: int | None
    replanned: PackageReplanned = PackageReplanned()
    # The dates, started or finished, on which something is earned by them.
    dated: tuple[date, ...] = ()
    # The day since which it is complete, None as long as it is not or where no measure says so.
    complete_since: date | None = None

    @property
    def is_measured(self) -> bool:
        return self.technique != LOE

    def ac_by(self, day: date) -> int:
        return sum(ms for when, ms in self.booked if when <= day)


def plausibility(measured: Measured) -> list[Reason]:
    """Return what of a job's figures, in hours, is worth a second look, job first, by package."""
    assert measured.scope.unit == "hours"
    reasons = list(_of_job(measured)) + list(_of_plan(measured))
    for worked in _parts(measured):
        reasons += _of_part(worked, measured.day)
    return reasons


def _parts(measured: Measured) -> Iterator[WorkedPart]:
    """Yield each package and variation that is worked on or has a budget, by its code."""
    baseline, day = measured.baseline, measured.day
    cells: dict[str, list[Cell]] = {}
    for cell in measured.cells.values():
        if cell.kind in MEASURED_BY_WORK:
            cells.setdefault(cell.part, []).append(cell)
    for part, own in sorted(cells.items()):
        package = baseline.package(part)
        base = str((package and package["base_package"]) or part)
        measures = tuple(each for each in baseline.measures.get(base, []) if each[1].day <= day)
        budgeted = [cell for cell in own if cell.bac > 0]
        complete = bool(budgeted) and all(cell.as_part.complete for cell in budgeted)
        yield WorkedPart(
            part,
            baseline.technique(part),
            sum(cell.bac for cell in own),
            sum(cell.ev for cell in own),
            sum(cell.ac for cell in own),
            complete,
            measures,
            tuple((each.day, each.ms) for each in measured.actuals.booked if each.part == part),
            _estimate([m for _, m in measures]) if base == part else None,
            _replanned(measured, part),
            tuple(_dated(baseline, base, measures)),
            _complete_since(measured, budgeted) if complete else None,
        )


def _dated(
    baseline: JobBaseline, base: str, measures: Iterable[tuple[str | None, Measurement]]
) -> Iterator[date]:
    """Yield the dates by which a fixed formula earns: its finish, and a start with a share."""
    package = baseline.package(base)
    if package is None or package["technique"] != FIXED:
        return
    for _, measure in measures:
        dates = [measure.started if package["start_share"] else None, measure.finished]
        yield from (each for each in dates if each is not None)


def _complete_since(measured: Measured, cells: list[Cell]) -> date | None:
    """Return the day since which all trades are earned or finished, without one open in between."""
    days = [_cell_complete_since(measured, cell) for cell in cells]
    known = [day for day in days if day is not None]
    return max(known) if known and len(known) == len(days) else None


def _cell_complete_since(measured: Measured, cell: Cell) -> date | None:
    baseline, day = measured.baseline, measured.day
    facts = baseline.cells.get((cell.part, cell.trade))
    if facts is None:
        return None
    budget, since = baseline.earned(facts, day).budget_ms, None
    steps = baseline.earned_steps(facts)
    for when, ms in zip(steps.days, steps.ms, strict=True):
        if ms < budget:
            since = None
        elif when <= day:
            since = since or when
    finished = [
        each.finished
        for each in baseline.measures_of(cell.part, cell.trade)
        if each.day <= day and each.finished is not None and each.finished <= day
    ]
    known = [each for each in (since, min(finished, default=None)) if each is not None]
    # What a later change of budget made complete is so since then.
    changed = [
        each.counts_from for each in facts.changes[1:] if each.ms and each.counts_from <= day
    ]
    return max([min(known), *changed]) if known else None


def _replanned(measured: Measured, part: str) -> PackageReplanned:
    baseline = measured.baseline
    versions = baseline.versions.of(part, measured.day)
    own = ("technique", "quantity", "start_share", "base_package", "package_kind")
    plans = [(*(each.package.get(name) for name in own), each.weights) for each in versions]
    ways = [
        now.place[0]
        for now, (before, after) in zip(versions[1:], pairwise(plans), strict=True)
        if before != after
    ]
    cells = [cell for (of, _), cell in baseline.cells.items() if of == part]
    budgets = {each.counts_from for cell in cells for each in cell.changes if each.ms}
    quantity = versions[-1].package["quantity"] if versions else None
    return PackageReplanned(tuple(ways), tuple(sorted(budgets)), quantity)


def _estimate(measures: list[Measurement]) -> int | None:
    """Return the estimates of the last day with a measurement, added up; None without any."""
    known = [
        m.estimate_to_complete_ms
        for m in measures
        if m.day == measures[-1].day and m.estimate_to_complete_ms is not None
    ]
    return sum(known) if known else None


def _of_job(measured: Measured) -> Iterator[Reason]:
    cells = list(measured.cells.values())
    figures = row_of(cells).figures
    bac = sum(cell.bac for cell in cells)
    effort = sum(cell.bac for cell in cells if cell.level_of_effort)
    if effort * 100 > LEVEL_OF_EFFORT_PERCENT * bac:
        yield because("level_of_effort_high", percent=Fraction(effort * 100, bac))
    if figures["cpi"] is not None and figures["tcpi_eac"] is not None:
        cpi, tcpi = Fraction(figures["cpi"]), Fraction(figures["tcpi_eac"])
        if abs(tcpi - cpi) > Fraction(*TCPI_APART):
            yield because("tcpi_apart", tcpi=tcpi, cpi=cpi)
    spent = Fraction(figures["ac"] or 0)
    for name in ("eac", *FORMULAS):
        value = figures[name]
        if value is not None and Fraction(value) < spent:
            forecast, booked = _hours(rounded(Fraction(value))), _hours(int(spent))
            formula = FORMULAS.get(name, "EAC")
            yield because("forecast_below_ac", formula=formula, forecast=forecast, booked=booked)


def _of_plan(measured: Measured) -> Iterator[Reason]:
    for facts in measured.measured:
        planned, budget = sum(ms for ms, _ in facts.plan.values()), sum(c.ms for c in facts.changes)
        if planned != budget:
            yield because(
                "pv_not_at_bac",
                package=facts.part,
                trade=facts.trade,
                planned=_hours(planned),
                budget=_hours(budget),
            )


def _of_part(worked: WorkedPart, day: date) -> list[Reason]:
    if worked.part in NO_WORK or not worked.is_measured:
        return []
    return [
        *_of_sums(worked),
        *_of_measures(worked),
        *_of_estimates(worked),
        *_of_days(worked, day),
        *_of_percents(worked),
    ]


def _of_sums(worked: WorkedPart) -> Iterator[Reason]:
    if worked.ev > 0 and not worked.ac:
        yield because("ev_without_ac", package=worked.part, earned=_hours(worked.ev))
    if worked.ac > 0 and not worked.ev and worked.bac > 0:
        yield because("ac_without_ev", package=worked.part, booked=_hours(worked.ac))
    by_units = worked.technique == UNITS
    done = [m for _, m in worked.measures if by_units and m.quantity_done is not None]
    ends = [m.quantity_at_completion for m in done if m.quantity_at_completion]
    most = max([*ends[-1:], worked.replanned.quantity or Decimal(0)])
    if ends and (done[-1].quantity_done or 0) > most:
        so_far, whole = _plain(done[-1].quantity_done), _plain(most)
        yield because("ev_above_bac", package=worked.part, done=so_far, whole=whole)
    elif worked.ev > worked.bac:
        so_far, whole = _hours(worked.ev), _hours(worked.bac)
        yield because("ev_above_bac", package=worked.part, done=so_far, whole=whole)


def _of_measures(worked: WorkedPart) -> Iterator[Reason]:
    """Yield the newest measurement that is below the one before it, of one trade or of all.

    Two are not compared if the package is measured otherwise since, or percents of two budgets.
    """
    replanned = worked.replanned
    for name, changed in (
        ("percent", {*replanned.ways, *replanned.budgets}),
        ("quantity_done", set(replanned.ways)),
    ):
        trades = {trade for trade, _ in worked.measures}
        for trade in sorted(trades, key=str):
            own = [m for t, m in worked.measures if t == trade and getattr(m, name) is not None]
            for before, now in reversed(list(pairwise(own))):
                then, later = getattr(before, name), getattr(now, name)
                if later < then and not any(before.day <= each < now.day for each in changed):
                    yield because(
                        "progress_falling",
                        package=worked.part,
                        day=now.day,
                        before=_plain(then),
                        now=_plain(later),
                    )
                    break


def _of_estimates(worked: WorkedPart) -> Iterator[Reason]:
    left = worked.estimate
    if left is None:
        return
    if worked.complete and left > 0:
        yield because("done_with_estimate", package=worked.part, left=_hours(left))
    if not worked.complete and not left:
        percent = Fraction(worked.ev * 100, worked.bac) if worked.bac else Fraction(0)
        yield because("open_without_estimate", package=worked.part, earned_percent=percent)


def _of_days(worked: WorkedPart, day: date) -> Iterator[Reason]:
    days = [m.day for _, m in worked.measures]
    booked = [when for when, ms in worked.booked if ms]
    since = worked.complete_since or max(days, default=None)
    if worked.complete and since is not None:
        after = worked.ac - worked.ac_by(since)
        if after > 0:
            booked_after = _hours(after)
            yield because(
                "ac_after_completion", package=worked.part, booked=booked_after, day=since
            )
    earning = [m.day for _, m in worked.measures if m.percent or m.quantity_done or m.milestone]
    first = min([*earning, *worked.dated], default=None)
    if first is not None and booked and first < min(booked):
        yield because("ev_before_start", package=worked.part, measured=first, booked=min(booked))
    lately = worked.ac - worked.ac_by(day - FOUR_WEEKS)
    # Who is measured otherwise since has four weeks to be measured so.
    newest = max([*days, *worked.replanned.ways], default=date.min)
    if not worked.complete and lately > 0 and newest <= day - FOUR_WEEKS:
        last = max(days) if days else "none"
        yield because("not_measured", package=worked.part, booked=_hours(lately), measured=last)


def _of_percents(worked: WorkedPart) -> Iterator[Reason]:
    """Yield that the last percents are AC / BAC on their days, to the nearest percent."""
    if worked.technique != "percent_complete" or worked.bac <= 0:
        return
    partial = [m for _, m in worked.measures if m.percent and 0 < m.percent < 100]
    last = partial[-PERCENTS_IN_A_ROW:]
    typed = [
        abs(Fraction(m.percent or 0) - Fraction(worked.ac_by(m.day) * 100, worked.bac)) * 2 <= 1
        for m in last
    ]
    if len(typed) == PERCENTS_IN_A_ROW and all(typed):
        first = last[0].day
        yield because("percent_from_hours", package=worked.part, first=first, last=last[-1].day)


def _plain(amount: Decimal | None) -> str:
    return f"{(amount or Decimal(0)).normalize():f}"


def _hours(ms: int) -> str:
    return str(hours_of(ms))
