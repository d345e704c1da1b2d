"""What of each change needs attention on a day, by the yard's levels and the contract's limits."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from ledger.changes.authority import approval_doubts
from ledger.changes.standing import SENT, Standing
from ledger.domain.attention import (
    ATTENTION,
    Attention,
    Levels,
    NoticeGiven,
    NoticeLimits,
    of_hours,
    of_notice,
    of_quotation,
    of_waiting,
)
from ledger.domain.defaults import SETTINGS
from ledger.errors import Refused
from ledger.jobs.jobs import JobCard
from ledger.performance.instructions import is_unwritten
from ledger.store.book import Book

OF_PRICES = {
    "lapsed": "price_lapsed",
    "disputed": "price_disputed",
    "counter_offer": "counter_offer",
    "priced": "price_not_sent",
}
# Of these prices nothing more is asked of the owner.
ENDED = frozenset({"declined", "withdrawn"})


def levels_of(book: Book) -> Levels:
    """Return from when the yard is reminded, as set or by default."""
    names = ("decision_days", "hours_percent", "days_ahead")
    full = [f"reminder_levels.{name}" for name in names]
    return Levels(*[int(book.setting(name, SETTINGS[name])) for name in full])


def notice_limits_of(card: JobCard) -> NoticeLimits:
    """Return the limits that a job's card has."""
    return NoticeLimits(**json.loads(card.notice_limits))


@dataclass(frozen=True)
class Watch:
    """A job on a day, with the levels and limits that its changes are watched by."""

    book: Book
    job: str
    day: date
    levels: Levels
    limits: NoticeLimits

    def of(
        self, standing: Standing, booked_ms: int, first_booked: date | None = None
    ) -> tuple[Attention, ...]:
        """Return what of a change needs attention, worst first."""
        watched = _Watched(self, standing, booked_ms, first_booked)
        by_kind = {each.kind: each for each in watched.every()}
        return tuple(by_kind[kind] for kind in ATTENTION if kind in by_kind)


@dataclass(frozen=True)
class _Watched:
    """One change with the time booked to it, and the first day of it."""

    watch: Watch
    standing: Standing
    booked_ms: int
    first_booked: date | None

    def every(self) -> Iterator[Attention]:
        yield from self._of_hours()
        yield from self._of_instruction()
        yield from self._of_price()
        yield from self._of_daywork()
        yield from self._of_limits()
        yield from self._of_days()
        for event in self.standing.change.events:
            if event.day <= self.watch.day:
                watch, change = self.watch, self.standing.change
                for lack in approval_doubts(watch.book, watch.job, change, event):
                    yield Attention(lack)

    def _of_hours(self) -> Iterator[Attention]:
        """Yield whether the hours of a price are used up: of uncapped daywork they may be."""
        standing = self.standing
        if standing.revision is None or standing.agreed_value is not None:
            return
        # An omission has no hours of its own to go over.
        priced = sum(standing.change.added_ms(standing.revision).values())
        kind = of_hours(self.booked_ms, priced, self.watch.levels.hours_percent)
        open_ended = standing.basis == "daywork" and not standing.capped
        ordered = standing.approved or standing.instructed
        if kind == "over_agreed_hours" and ordered and not open_ended:
            yield Attention(kind)
        if kind == "near_agreed_hours" and ordered and not standing.state.complete:
            yield Attention(kind)

    def _of_instruction(self) -> Iterator[Attention]:
        standing = self.standing
        if standing.state.awaiting:
            yield Attention("confirmation_awaited")
        if is_unwritten(self.watch.book, self.watch.job, standing.change, standing.state):
            yield Attention("instruction_unwritten")
        if standing.instructed:
            unpriced = standing.revision is None
            yield Attention("instructed_unpriced" if unpriced else "instructed_price_open")
        if self.booked_ms and not standing.approved and standing.state.instruction == "none":
            yield Attention("worked_not_instructed")

    def _of_price(self) -> Iterator[Attention]:
        standing, day = self.standing, self.watch.day
        state, price = standing.state, standing.price_state
        if price in {"submitted", "lapsed"}:
            needed_by = standing.change.facts["decision_needed_by"]
            sent_on = self._sent_on if price == "submitted" else None
            if waits := of_waiting(sent_on, needed_by, self.watch.levels, day):
                yield waits
        if price in OF_PRICES:
            yield Attention(OF_PRICES[price])
        if price == "submitted":
            if state.rough.get(standing.revision or 0):
                yield Attention("rough_price")
            until = state.valid_until.get(state.submitted_revision or 0)
            if until and (until - day).days <= self.watch.levels.days_ahead:
                yield Attention("price_lapsing", until)

    def _of_daywork(self) -> Iterator[Attention]:
        try:
            value = self.standing.daywork
        except Refused:  # Its price says so already.
            return
        if value and value.is_beyond:
            yield Attention("daywork_unsigned")
        if value and value.above_cap:
            yield Attention("daywork_above_cap")

    @cached_property
    def _sent_on(self) -> date | None:
        state = self.standing.state
        return state.dated.get(state.submitted_revision or 0, {}).get("submitted")

    def _of_limits(self) -> Iterator[Attention]:
        """Yield what the contract's limits ask for; of the yard's own changes there is none."""
        standing, watch = self.standing, self.watch
        state, facts = standing.state, standing.change.facts
        closed = standing.price_state in ENDED and not standing.instructed
        if facts["origin"] == "yard" or closed:
            return
        ahead = watch.levels.days_ahead
        if not standing.approved or self._days_open:
            ordered = [event.day for event in standing.change.events if event.name == "instructed"]
            # Time booked to it before it was requested: the yard was aware of it then.
            worked = [self.first_booked] if self.first_booked else []
            aware = min([facts["requested_on"], *ordered, *worked])
            if notice := of_notice(aware, self._notices, watch.limits, watch.day, ahead):
                yield notice
        ordered_on = state.instructed_on if standing.instructed else None
        if ordered_on and state.submitted_revision is None:
            price = of_quotation(ordered_on, watch.limits, watch.day, ahead)
            yield from [price] if price else []

    @property
    def _notices(self) -> Iterator[NoticeGiven]:
        for record in self.standing.change.records:
            if record["event"] == "notified":
                yield NoticeGiven(record["day"], record["aware_on"], record["received_on"])

    @property
    def _days_open(self) -> bool:
        return bool(self.standing.days_requested) and self.standing.state.days_decided is None

    def _of_days(self) -> Iterator[Attention]:
        standing = self.standing
        sent = standing.approved or standing.price_state in SENT
        if self._days_open and sent:
            yield Attention("days_not_decided")
        if standing.days_requested is None and standing.price_state == "submitted":
            yield Attention("days_not_stated")
