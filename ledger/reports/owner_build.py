"""The owner's statement made from the book: only owner's queries and totals of hours by step."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from ledger.changes.requests import OWNER, Change, changes_of
from ledger.domain.change_life import ChangeState
from ledger.errors import Refused
from ledger.performance.overrun import Overrun, overrun
from ledger.performance.report import default_status_date
from ledger.reports.owner_prices import NOTHING, Price, PriceList
from ledger.reports.owner_variations import (
    AwaitingRow,
    ChangeRow,
    Headline,
    HoursRow,
    Job,
    NotChargedRow,
    OwnerVariations,
    Stamp,
    SumRow,
    Yard,
)
from ledger.reports.owner_wording import CAUTION, HOW_TO_READ
from ledger.reports.owner_words import ESTIMATE_STEPS, NOT_CHARGED_STEPS, OVERRUN_STEPS, SUM_STEPS
from ledger.store.book import Book

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Shown:
    """A change that the owner sees, with its state on the day, the revision shown and its price."""

    change: Change
    state: ChangeState
    price_state: str
    revision: int | None
    price: Price | None
    hours_ms: int | None

    @property
    def approved(self) -> bool:
        return self.price_state == "approved"

    @property
    def instructed(self) -> bool:
        return self.state.instruction != "none"


def build(book: Book, job: str, status_date: date | None) -> OwnerVariations:
    """Return the statement of variations and open requests of a job.

    Raises: Refused when there is no such job, no status date or no charge rate.
    """
    found = book.records("owner/job", job=job)
    if not found:
        raise Refused(f"there is no job {job}; `fairhours show jobs` lists them")
    card = found[0]
    yard: dict[str, str] = dict(book.rows("owner/yard"))
    day = status_date or default_status_date(book, job)
    why = overrun(book, job, day, offered_only=True)
    sums = book.rows("owner/contract_sums", job=job, status_date=day)
    contract_sum = sums[-1][1] if sums else card["contract_sum"]
    shown = _shown(book, job, day)
    stamp = book.stamp()
    sees = card["owner_sees_overrun"]
    return OwnerVariations(
        yard=Yard(yard.get("yard.name", ""), tuple(json.loads(yard.get("yard.address", "[]")))),
        job=Job(
            job, card["title"], card["owner"], yard.get("yard.currency", ""), card["contract_date"]
        ),
        status_date=day,
        known_at=Stamp(stamp.sequence, stamp.head),
        remade_by=(
            f"fairhours --known-at {stamp.sequence} report variations --job {job} "
            f"--status-date {day} --out variations.pdf"
        ),
        rehearsal=yard.get("book.rehearsal") == "yes",
        headline=_headline(why) if sees else None,
        hours=_hours(why, whole=sees),
        sums=_sums(contract_sum, shown),
        changes=tuple(_change_row(each, day) for each in shown),
        awaiting=_awaiting(shown),
        not_charged=_not_charged(why) if sees else (),
        how_to_read=tuple(HOW_TO_READ),
        caution=CAUTION,
    )


def _shown(book: Book, job: str, day: date) -> list[Shown]:
    prices = PriceList(book, job)
    hours = {
        row[0]: int(row[1]) for row in book.rows("owner/change_hours", job=job, status_date=day)
    }
    shown = []
    for change in changes_of(book, job, OWNER).values():
        state = change.state(day)
        if _owner_knows(change, state, day):
            shown.append(_show(change, state, day, (prices, hours)))
    return shown


def _owner_knows(change: Change, state: ChangeState, day: date) -> bool:
    """Whether the change has come to the owner: asked for by the owner, submitted or instructed."""
    told = state.submitted_revision is not None or state.instruction != "none" or state.approved
    asked = change.facts["origin"] == "owner" and change.facts["requested_on"] <= day
    return told or asked


def _show(
    change: Change, state: ChangeState, day: date, known: tuple[PriceList, dict[str, int]]
) -> Shown:
    prices, hours = known
    price_state = state.price(day)
    if price_state == "approved":
        revision = state.approved_revision
    else:
        revision = state.submitted_revision
        if price_state == "priced":
            price_state, revision = "requested", None
    if revision is None:
        return Shown(change, state, price_state, None, None, None)
    net = sum(line["ms"] for line in change.lines.get(revision, []) if line["ms"] is not None)
    net = hours.get(change.code, 0) if state.approved else net
    return Shown(change, state, price_state, revision, prices.price(change, state, revision), net)


def _change_row(shown: Shown, day: date) -> ChangeRow:
    change, state = shown.change, shown.state
    facts = change.facts
    requested = facts["days_requested"] if shown.revision is not None else None
    days = state.days_granted if shown.approved else requested
    return ChangeRow(
        change=change.code,
        title=facts["title"],
        state=shown.price_state,
        state_on=_state_on(shown),
        instruction=state.instruction,
        change_basis=facts["change_basis"],
        estimated=facts["change_basis"] == "daywork" and not state.value_agreed,
        hours_ms=shown.hours_ms,
        price=shown.price.net if shown.price else None,
        days=days,
    )


def _state_on(shown: Shown) -> date | None:
    state = shown.state
    if shown.price_state == "lapsed":
        until = state.valid_until[shown.revision or 0]
        return until + ONE_DAY if until else None
    if shown.price_state == "withdrawn":
        return max(e.day for e in shown.change.events if e.name == "withdrawn")
    if shown.price_state == "requested":
        day: date = shown.change.facts["requested_on"]
        return day
    return state.dated.get(shown.revision or 0, {}).get(shown.price_state)


def _headline(why: Overrun) -> Headline:
    amounts = why.steps.amounts
    more = amounts["anticipated_final"] - amounts["original_budget"]
    paid, free = why.borne_by["owner"], why.borne_by["yard"]
    return Headline(more, why.asked_in_changes, paid, free, more - paid - free)


def _hours(why: Overrun, *, whole: bool) -> tuple[HoursRow, ...]:
    amounts = dict(why.steps.amounts)
    amounts["adjusted_estimate"] = sum(amounts[step] for step in ESTIMATE_STEPS[:-1])
    steps = ESTIMATE_STEPS + OVERRUN_STEPS if whole else ESTIMATE_STEPS
    return tuple(HoursRow(step, amounts[step]) for step in steps)


def _sums(contract_sum: Decimal, shown: list[Shown]) -> tuple[SumRow, ...]:
    approved = [each.price for each in shown if each.approved and each.price]
    open_ones = [each for each in shown if not each.approved and each.price]
    amounts = {
        "contract_sum": contract_sum.quantize(NOTHING),
        "approved_variations": sum((price.added for price in approved), NOTHING),
        "omissions": sum((price.omitted for price in approved), NOTHING),
        # Daywork sheets are not agreed in this version: its place is its estimate.
        "daywork_against_estimate": NOTHING,
        "instructed_at_latest_price": _net(each for each in open_ones if each.instructed),
        "submitted_not_added": _net(
            each for each in open_ones if not each.instructed and each.price_state == "submitted"
        ),
    }
    amounts["adjusted_contract_sum"] = sum((amounts[step] for step in SUM_STEPS[:4]), NOTHING)
    amounts["anticipated_final_sum"] = (
        amounts["adjusted_contract_sum"] + amounts["instructed_at_latest_price"]
    )
    return tuple(SumRow(step, amounts[step]) for step in SUM_STEPS)


def _net(shown: Iterable[Shown]) -> Decimal:
    return sum((each.price.net for each in shown if each.price), NOTHING)


def _awaiting(shown: list[Shown]) -> tuple[AwaitingRow, ...]:
    rows = []
    for each in shown:
        if each.price_state != "submitted" or each.price is None or each.revision is None:
            continue
        state = each.state
        rows.append(
            AwaitingRow(
                change=each.change.code,
                title=each.change.facts["title"],
                submitted_on=state.dated[each.revision]["submitted"],
                valid_until=state.valid_until.get(each.revision),
                decision_needed_by=each.change.facts["decision_needed_by"],
                instructed=each.instructed,
                hours_ms=each.hours_ms or 0,
                price=each.price.net,
            )
        )
    return tuple(sorted(rows, key=lambda row: (row.submitted_on, row.change)))


def _not_charged(why: Overrun) -> tuple[NotChargedRow, ...]:
    return tuple(
        NotChargedRow(reason, why.borne_by_yard[reason])
        for reason in NOT_CHARGED_STEPS
        if why.borne_by_yard.get(reason)
    )
