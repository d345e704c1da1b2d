"""The life of a change: its price by revision, its instruction, its work and its time.

These are four facts apart, so that work begun on the owner's word can still be priced and signed:
neither instruction nor work bars a move of the price, and time is decided beside it.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

# All that can happen to a change once it is asked for.
EVENTS = (
    *("priced", "submitted", "approved", "declined", "disputed", "counter_offer", "accepted"),
    *("withdrawn", "instructed", "confirmed", "denied", "stopped", "complete"),
    *("time_decided", "notified", "value_agreed"),
)
NO_PRICE_YET = "requested"
ORIGINS = ("owner", "yard", "change_in_law", "unforeseen_condition")
CHANGE_BASES = ("fixed_price", "daywork", "no_charge")

# From the state of a revision's price: the events that may follow. `withdrawn` may, until one is
# approved.
PRICE_MOVES: dict[str, tuple[str, ...]] = {
    "requested": ("priced", "submitted", "approved", "declined"),
    "priced": ("priced", "submitted", "approved", "declined"),
    "submitted": ("approved", "declined", "disputed", "counter_offer"),
    "lapsed": ("submitted", "declined", "counter_offer"),
    "disputed": ("submitted", "approved", "declined", "counter_offer"),
    "counter_offer": ("accepted", "submitted", "declined"),
    "superseded": (),
    "declined": (),
    "approved": ("value_agreed",),
}
# From the instruction as recorded, whoever gave it: the events that may follow. An approval can be
# stopped too, and one that comes after a stop sets the work going again.
INSTRUCTION_MOVES: dict[str, tuple[str, ...]] = {
    "none": ("instructed",),
    "instructed": ("confirmed", "denied", "stopped"),
    "confirmed": ("stopped",),
    "denied": ("instructed",),
    "stopped": (),
}
WORK_MOVES: dict[str, tuple[str, ...]] = {"not complete": ("complete",), "complete": ()}
# Days can be decided again: the last decision holds. Every notice is a fact of its own.
TIME_MOVES: dict[str, tuple[str, ...]] = {
    "open": ("time_decided", "notified"),
    "decided": ("time_decided", "notified"),
}
# The owner's yes to a price, and the yard's to a counter-offer: both approve a revision.
APPROVALS = frozenset({"approved", "accepted"})
# What a party says of a price that was sent; its lines stay as they were sent.
OFFERED = frozenset({"submitted", "declined", "disputed", "counter_offer"}) | APPROVALS
PRICE_EVENTS = OFFERED | {"priced"}
INSTRUCTION_EVENTS = frozenset({"instructed", "confirmed", "denied", "stopped"})
ORDERED = frozenset({"instructed", "confirmed"})
# What only a person may say whom the contract lists, by what that person may do.
BY_LISTED = {
    **dict.fromkeys(("approved", "counter_offer"), "approve"),
    **dict.fromkeys(("instructed", "confirmed", "denied"), "instruct"),
}
YES_TO_LAPSED = "; enter a yes to a lapsed price as counter_offer, then accepted"


@dataclass(frozen=True)
class Event:
    """One event of a change, on the revision it concerns.

    `listed` says that the contract lets its person say so, `silent_from` from which day silence
    confirms an instruction of anybody else.
    """

    name: str
    day: date
    revision: int
    valid_until: date | None = None
    rough: bool = False
    not_to_exceed: bool = False
    days_granted: int | None = None
    agreed_value: Decimal | None = None
    agreed_ms: int | None = None
    days_requested: int | None = None
    person: str | None = None
    reference: str | None = None
    listed: bool = field(default=True, compare=False)
    silent_from: date | None = field(default=None, compare=False)


class IllegalMove(ValueError):
    """An event that may not follow; says which may."""


@dataclass
class ChangeState:
    """Where a change stands on a day."""

    prices: dict[int, str] = field(default_factory=dict)
    rough: dict[int, bool] = field(default_factory=dict)
    valid_until: dict[int, date | None] = field(default_factory=dict)
    dated: dict[int, dict[str, date]] = field(default_factory=dict)
    first_dated: dict[int, dict[str, date]] = field(default_factory=dict)
    days_asked: dict[int, int | None] = field(default_factory=dict)
    last_instruction: str = "none"
    ordered_by: Event | None = None
    instructed_on: date | None = None
    stopped_on: date | None = None
    complete: bool = False
    withdrawn: bool = False
    value_agreed: Event | None = None
    countered: Event | None = None
    not_to_exceed: bool = False
    days_decided: int | None = None
    approved_on: date | None = None
    approved_revision: int | None = None
    submitted_revision: int | None = None
    notices: list[Event] = field(default_factory=list)

    @property
    def instruction(self) -> str:
        """Return the instruction as it counts: none, instructed or stopped.

        One of somebody who is not listed, or above their limit, counts from its confirmation.
        """
        counted = self.instructed_on is not None
        if self.last_instruction == "stopped":
            return "stopped" if counted or self.approved else "none"
        return "instructed" if counted and self.last_instruction != "none" else "none"

    @property
    def awaiting(self) -> Event | None:
        """Return the instruction that awaits its confirmation; none after an approval."""
        waits = (
            self.last_instruction == "instructed"
            and self.instructed_on is None
            and not self.approved
        )
        return self.ordered_by if waits else None

    @property
    def days_granted(self) -> int:
        """Return the days granted as last decided, 0 while nothing is."""
        return self.days_decided or 0

    def price_of(self, revision: int, day: date) -> str:
        """Return a revision's price state on a day; a submitted one lapses after valid_until."""
        state = self.prices.get(revision, NO_PRICE_YET)
        until = self.valid_until.get(revision)
        return "lapsed" if state == "submitted" and until and until < day else state

    def price(self, day: date) -> str:
        """Return the state of the change's price on a day."""
        if self.withdrawn:
            return "withdrawn"
        if self.approved_revision is not None:
            return "approved"
        newest = max(self.prices, default=1)
        if self.submitted_revision is None:
            return self.price_of(newest, day)
        state = self.price_of(self.submitted_revision, day)
        return self.price_of(newest, day) if state == "declined" else state

    def offered_price(self, day: date) -> str:
        """Return the state of the price as the other party knows it: of what was sent to them."""
        state = self.price(day)
        if self.submitted_revision is None or state not in {"requested", "priced"}:
            return state
        return self.price_of(self.submitted_revision, day)

    @property
    def approved(self) -> bool:
        return self.approved_on is not None

    def apply(self, event: Event) -> None:
        """Move on by an event. Raises: IllegalMove with the events that may follow."""
        legal = self.legal(event)
        if event.name not in legal:
            allowed = ", ".join(legal) or "none"
            raise IllegalMove(
                f"{event.name} on {event.day} is not allowed {self._state_text(event)}; "
                f"allowed: {allowed}{self._remedy(event)}"
            )
        if event.name in APPROVALS and self.rough.get(event.revision):
            raise IllegalMove("a rough price cannot be approved; load a firm priced event first")
        self._move(event)

    def legal(self, event: Event) -> list[str]:
        """Return the events that may come on the day and revision of `event`."""
        if self.withdrawn:
            return self._moves_besides() if self.last_instruction in ORDERED else []
        if self.approved:
            moves = [] if self.value_agreed else list(PRICE_MOVES["approved"])
        else:
            moves = [*self._price_moves(event), "withdrawn"]
        return [*moves, *self._moves_besides()]

    def _moves_besides(self) -> list[str]:
        """Return the moves of instruction, work and time."""
        ordered = list(INSTRUCTION_MOVES[self.last_instruction])
        if self.approved and self.last_instruction != "stopped" and "stopped" not in ordered:
            ordered.append("stopped")
        work = WORK_MOVES["complete" if self.complete else "not complete"]
        time = TIME_MOVES["open" if self.days_decided is None else "decided"]
        return [*ordered, *work, *time]

    def _price_moves(self, event: Event) -> list[str]:
        """Return the moves of a revision's price; one drawn up from a counter-offer is accepted."""
        state = self.price_of(event.revision, event.day)
        countered = [each for each, price in self.prices.items() if price == "counter_offer"]
        drawn_up = state in {"requested", "priced"} and event.revision > max(countered, default=0)
        return [*PRICE_MOVES[state], *["accepted"] * bool(countered and drawn_up)]

    def _remedy(self, event: Event) -> str:
        lapsed = self.price_of(event.revision, event.day) == "lapsed"
        return YES_TO_LAPSED if lapsed and event.name == "approved" else ""

    def _state_text(self, event: Event) -> str:
        if self.withdrawn:
            return "after withdrawal"
        price = self.price(event.day)
        revision = self.price_of(event.revision, event.day)
        clauses = [f"with price {price}"]
        if revision != price:
            clauses.append(f"revision {event.revision} {revision}")
        return ", ".join([*clauses, f"instruction {self.last_instruction}"])

    def _move(self, event: Event) -> None:
        if event.name in PRICE_EVENTS:
            self._move_price(event)
        elif event.name in INSTRUCTION_EVENTS:
            self._move_instruction(event)
        elif event.name == "value_agreed":
            self.value_agreed = event
        elif event.name == "time_decided":
            self.days_decided = event.days_granted
        elif event.name == "notified":
            self.notices.append(event)
        else:
            setattr(self, event.name, True)

    def _move_instruction(self, event: Event) -> None:
        self.last_instruction = event.name
        if event.name == "instructed":
            self.ordered_by = event
            self.instructed_on = event.day if event.listed else None
        elif event.name == "confirmed" and event.listed:
            self.instructed_on = self.instructed_on or event.day
        elif event.name == "stopped":
            self.stopped_on = event.day

    def let_silence_confirm(self, day: date) -> None:
        """Let an instruction count that nobody denied until silence confirmed it."""
        from_day = self.ordered_by.silent_from if self.ordered_by else None
        if self.last_instruction == "instructed" and self.instructed_on is None and from_day:
            self.instructed_on = from_day if from_day <= day else None

    def _move_price(self, event: Event) -> None:
        state = "approved" if event.name in APPROVALS else event.name
        self.prices[event.revision] = state
        self.dated.setdefault(event.revision, {})[state] = event.day
        self.first_dated.setdefault(event.revision, {}).setdefault(state, event.day)
        if event.name == "priced":
            self.rough[event.revision] = event.rough
        if event.name == "submitted" and event.rough:
            self.rough[event.revision] = True
        if event.name == "submitted":
            for earlier, price in self.prices.items():
                if earlier < event.revision and price != "declined":
                    self.prices[earlier] = "superseded"
            self.submitted_revision = event.revision
            self.valid_until[event.revision] = event.valid_until
            self.days_asked[event.revision] = event.days_requested
        if event.name == "counter_offer":
            self.countered = event
        if event.name in APPROVALS:
            self._approve(event)

    def _approve(self, event: Event) -> None:
        self.approved_on, self.approved_revision = event.day, event.revision
        if self.last_instruction == "stopped":  # An approval after a stop sets the work going.
            self.last_instruction, self.stopped_on = "none", None
        offers = [event, self.countered] if event.name == "accepted" else [event]
        terms = [each for each in offers if each]
        self.not_to_exceed = any(each.not_to_exceed for each in terms)
        days = [each.days_granted for each in terms if each.days_granted is not None]
        self.days_decided = days[0] if days else self.days_decided

    def pricing_date(self, revision: int) -> date | None:
        """Return the revision's pricing date: priced, else submitted, else approved.

        A price that is submitted again is the one that was offered first.
        """
        dated = self.first_dated.get(revision, {})
        return dated.get("priced") or dated.get("submitted") or dated.get("approved")


def state_on(events: Iterable[Event], day: date) -> ChangeState:
    """Return the state after the events dated by `day`, in the order of their dates."""
    state = ChangeState()
    for event in sorted(events, key=lambda each: each.day):
        if event.day <= day:
            state.let_silence_confirm(event.day)
            state.apply(event)
    state.let_silence_confirm(day)
    return state
