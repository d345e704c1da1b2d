"""Every change of a job with its price and hours, what needs attention, and what it comes to.

Prices and sums are those of the owner's statement, at the yard's latest price; hours are those of
the overrun.
"""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from functools import cached_property

from ledger.changes.base_time import time_beyond
from ledger.changes.completion import Completion, completion
from ledger.changes.daywork_shown import DayworkNow, daywork_now
from ledger.changes.exposure import Exposure, exposure
from ledger.changes.prices import NOTHING
from ledger.changes.provisional_sums import SumSpent, sums_spent
from ledger.changes.requests import changes_of
from ledger.changes.standing import (
    Standing,
    omitted_by,
    with_sums_left,
    yard_known,
    yard_standing,
)
from ledger.changes.sums import ContractSums, contract_sum_on, contract_sums, sums_unspent
from ledger.domain.attention import Attention, rank
from ledger.errors import Refused
from ledger.jobs.jobs import calendar_of, job_card
from ledger.performance.attention import Watch, levels_of, notice_limits_of
from ledger.performance.basis import Scope
from ledger.performance.measure import Measured
from ledger.performance.status_dates import default_status_date
from ledger.store.book import Book


@dataclass(frozen=True)
class ListedChange:
    """A change as listed: where it stands, its amount, and its hours booked and anticipated.

    `unpriced` says why it has no amount, `attention` what is to be done about it, `exposure` what
    was worked without a price or a signature.
    """

    standing: Standing
    amount: Decimal | None
    unpriced: str | None
    booked_ms: int
    anticipated_ms: int
    exposure: Exposure
    attention: tuple[Attention, ...]
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
    completion: Completion
    undefined: dict[str, str] = field(default_factory=dict)
    provisional_sums: tuple[SumSpent, ...] = ()

    @property
    def exposure(self) -> Exposure:
        """Return what was worked on all changes without a price or a signature."""
        return sum((each.exposure for each in self.changes), Exposure())

    @property
    def worst_first(self) -> list[ListedChange]:
        """Return the changes that need attention, worst first, of these the largest exposure."""
        waiting = [each for each in self.changes if each.attention]
        return sorted(waiting, key=lambda e: (rank(a.kind for a in e.attention), -e.exposure.ms))


def changes_day(book: Book, job: str, status_date: date | None) -> date:
    """Return the status date given, else the usual one or the newest day of a change if later.

    Of daywork the days of its sheets and items count too.

    Raises: Refused when there is no such job, or no day to be told.
    """
    job_card(book, job)
    if status_date:
        return status_date
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
    """The changes of a job on a day, worked out once; as measured, if it was measured in hours."""

    def __init__(self, book: Book, job: str, day: date, measured: Measured | None = None) -> None:
        self.book, self.job, self.day = book, job, day
        self.card = job_card(book, job)
        self.known = yard_known(book, job, day)
        self.measured = measured or Measured(book, job, Scope(day))

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
        original, _ = contract_sum_on(self.book, self.job, self.card.contract_sum, self.day)
        try:
            unspent = sums_unspent(self.book, self.job, self.day, self.standings)
            sums = contract_sums(original, self.standings, unspent, self.time_beyond(original))
        except Refused as error:
            sums, undefined["sums"] = None, _why(error)
        finish = completion(
            self.book,
            self.job,
            self.card.completion_date,
            self.card.days,
            self.measured.states.values(),
        )
        if finish.why:
            undefined["completion_date"] = finish.why
        listed = tuple(map(self.listed, self.standings))
        undefined |= {f"{e.standing.change.code}.price": e.unpriced for e in listed if e.unpriced}
        return ChangeList(
            self.job,
            self.day,
            self.book.setting("yard.currency", ""),
            listed,
            original.quantize(NOTHING),
            sums,
            finish,
            undefined,
            self.provisional_sums(),
        )

    def time_beyond(self, estimate: Decimal) -> Decimal:
        """Return what base time that is paid by the hour comes to beyond the estimate."""
        return time_beyond(self.book, self.job, self.day, estimate, self.standings)

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
        return ListedChange(
            standing,
            amount,
            unpriced,
            booked,
            anticipated(self.measured, code),
            exposure(standing),
            self.watch.of(standing, booked, self.measured.actuals.first_day_of(code)),
            daywork_now(standing),
        )

    @cached_property
    def watch(self) -> Watch:
        """Return by what the changes of the job are watched."""
        limits = notice_limits_of(self.card)
        return Watch(self.book, self.job, self.day, levels_of(self.book), limits)


def anticipated(measured: Measured, code: str) -> int:
    """Return what a change will have taken in the end, in whole units of the measured scope.

    In cost with the overtime premium to date that stands there.
    """
    if measured.is_variation(code):
        forecast = sum(cell.forecast for cell in measured.cells.values() if cell.part == code)
        return forecast + measured.actuals.premium_of(code)
    return measured.unapproved.amounts(code)[2]


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
