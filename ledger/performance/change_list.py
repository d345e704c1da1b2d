"""Every change of a job with its price and hours, what needs attention, and what it comes to.

Prices and sums are those of the owner's statement, at the yard's latest price; hours are those of
the overrun.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from functools import cached_property

from ledger.changes.authority import approval_doubts
from ledger.changes.daywork_shown import DayworkNow, daywork_now
from ledger.changes.prices import NOTHING
from ledger.changes.provisional_sums import SumSpent, sums_spent
from ledger.changes.requests import changes_of
from ledger.changes.standing import (
    SENT,
    Standing,
    omitted_by,
    with_sums_left,
    yard_known,
    yard_standing,
)
from ledger.changes.sums import ContractSums, contract_sum_on, contract_sums
from ledger.domain.calendar import days_later
from ledger.errors import Refused
from ledger.jobs.jobs import calendar_of, job_card
from ledger.performance.basis import Scope
from ledger.performance.measure import Measured
from ledger.performance.report import default_status_date
from ledger.store.book import Book

# What of a change needs attention, in the order it is listed.
ATTENTION = (
    *("decision_overdue", "price_lapsed", "price_disputed", "counter_offer", "rough_price"),
    *("price_not_sent", "instructed_price_open", "confirmation_awaited", "worked_not_instructed"),
    *("over_agreed_hours", "daywork_unsigned", "daywork_above_cap", "days_not_decided"),
    "days_not_stated",
    *("approval_not_listed", "approval_above_limit", "approval_without_reference"),
)

OF_PRICES = {
    "lapsed": "price_lapsed",
    "disputed": "price_disputed",
    "counter_offer": "counter_offer",
    "priced": "price_not_sent",
}


@dataclass(frozen=True)
class ListedChange:
    """A change as listed: where it stands, its amount, and its hours booked and anticipated.

    `unpriced` says why it has no amount, `attention` what is to be done about it.
    """

    standing: Standing
    amount: Decimal | None
    unpriced: str | None
    booked_ms: int
    anticipated_ms: int
    attention: tuple[str, ...]
    daywork: DayworkNow | None

    @property
    def instruction(self) -> str:
        state = self.standing.state
        return "awaiting_confirmation" if state.awaiting else state.instruction

    @property
    def work(self) -> str:
        """Return whether the work is complete, begun (time is booked) or not."""
        if self.standing.state.complete:
            return "complete"
        return "in_work" if self.booked_ms else "not_begun"


@dataclass(frozen=True)
class ChangeList:
    """The changes of a job on a day; what is not defined is None, with the reason."""

    job: str
    status_date: date
    currency: str
    changes: tuple[ListedChange, ...]
    original_sum: Decimal
    sums: ContractSums | None
    completion_date: date | None
    undefined: dict[str, str] = field(default_factory=dict)
    provisional_sums: tuple[SumSpent, ...] = ()


def changes_day(book: Book, job: str, given: date | None) -> date:
    """Return the status date given, else the usual one or the newest day of a change if later.

    Of daywork the days of its sheets and items count too.

    Raises: Refused when there is no such job, or no day to be told.
    """
    job_card(book, job)
    if given:
        return given
    changes = changes_of(book, job).values()
    days: list[date] = [change.facts["requested_on"] for change in changes]
    days += [event.day for change in changes for event in change.events]
    days += [day for (day,) in book.rows("changes/daywork_days", job=job)]
    try:
        return max([default_status_date(book, job), *days])
    except Refused:
        if not days:
            raise
        return max(days)


class ListedChanges:
    """The changes of a job on a day, worked out once."""

    def __init__(self, book: Book, job: str, day: date) -> None:
        self.book, self.job, self.day = book, job, day
        self.card = job_card(book, job)
        self.known = yard_known(book, job, day)
        self.measured = Measured(book, job, Scope(day))

    @cached_property
    def standings(self) -> list[Standing]:
        """Return where each change requested by the day stands, in the order requested."""
        asked = [
            yard_standing(change, self.known)
            for change in changes_of(self.book, self.job).values()
            if change.facts["requested_on"] <= self.day
        ]
        return with_sums_left(asked)

    def result(self) -> ChangeList:
        """Return the whole list."""
        undefined: dict[str, str] = {}
        original, _ = contract_sum_on(self.book, self.job, self.card["contract_sum"], self.day)
        try:
            sums = contract_sums(original, self.standings)
        except Refused as error:
            sums, undefined["sums"] = None, _why(error)
        completion, why = self.completion()
        if why:
            undefined["completion_date"] = why
        listed = tuple(map(self.listed, self.standings))
        undefined |= {f"{e.standing.change.code}.price": e.unpriced for e in listed if e.unpriced}
        return ChangeList(
            self.job,
            self.day,
            self.book.setting("yard.currency", ""),
            listed,
            original.quantize(NOTHING),
            sums,
            completion,
            undefined,
            self.provisional_sums(),
        )

    def provisional_sums(self) -> tuple[SumSpent, ...]:
        """Return the provisional sums, with what approved and instructed changes omit of them."""
        counted = [each for each in self.standings if each.approved or each.instructed]
        lines = (line for each in counted for line in omitted_by(each))
        return sums_spent(self.known.prices.provisional_sums.values(), lines)

    def listed(self, standing: Standing) -> ListedChange:
        """Return a change with its amount and hours."""
        amount, unpriced = None, None
        try:
            amount = standing.amount
        except Refused as error:
            unpriced = _why(error)
        code = standing.change.code
        booked = self.measured.actuals.of_part(code)
        attention = set(self._attention(standing, booked))
        ordered = tuple(each for each in ATTENTION if each in attention)
        hours, daywork = (booked, self._anticipated(code)), daywork_now(standing)
        return ListedChange(standing, amount, unpriced, *hours, ordered, daywork)

    def _anticipated(self, code: str) -> int:
        if self.measured.is_variation(code):
            cells = self.measured.cells.values()
            return sum(cell.forecast for cell in cells if cell.part == code)
        return self.measured.unapproved.amounts(code)[2]

    def _attention(self, standing: Standing, booked: int) -> Iterator[str]:
        yield from self._of_price(standing)
        state, approved = standing.state, standing.approved
        if state.awaiting:
            yield "confirmation_awaited"
        if standing.instructed:
            yield "instructed_price_open"
        if booked and not approved and state.instruction == "none":
            yield "worked_not_instructed"
        # An omission has no hours of its own to go over.
        agreed = sum(standing.change.added_ms(standing.revision).values())
        if approved and standing.basis == "fixed_price" and booked > agreed:
            yield "over_agreed_hours"
        asked = standing.days_requested
        if asked and state.days_decided is None and (approved or standing.price_state in SENT):
            yield "days_not_decided"
        if asked is None and standing.price_state == "submitted":
            yield "days_not_stated"

    def _of_price(self, standing: Standing) -> Iterator[str]:
        state, price, day = standing.state, standing.price_state, self.day
        needed_by = standing.change.facts["decision_needed_by"]
        if needed_by and needed_by < day and price in {"submitted", "lapsed"}:
            yield "decision_overdue"
        if price in OF_PRICES:
            yield OF_PRICES[price]
        if price == "submitted" and state.rough.get(standing.revision or 0):
            yield "rough_price"
        yield from _of_daywork(standing)
        for event in standing.change.events:
            if event.day <= day:
                yield from approval_doubts(self.book, self.job, standing.change, event)

    def completion(self) -> tuple[date | None, str | None]:
        """Return the completion date with the days granted, else why there is none."""
        agreed: date | None = self.card["completion_date"]
        if agreed is None:
            return None, "the job has no completion_date"
        granted = sum(state.days_granted for state in self.measured.states.values())
        calendar = calendar_of(self.book, self.job)
        moved = days_later(agreed, granted, calendar if self.card["days"] == "working" else None)
        return moved, None if moved else "the days granted lead beyond the job's calendar"


def _of_daywork(standing: Standing) -> Iterator[str]:
    try:
        value = standing.daywork
    except Refused:  # Its price says so already.
        return
    if value and value.is_beyond:
        yield "daywork_unsigned"
    if value and value.above_cap:
        yield "daywork_above_cap"


def _why(error: Refused) -> str:
    """Return why a change cannot be priced; of any other refusal its facts."""
    fields = error.fields
    return f"{fields['change']}: {fields['why']}" if "why" in fields else str(error)


def weeks_of(listed: ListedChanges, code: str) -> list[tuple[date, str | None, int]]:
    """Return the time booked to a change: the week's first day, the trade worked and the ms."""
    calendar = calendar_of(listed.book, listed.job)
    sums: dict[tuple[date, str | None], int] = defaultdict(int)
    for each in listed.measured.actuals.booked:
        if each.part == code:
            sums[calendar.week_of(each.day), each.trade] += each.ms
    return [(*key, ms) for key, ms in sorted(sums.items(), key=str) if ms]
