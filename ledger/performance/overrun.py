"""The overrun of a job: steps, who asked, who bears."""

from dataclasses import dataclass
from datetime import date

from ledger.domain.change_life import ChangeState
from ledger.domain.overrun import (
    ASKED_BY,
    BORNE_BY,
    ChangeAmounts,
    ChangeStanding,
    Marks,
    PartAmounts,
    Steps,
    asked_in_variation,
    bearer_of_unapproved,
    bearers_of_variation,
    steps,
)
from ledger.errors import Refused
from ledger.jobs.jobs import job_card
from ledger.performance.actuals import NON_PRODUCTIVE, UNTAGGED
from ledger.performance.basis import Scope
from ledger.performance.cells import Cell
from ledger.performance.measure import Measured
from ledger.performance.report import default_status_date
from ledger.store.book import Book

# Why the yard bears hours.
ORIGINAL_WORK = "over_under_on_original_work"
VARIATIONS = "over_under_on_variations"
REWORK = "rework"
NO_CHARGE = "no_charge_variations"
DECLINED = "declined_or_withdrawn"


@dataclass(frozen=True)
class Overrun:
    """Steps and marks in whole units of hours or cost.

    `asked_by_changes` is what of `asked_by` was asked for by changes; the rest is by causes.
    """

    job: str
    status_date: date
    unit: str
    steps: Steps
    asked_by: dict[str, int]
    borne_by: dict[str, int]
    asked_by_changes: dict[str, int]
    borne_by_yard: dict[str, int]


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
    return _Explained(measured).result()


class _Explained:
    def __init__(self, measured: Measured) -> None:
        self.measured = measured
        self.basis: str = measured.baseline.card["contract_basis"]
        self.asked, self.borne = Marks(ASKED_BY), Marks(BORNE_BY)
        # What was asked for by changes alone, and what the yard bears, by reason.
        self.asked_by_changes = Marks(ASKED_BY)
        self.yard: dict[str, int] = {}
        self.causes = {row["name"]: row["value"] for row in measured.book.current("setting")}

    def result(self) -> Overrun:
        m = self.measured
        kinds: dict[str, list[Cell]] = {"work": [], "variation": [], "other": []}
        for cell in m.cells.values():
            other = cell.kind in {NON_PRODUCTIVE, UNTAGGED}
            kind = "other" if other else "variation" if cell.kind == "variation" else "work"
            kinds[kind].append(cell)
        contingency = PartAmounts(
            original=m.contingency.original,
            omitted=m.contingency.omitted,
            forecast=m.contingency.left,
        )
        work = [*map(_amounts, kinds["work"]), contingency]
        outside = {code: m.unapproved.amounts(code) for code in m.unapproved.codes}
        explained = steps(
            work,
            [*map(_amounts, kinds["variation"])],
            [ChangeAmounts(actual, final) for _, actual, final in outside.values()],
            _other(kinds["other"]),
        )
        assert explained.amounts["anticipated_final"] == m.anticipated_final
        self._mark_work(work)
        self._mark_variations(kinds["variation"])
        self._mark_omissions()
        self._mark_rework()
        self._mark_outside({code: amounts[2] for code, amounts in outside.items()})
        self._mark_other()
        grown = explained.amounts["anticipated_final"] - explained.amounts["original_budget"]
        asked, borne = self.asked.listed(), self.borne.listed()
        assert sum(asked.values()) == grown == sum(borne.values())
        by_changes = self.asked_by_changes.listed()
        return Overrun(m.job, m.day, m.scope.unit, explained, asked, borne, by_changes, self.yard)

    def _mark_work(self, work: list[PartAmounts]) -> None:
        over = sum(part.over for part in work)
        self.asked.add("yard", over)
        self._bear("owner" if self.basis == "time_charge" else "yard", over, ORIGINAL_WORK)

    def _mark_variations(self, cells: list[Cell]) -> None:
        parts: dict[str, list[PartAmounts]] = {}
        for cell in cells:
            parts.setdefault(cell.part, []).append(_amounts(cell))
        for code, amounts in parts.items():
            whole, standing = _total(amounts), self._standing(code)
            asked = asked_in_variation(standing, whole)
            self._ask(code, asked)
            # What is over or under a fixed price is the yard's, whoever asked for the change.
            self.asked.add("yard", whole.forecast - whole.rework - asked)
            reason = NO_CHARGE if standing.basis == "no_charge" else VARIATIONS
            for mark, amount in bearers_of_variation(standing, whole).items():
                self._bear(mark, amount, reason)

    def _mark_omissions(self) -> None:
        m = self.measured
        rows = m.book.records("performance/omissions_by_change", job=m.job, status_date=m.day)
        for row in rows:
            amount = m.amount(int(row["ms"]), int(row["cost"]))
            if m.is_variation(row["part"]):
                continue
            self._ask(row["change"], amount)
            charged = self._standing(row["change"]).basis != "no_charge"
            self._bear("owner" if charged else "yard", amount, NO_CHARGE)

    def _mark_rework(self) -> None:
        """Mark work done again by its cause; of a change free of charge all is the yard's."""
        m = self.measured
        unapproved = [code for code, state in m.states.items() if not state.approved]
        free = [code for code in m.states if self._standing(code).basis == "no_charge"]
        for cause, amount in m.actuals.rework_by_cause(unapproved):
            self._ask_cause(cause or "", amount)
        for cause, amount in m.actuals.rework_by_cause([*unapproved, *free]):
            self._bear_cause(cause or "", amount, REWORK)

    def _ask(self, code: str, amount: int) -> None:
        origin = self._origin(code)
        self.asked.add(origin, amount)
        self.asked_by_changes.add(origin, amount)

    def _bear(self, mark: str, amount: int, reason: str) -> None:
        self.borne.add(mark, amount)
        if mark == "yard" and amount:
            self.yard[reason] = self.yard.get(reason, 0) + amount

    def _ask_cause(self, cause: str, amount: int) -> None:
        self.asked.add(self.causes.get(f"causes.{cause}.asked_by", "yard"), amount)

    def _bear_cause(self, cause: str, amount: int, reason: str) -> None:
        borne = self.causes.get(f"causes.{cause}.borne_by", "yard")
        # What the owner should bear is not theirs until a change is raised.
        self._bear("undecided" if borne == "owner" else borne, amount, reason)

    def _mark_outside(self, finals: dict[str, int]) -> None:
        for code, final in finals.items():
            self._ask(code, final)
            self._bear(bearer_of_unapproved(self._standing(code)), final, DECLINED)

    def _mark_other(self) -> None:
        actuals = self.measured.actuals
        for cause, amount in actuals.lost_by_cause():
            self._ask_cause(cause or "", amount)
            self._bear_cause(cause or "", amount, NON_PRODUCTIVE)
        untagged = actuals.of_part(UNTAGGED)
        self.asked.add("yard", untagged)
        self.borne.add("undecided", untagged)

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


def _total(parts: list[PartAmounts]) -> PartAmounts:
    return PartAmounts(
        sum(p.original for p in parts),
        sum(p.approved for p in parts),
        sum(p.omitted for p in parts),
        sum(p.actual for p in parts),
        sum(p.earned for p in parts),
        sum(p.rework for p in parts),
        sum(p.forecast for p in parts),
    )
