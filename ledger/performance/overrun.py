"""The overrun of a job: steps, who asked, who bears."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from ledger.domain.change_life import ChangeState
from ledger.domain.contracts import TIME_CHARGE
from ledger.domain.overrun import (
    ASKED_BY,
    BORNE_BY,
    ChangeAmounts,
    ChangeStanding,
    Marks,
    OverrunSteps,
    PartAmounts,
    asked_in_variation,
    asks_for_work_done,
    bearer_of_unapproved,
    bearers_of_variation,
    bears_work_done,
    steps,
)
from ledger.domain.premium import OVERTIME_PREMIUM
from ledger.errors import Refused
from ledger.jobs.jobs import job_card
from ledger.performance.actuals import NON_PRODUCTIVE, UNTAGGED
from ledger.performance.basis import Scope
from ledger.performance.cells import Cell
from ledger.performance.grouping import NO_WORK
from ledger.performance.measure import Measured
from ledger.performance.status_dates import default_status_date
from ledger.store.book import Book

# Why the yard bears hours.
ORIGINAL_WORK = "over_under_on_original_work"
VARIATIONS = "over_under_on_variations"
REWORK = "rework"
NO_CHARGE = "no_charge_variations"
DECLINED = "declined_or_withdrawn"
# The figures that time counts in, and what of them is not time worked: what the forecast adds to
# it, the budget of the original work, and hours agreed with the owner.
STEP, ASKED, BORNE = "step", "asked_by", "borne_by"
TO_COME, BUDGET, AGREED = "to_come", "budget", "agreed"


class CountedUnder(NamedTuple):
    """What time counts under: a step, who asked for it, who bears it."""

    step: str
    asked_by: str
    borne_by: str


@dataclass(frozen=True)
class Overrun:
    """Steps and marks in whole units of hours or cost.

    `asked_by_changes` is what of `asked_by` was asked for by changes; the rest is by causes.
    `premium` is what of `non_productive` is overtime premium; None in hours, and without any.
    """

    job: str
    status_date: date
    unit: str
    steps: OverrunSteps
    asked_by: dict[str, int]
    borne_by: dict[str, int]
    asked_by_changes: dict[str, int]
    borne_by_yard: dict[str, int]
    premium: int | None = None


def overrun(
    book: Book,
    job: str,
    status_date: date | None,
    unit: str = "hours",
    *,
    offered_only: bool = False,
) -> Overrun:
    """Return why the hours (or the labour cost) of a job changed.

    Raises: Refused when there is no such job, no status date, or a cost that is not defined.
    """
    job_card(book, job)
    day = status_date or default_status_date(book, job)
    measured = Measured(book, job, Scope(day, unit, offered_only=offered_only))
    if measured.undefined_cost:
        raise Refused("cost_undefined", job=job, why=measured.undefined_cost)
    return OverrunExplained(measured).result()


class OverrunExplained:
    """Why the hours or cost of a job changed, with the figures that each booking counts in.

    `not_worked` has what of each figure is not time worked, once `result` was asked for.
    """

    def __init__(self, measured: Measured) -> None:
        self.measured = measured
        self._figures: dict[tuple[str, str | None, str | None], CountedUnder] = {}
        self.not_worked: dict[tuple[str, str], dict[str, int]] = defaultdict(
            lambda: defaultdict(int)
        )
        self.basis = measured.baseline.card.contract_basis
        self.asked, self.borne = Marks(ASKED_BY), Marks(BORNE_BY)
        # What was asked for by changes alone, and what the yard bears, by reason.
        self.asked_by_changes = Marks(ASKED_BY)
        self.yard: dict[str, int] = {}
        self.causes = {row["name"]: row["value"] for row in measured.book.current("setting")}

    def result(self) -> Overrun:
        m = self.measured
        kinds: dict[str, list[Cell]] = {"work": [], "variation": [], "other": []}
        for cell in m.cells.values():
            other = cell.kind in NO_WORK
            kind = "other" if other else "variation" if cell.kind == "variation" else "work"
            kinds[kind].append(cell)
        contingency = PartAmounts(
            original=m.contingency.original,
            omitted=m.contingency.omitted,
            forecast=m.contingency.left,
        )
        work = [*map(_amounts, kinds["work"]), contingency]
        variations = [*map(_amounts, kinds["variation"])]
        outside = {
            code: ChangeAmounts(*m.unapproved.amounts(code)[1:]) for code in m.unapproved.codes
        }
        explained = steps(work, variations, [*outside.values()], _other(kinds["other"]))
        assert explained.amounts["anticipated_final"] == m.anticipated_final
        self._mark_work(work)
        self._mark_variations(kinds["variation"])
        self._mark_omissions()
        self._mark_worked()
        self._mark_premium()
        self._mark_outside(outside)
        self._leave_steps(explained, work, variations)
        grown = explained.amounts["anticipated_final"] - explained.amounts["original_budget"]
        asked, borne = self.asked.listed(), self.borne.listed()
        assert sum(asked.values()) == grown == sum(borne.values())
        by_changes = self.asked_by_changes.listed()
        premium = self._premium if m.has_premium else None
        amounts = (explained, asked, borne, by_changes, self.yard, premium)
        return Overrun(m.job, m.day, m.scope.unit, *amounts)

    def figures_of(self, part: str, cause: str | None, rework: str | None) -> CountedUnder:
        """Return what time counts under that is booked to a place, lost or done again for a cause.

        Steps of a forecast hold time less a budget, so that of each the time is a part.
        """
        key = part, cause, rework
        if key not in self._figures:
            self._figures[key] = self._figures_of(*key)
        return self._figures[key]

    def _figures_of(self, part: str, cause: str | None, rework: str | None) -> CountedUnder:
        m = self.measured
        if part == NON_PRODUCTIVE:
            return CountedUnder(NON_PRODUCTIVE, self._asker(cause), self._bearer(cause))
        if part == UNTAGGED:
            return CountedUnder(UNTAGGED, "yard", "undecided")
        if m.is_outside(part):
            bearer = bearer_of_unapproved(self._standing(part))
            return CountedUnder("unapproved_changes", self._origin(part), bearer)
        if rework is not None:
            bearer = "yard" if self._is_free(part) else self._bearer(rework)
            return CountedUnder(REWORK, self._asker(rework), bearer)
        if m.is_variation(part):
            standing, whole = self._standing(part), self._whole(part)
            asker = asks_for_work_done(standing, whole, self._origin(part))
            return CountedUnder(VARIATIONS, asker, bears_work_done(standing, whole))
        return CountedUnder(ORIGINAL_WORK, "yard", self._bearer_of_base)

    @property
    def _bearer_of_base(self) -> str:
        return "owner" if self.basis == TIME_CHARGE else "yard"

    def _is_free(self, part: str) -> bool:
        return self.measured.is_variation(part) and self._standing(part).basis == "no_charge"

    def _whole(self, code: str) -> PartAmounts:
        cells = self.measured.cells.values()
        return _total([_amounts(cell) for cell in cells if cell.part == code])

    def _mark_work(self, work: list[PartAmounts]) -> None:
        over = sum(part.over for part in work)
        self.asked.add("yard", over)
        self._bear(self._bearer_of_base, over, ORIGINAL_WORK)
        for group, mark in ((ASKED, "yard"), (BORNE, self._bearer_of_base)):
            self._leave(group, mark, TO_COME, sum(part.to_come for part in work))
            self._leave(group, mark, BUDGET, -sum(part.budget for part in work))

    def _mark_variations(self, cells: list[Cell]) -> None:
        for code in dict.fromkeys(cell.part for cell in cells):
            whole, standing = self._whole(code), self._standing(code)
            asked = asked_in_variation(standing, whole)
            self._ask(code, asked)
            # What is over or under a fixed price is the yard's, whoever asked for the change.
            over = whole.forecast - whole.rework - asked
            self.asked.add("yard", over)
            reason = NO_CHARGE if standing.basis == "no_charge" else VARIATIONS
            bearers = bearers_of_variation(standing, whole)
            for mark, amount in bearers.items():
                self._bear(mark, amount, reason)
            figures = self.figures_of(code, None, None)
            askers = {"yard": over}
            askers[self._origin(code)] = askers.get(self._origin(code), 0) + asked
            self._leave_agreed(ASKED, askers, figures.asked_by, whole)
            self._leave_agreed(BORNE, bearers, figures.borne_by, whole)

    def _leave_agreed(
        self, group: str, amounts: Mapping[str, int], taker: str, whole: PartAmounts
    ) -> None:
        """Keep what of a variation's marks is not worked; the time worked is under `taker`.

        Free of charge the yard bears its rework with it.
        """
        # Amounts add to the forecast less rework, or to the forecast where rework is among them.
        worked = sum(amounts.values()) - whole.to_come
        self._leave(group, taker, TO_COME, whole.to_come)
        for mark, amount in amounts.items():
            took = worked + whole.to_come if mark == taker else 0
            self._leave(group, mark, AGREED, amount - took)

    def _mark_omissions(self) -> None:
        m = self.measured
        rows = m.book.records("performance/omissions_by_change", job=m.job, status_date=m.day)
        for row in rows:
            amount = m.amount(int(row["ms"]), int(row["cost"]))
            if m.is_variation(row["part"]):
                continue
            self._ask(row["change"], amount)
            charged = self._standing(row["change"]).basis != "no_charge"
            bearer = "owner" if charged else "yard"
            self._bear(bearer, amount, NO_CHARGE)
            for group, mark in ((ASKED, self._origin(row["change"])), (BORNE, bearer)):
                self._leave(group, mark, AGREED, amount)

    def _mark_worked(self) -> None:
        """Mark work done again and time lost by cause, and what is untagged: all of it is worked.

        Of a change free of charge the rework is the yard's with the rest of it.
        """
        worked: dict[tuple[str, str | None, str | None], int] = defaultdict(int)
        for each in self.measured.actuals.booked:
            worked[each.part, each.cause, each.rework] += each.amount
        for place, amount in worked.items():
            figures = self.figures_of(*place)
            if figures.step in {REWORK, NON_PRODUCTIVE, UNTAGGED}:
                self.asked.add(figures.asked_by, amount)
                if not self._is_free(place[0]):
                    self._bear(figures.borne_by, amount, figures.step)

    @property
    def _premium(self) -> int:
        return sum(each.amount for each in self.measured.premium)

    def _mark_premium(self) -> None:
        """Mark overtime premium: the yard's, as the yard says when hours are worked."""
        self.asked.add("yard", self._premium)
        self._bear("yard", self._premium, OVERTIME_PREMIUM)

    def _ask(self, code: str, amount: int) -> None:
        origin = self._origin(code)
        self.asked.add(origin, amount)
        self.asked_by_changes.add(origin, amount)

    def _bear(self, mark: str, amount: int, reason: str) -> None:
        self.borne.add(mark, amount)
        if mark == "yard" and amount:
            self.yard[reason] = self.yard.get(reason, 0) + amount

    def _asker(self, cause: str | None) -> str:
        return str(self.causes.get(f"causes.{cause or ''}.asked_by", "yard"))

    def _bearer(self, cause: str | None) -> str:
        borne = str(self.causes.get(f"causes.{cause or ''}.borne_by", "yard"))
        # What the owner should bear is not theirs until a change is raised.
        return "undecided" if borne == "owner" else borne

    def _mark_outside(self, outside: Mapping[str, ChangeAmounts]) -> None:
        for code, change in outside.items():
            bearer = bearer_of_unapproved(self._standing(code))
            self._ask(code, change.forecast)
            self._bear(bearer, change.forecast, DECLINED)
            for group, mark in ((ASKED, self._origin(code)), (BORNE, bearer)):
                self._leave(group, mark, TO_COME, change.forecast - change.actual)

    def _leave(self, group: str, name: str, piece: str, amount: int) -> None:
        """Keep what of a figure is not time worked."""
        if amount:
            self.not_worked[group, name][piece] += amount

    def _leave_steps(
        self,
        explained: OverrunSteps,
        work: Sequence[PartAmounts],
        variations: Sequence[PartAmounts],
    ) -> None:
        amounts = explained.amounts
        self._leave(STEP, "original_budget", BUDGET, amounts["original_budget"])
        for step in ("approved_variations", "omissions"):
            self._leave(STEP, step, AGREED, amounts[step])
        for step, of_step, piece in (
            (ORIGINAL_WORK, work, BUDGET),
            (VARIATIONS, variations, AGREED),
        ):
            self._leave(STEP, step, TO_COME, sum(part.to_come for part in of_step))
            self._leave(STEP, step, piece, -sum(part.budget for part in of_step))
        outside = explained.to_come["unapproved_changes"]
        self._leave(STEP, "unapproved_changes", TO_COME, outside)
        to_come = sum(part.to_come for part in [*work, *variations]) + outside
        self._leave(STEP, "anticipated_final", TO_COME, to_come)

    def _origin(self, code: str) -> str:
        return str(self.measured.baseline.changes[code].facts["origin"])

    def _standing(self, code: str) -> ChangeStanding:
        m = self.measured
        state: ChangeState = m.states[code]
        return ChangeStanding(
            state.offered_price(m.day) if m.scope.offered_only else state.price(m.day),
            state.instruction,
            m.baseline.changes[code].facts["change_basis"],
            state.approved,
            state.not_to_exceed,
        )


def _other(cells: list[Cell]) -> dict[str, int]:
    sums: dict[str, int] = {}
    for cell in cells:
        sums[cell.kind] = sums.get(cell.kind, 0) + cell.ac
    return sums


def _amounts(cell: Cell) -> PartAmounts:
    return PartAmounts(
        cell.original,
        cell.approved,
        cell.omitted,
        cell.ac,
        cell.ev,
        cell.rework,
        cell.forecast,
    )


def _total(amounts: list[PartAmounts]) -> PartAmounts:
    return PartAmounts(
        sum(p.original for p in amounts),
        sum(p.approved for p in amounts),
        sum(p.omitted for p in amounts),
        sum(p.actual for p in amounts),
        sum(p.earned for p in amounts),
        sum(p.rework for p in amounts),
        sum(p.forecast for p in amounts),
    )
