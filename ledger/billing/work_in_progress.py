"""Work in progress of a job: earned by cost to cost, against what was billed."""

from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from ledger.billing.certified import certified_to_date
from ledger.changes.claim_terms import billed_currency
from ledger.changes.standing import standings
from ledger.changes.sums import contract_sum_on, contract_sums, sums_unspent
from ledger.documents.invoices import CREDIT_NOTE, invoices_of
from ledger.domain.allocation import to_places
from ledger.domain.certified import claimed
from ledger.domain.contracts import TIME_CHARGE
from ledger.domain.cost_to_cost import CostRow, WorkInProgress, by_kind
from ledger.domain.pricing import NOTHING
from ledger.errors import Refused, Remedy
from ledger.jobs.jobs import job_card
from ledger.performance.basis import Scope
from ledger.performance.measure import Measured
from ledger.performance.report import UNIT
from ledger.store.book import Book


@dataclass(frozen=True)
class JobInProgress:
    """A job's work in progress on a day."""

    job: str
    day: date
    currency: str
    work: WorkInProgress


def work_in_progress(book: Book, job: str, day: date) -> JobInProgress:
    """Return what a job has earned by a day by its cost, and what was billed of it.

    Raises: Refused when the job is paid by the hour or in another currency than its costs, has no
    costs beside its hours, or its labour cost or its price is not defined.
    """
    card = job_card(book, job)
    if card.contract_basis == TIME_CHARGE:
        raise Refused("work_by_the_hour", job=job, remedy=Remedy("claimable", job=job))
    own, billed_in = book.setting("yard.currency", ""), billed_currency(book, job)
    if own != billed_in:
        raise Refused("work_in_other_currency", job=job, currency=billed_in, own=own)
    costs = by_kind(_rows(book, job, day))
    if not costs:
        raise Refused(
            "job_costs_missing", job=job, day=day, remedy=Remedy("load", what="job-costs")
        )
    for each in costs:
        if each.uninstalled > max(NOTHING, each.spent):
            raise Refused(
                "uninstalled_above_cost",
                job=job,
                cost_kind=each.kind,
                day=day,
                uninstalled=each.uninstalled,
                spent=each.spent,
            )
    contract_sum, _ = contract_sum_on(book, job, card.contract_sum, day)
    every = standings(book, job, day)
    sums = contract_sums(contract_sum, every, sums_unspent(book, job, day, every))
    billed = billed_to_date(book, job, day)
    spent, to_come, unapproved = _labour(book, job, day)
    work = WorkInProgress(sums.adjusted, spent, to_come, tuple(costs), unapproved, billed)
    if not work.is_measured:
        raise Refused("no_cost_to_measure", job=job, day=day)
    return JobInProgress(job, day, own, work)


def billed_to_date(book: Book, job: str, day: date) -> Decimal:
    """Return what was billed by a day, without tax and before retention.

    By invoices less credit notes; of a job without any, what is certified of its claims.
    """
    issued = [each for each in invoices_of(book, job) if each.issued_on <= day]
    if not issued:
        return claimed(certified_to_date(book, job, day).lines)
    lines = (
        -line.amount if each.kind == CREDIT_NOTE else line.amount
        for each in issued
        for line in each.lines
        if line.claim_kind != "retention"
    )
    return sum(lines, NOTHING)


def _rows(book: Book, job: str, day: date) -> list[CostRow]:
    return [
        CostRow(kind, on, _money(amount), _money_if_any(to_come), _money_if_any(uninstalled))
        for kind, on, amount, to_come, uninstalled in book.rows(
            "billing/job_costs", job=job, status_date=day
        )
    ]


def _labour(book: Book, job: str, day: date) -> tuple[Decimal, Decimal, Decimal]:
    """Return labour cost: spent, still to come, and what changes not approved took.

    Contingency that is left is still to come.
    """
    measured = Measured(book, job, Scope(day, "cost"))
    if measured.undefined_cost:
        raise Refused("cost_undefined", job=job, why=measured.undefined_cost)
    spent = sum(cell.ac for cell in measured.cells.values())
    final = measured.eac + measured.contingency.left
    unapproved = sum(measured.unapproved.amounts(code)[1] for code in measured.unapproved.codes)
    per = UNIT["cost"]
    total = to_places(final, 2, per)
    return to_places(spent, 2, per), total - to_places(spent, 2, per), to_places(unapproved, 2, per)


def _money(amount: Decimal) -> Decimal:
    return amount.quantize(NOTHING, ROUND_HALF_UP)


def _money_if_any(amount: Decimal | None) -> Decimal | None:
    return None if amount is None else _money(amount)
