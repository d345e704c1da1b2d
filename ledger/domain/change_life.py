"""The life of a change: its price by revision, its instruction, its work."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

NO_PRICE_YET = "requested"
ORIGINS = ("owner", "yard", "change_in_law", "unforeseen_condition")
CHANGE_BASES = ("fixed_price", "daywork", "no_charge")

# From the state of a revision's price: the events that may follow.
PRICE_MOVES = {
    "requested": ("priced", "submitted", "approved", "declined"),
    "priced": ("priced", "submitted", "approved", "declined"),
    "submitted": ("approved", "declined", "disputed", "counter_offer"),
    "lapsed": ("submitted", "declined", "counter_offer"),
    "disputed": ("submitted", "approved", "declined", "counter_offer"),
    "counter_offer": ("accepted", "submitted", "declined"),
    "superseded": (),
    "declined": (),
    "approved": (),
}
# The owner's yes to a price, and the yard's to a counter-offer: both approve a revision.
APPROVALS = frozenset({"approved", "accepted"})
# What a party says of a price that was sent; its lines stay as they were sent.
OFFERED = frozenset({"submitted", "declined", "disputed", "counter_offer"}) | APPROVALS
PRICE_EVENTS = OFFERED | {"priced"}
YES_TO_LAPSED = "; enter a yes to a lapsed price as counter_offer, then accepted"


@dataclass(frozen=True)
class Event:
    """One event of a change, on the revision it concerns."""

    name: str
    day: date
    revision: int
    valid_until: date | None = None
    rough: bool = False
    not_to_exceed: bool = False
    days_granted: int | None = None
    agreed_value: Decimal | None = None
    agreed_ms: int | None = None


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
    instruction: str = "none"
    complete: bool = False
    withdrawn: bool = False
    value_agreed: Event | None = None
    countered: Event | None = None
    not_to_exceed: bool = False
    days_granted: int = 0
    approved_on: date | None = None
    approved_revision: int | None = None
    instructed_on: date | None = None
    stopped_on: date | None = None
    submitted_revision: int | None = None

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
                f"{event.name} on {event.day} is not allowed {self._told(event)}; "
                f"allowed: {allowed}{self._remedy(event)}"
            )
        if event.name in APPROVALS and self.rough.get(event.revision):
            raise IllegalMove("a rough price cannot be approved; load a firm priced event first")
        self._move(event)

    def legal(self, event: Event) -> list[str]:
        """Return the events that may come on the day and revision of `event`."""
        if self.withdrawn:
            return self._moves_of_work() if self.instruction == "instructed" else []
        moves = [] if self.approved else [*self._price_moves(event), "withdrawn"]
        if self.instruction == "none":
            moves.append("instructed")
        moves += self._moves_of_work()
        if self.approved and not self.value_agreed:
            moves.append("value_agreed")
        return moves

    def _moves_of_work(self) -> list[str]:
        ordered = self.instruction == "instructed" or (
            self.approved and self.instruction != "stopped"
        )
        return [*["stopped"] * ordered, *["complete"] * (not self.complete)]

    def _price_moves(self, event: Event) -> list[str]:
        """Return the moves of a revision's price; one drawn up from a counter-offer is accepted."""
        state = self.price_of(event.revision, event.day)
        countered = [each for each, price in self.prices.items() if price == "counter_offer"]
        drawn_up = state in {"requested", "priced"} and event.revision > max(countered, default=0)
        return [*PRICE_MOVES[state], *["accepted"] * bool(countered and drawn_up)]

    def _remedy(self, event: Event) -> str:
        lapsed = self.price_of(event.revision, event.day) == "lapsed"
        return YES_TO_LAPSED if lapsed and event.name == "approved" else ""

    def _told(self, event: Event) -> str:
        if self.withdrawn:
            return "after withdrawal"
        price = self.price(event.day)
        revision = self.price_of(event.revision, event.day)
        parts = [f"with price {price}"]
        if revision != price:
            parts.append(f"revision {event.revision} {revision}")
        return ", ".join([*parts, f"instruction {self.instruction}"])

    def _move(self, event: Event) -> None:
        if event.name in PRICE_EVENTS:
            self._move_price(event)
        elif event.name in {"instructed", "stopped"}:
            self.instruction = event.name
            if event.name == "instructed":
                self.instructed_on = event.day
            else:
                self.stopped_on = event.day
        elif event.name == "value_agreed":
            self.value_agreed = event
        else:
            setattr(self, event.name, True)

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
        if event.name == "counter_offer":
            self.countered = event
        if event.name in APPROVALS:
            self._approve(event)

    def _approve(self, event: Event) -> None:
        self.approved_on, self.approved_revision = event.day, event.revision
        if self.instruction == "stopped":  # An approval after a stop sets the work going.
            self.instruction, self.stopped_on = "none", None
        offers = [event, self.countered] if event.name == "accepted" else [event]
        terms = [each for each in offers if each]
        self.not_to_exceed = any(each.not_to_exceed for each in terms)
        self.days_granted = next((e.days_granted for e in terms if e.days_granted is not None), 0)

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
            state.apply(event)
    return state
