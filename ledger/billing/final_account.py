"""The final account of a job: what its contract comes to once all is settled or reserved."""

import json
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from ledger.billing.claimable import ENDED, claimable
from ledger.changes.base_time import time_against_estimate
from ledger.changes.claim_terms import BASE, billed_currency
from ledger.changes.provisional_sums import SumSpent
from ledger.changes.standing import Standing, omitted_by, standings
from ledger.changes.sums import (
    ChangeSums,
    contract_sum_on,
    provisional_sums_spent,
    sums_of,
)
from ledger.domain.codes import code_of
from ledger.domain.contracts import TIME_CHARGE
from ledger.domain.pricing import NOTHING
from ledger.errors import Refused, Remedy
from ledger.jobs.jobs import job_card
from ledger.store.book import Book

# What stands in the way of a final account.
MATTERS = (
    *("open_request", "unsigned_daywork", "daywork_not_complete", "open_time", "disallowed"),
    "base_time",
)
# The item by which base time that is paid by the hour is reserved.
BASE_TIME = "base time"


@dataclass(frozen=True)
class UnsettledItem:
    """What is not settled: `item` is a change, the base or a stage, by which it is reserved.

    `amount` has two places, None where it is not known or none is at stake.
    """

    kind: str
    item: str
    amount: Decimal | None = None


@dataclass(frozen=True)
class FinalLine:
    """An approved change in the final account: what it adds, omits, and as daywork moves.

    `spent` is what of the omission is of provisional sums, above 0.
    """

    change: str
    title: str
    sums: ChangeSums
    spent: Decimal

    @property
    def amount(self) -> Decimal:
        """Return what it moves the sum by."""
        return self.sums.approved + self.sums.omitted + self.sums.daywork_movement


@dataclass(frozen=True)
class FinalAccount:
    """What the contract comes to on a day; what is reserved is not settled by it."""

    job: str
    day: date
    currency: str
    contract_sum: Decimal
    amended_on: date | None
    provisional_sums: tuple[SumSpent, ...]
    lines: tuple[FinalLine, ...]
    open_matters: tuple[UnsettledItem, ...]
    reserved: tuple[UnsettledItem, ...]

    @property
    def unspent(self) -> Decimal:
        """Return what of the provisional sums no change spent: it is omitted."""
        return sum((each.left for each in self.provisional_sums), NOTHING)

    @property
    def total(self) -> Decimal:
        """Return the final sum, without tax."""
        return self.total_without(())

    def total_without(self, changes: Collection[str]) -> Decimal:
        """Return the final sum without some changes: what these spent is unspent then."""
        moved = (-each.spent if each.change in changes else each.amount for each in self.lines)
        base = NOTHING if BASE_TIME in changes else self.contract_sum
        return base - self.unspent + sum(moved, NOTHING)


@dataclass(frozen=True)
class Agreed:
    """A final account as it was agreed: on which day, its sum, and what was reserved by name."""

    day: date
    amount: Decimal
    person: str
    reference: str
    reserved: tuple[str, ...]
    batch: int


def final_account(book: Book, job: str, day: date, reserve: Sequence[str] = ()) -> FinalAccount:
    """Return the final account of a job on a day, with what is open and what of it is reserved.

    Raises: Refused when there is no such job, a change cannot be priced, or nothing of a name is
    open that is to be reserved.
    """
    card = job_card(book, job)
    contract_sum, amended_on = contract_sum_on(book, job, card.contract_sum, day)
    every = standings(book, job, day)
    approved = [each for each in every if each.approved]
    matters = list(_matters(book, job, day, every))
    if card.contract_basis == TIME_CHARGE:
        moved = time_against_estimate(book, job, day, contract_sum, every)
        if moved and all(each.kind != "base_time" for each in matters):
            matters.append(UnsettledItem("base_time", BASE_TIME, moved))
    names = _reserved(job, matters, reserve)
    omitted = {each.change.code: omitted_by(each) for each in approved}
    return FinalAccount(
        job,
        day,
        billed_currency(book, job),
        contract_sum.quantize(NOTHING, ROUND_HALF_UP),
        amended_on,
        provisional_sums_spent(book, job, every),
        tuple(
            FinalLine(
                each.change.code,
                each.change.facts["title"] or "",
                sums_of(each),
                -sum((line.amount for line in omitted[each.change.code]), NOTHING),
            )
            for each in approved
        ),
        tuple(each for each in matters if each.item not in names),
        tuple(each for each in matters if each.item in names),
    )


def _reserved(job: str, matters: Sequence[UnsettledItem], reserve: Sequence[str]) -> set[str]:
    """Return the items that are reserved. Raises: Refused for one of which nothing is open."""
    known = {code_of(each.item): each.item for each in matters}
    names = set()
    for name in reserve:
        item = known.get(code_of(name))
        if item is None:
            raise Refused("reserved_not_open", job=job, name=name, items=tuple(known.values()))
        names.add(item)
    return names


def _matters(book: Book, job: str, day: date, every: Sequence[Standing]) -> Iterator[UnsettledItem]:
    """Yield what is not settled: by change in the order requested, then claims and base time."""
    left = claimable(book, job, day).left_out
    unsigned = {
        e.item: e.amount for e in left if e.reason in {"unsigned_daywork", "no_charge_rate"}
    }
    for each in every:
        code = each.change.code
        if not each.approved:
            if each.price_state not in ENDED or each.state.instruction == "instructed":
                yield UnsettledItem("open_request", code, _price(each))
        elif each.basis == "daywork" and each.agreed_value is None:
            if code in unsigned:
                yield UnsettledItem("unsigned_daywork", code, unsigned[code])
            elif not each.state.complete:
                yield UnsettledItem("daywork_not_complete", code)
        if _time_is_open(each):
            yield UnsettledItem("open_time", code)
    for row in left:
        if row.reason == "disallowed":
            yield UnsettledItem("disallowed", row.item, row.amount)
        elif row.item == BASE and row.reason == "no_charge_rate":
            yield UnsettledItem("base_time", BASE_TIME)


def _time_is_open(standing: Standing) -> bool:
    """Whether days were asked for with what is approved, or left open when sent, none decided."""
    asked = standing.days_requested is not None or standing.state.submitted_revision is not None
    return standing.days_open and asked


def _price(standing: Standing) -> Decimal | None:
    try:
        return standing.amount
    except Refused:
        return None


def refuse_open(account: FinalAccount) -> None:
    """Raises: Refused when something is neither settled nor reserved."""
    if account.open_matters:
        matters = tuple(map(_open, account.open_matters))
        raise Refused("final_account_open", job=account.job, day=account.day, matters=matters)


def _open(matter: UnsettledItem) -> Refused:
    """Return what is said of an open matter."""
    item, amount = matter.item, matter.amount
    if matter.kind == "open_time":
        return Refused("final_time_open", item=item)
    if matter.kind == "daywork_not_complete":
        return Refused("final_daywork_not_complete", item=item)
    if matter.kind == "disallowed":
        return Refused("final_disallowed", item=item, amount=amount)
    if matter.kind == "unsigned_daywork":
        if amount is None:
            return Refused("final_daywork_unrated", item=item)
        return Refused("final_daywork_unsigned", item=item, amount=amount)
    if matter.kind == "base_time":
        if amount is None:
            return Refused("final_base_time_unrated", item=item)
        return Refused("final_base_time_open", item=item, amount=amount)
    if amount is None:
        return Refused("final_request_unpriced", item=item)
    return Refused("final_request_open", item=item, amount=amount)


def agreed_final_account(book: Book, job: str, day: date | None = None) -> Agreed | None:
    """Return the final account of a job as it was agreed by a day, None while none is."""
    for row in book.records("billing/final_accounts", job=job):
        if day is None or row["day"] <= day:
            amount = row["amount"].quantize(NOTHING, ROUND_HALF_UP)
            by = row["person"] or "", row["reference"] or ""
            return Agreed(row["day"], amount, *by, tuple(json.loads(row["reserved"])), row["batch"])
    return None


def refuse_moved(book: Book, job: str) -> None:
    """Raises: Refused when what is recorded of a job moves the sum of its agreed final account.

    What was reserved may move. Facts count whatever their own day, on both sides, so that only what
    is recorded since is compared.
    """
    agreed = agreed_final_account(book, job)
    if agreed is None:
        return
    then = final_account(book.known_by(agreed.batch), job, date.max)
    now = final_account(book, job, date.max).total_without(agreed.reserved)
    moved = now - then.total_without(agreed.reserved)
    if moved:
        raise Refused(
            "final_account_moved",
            job=job,
            day=agreed.day,
            amount=agreed.amount,
            moved=moved,
            remedy=Remedy("show", what="final_account"),
        )
