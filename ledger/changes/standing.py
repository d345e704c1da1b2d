"""Where changes stand on a day: in what state, at which price, with which hours."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from functools import cached_property
from typing import Any

from ledger.changes.daywork import Daywork
from ledger.changes.daywork_place import estimate_of
from ledger.changes.prices import NOTHING, Price, PriceList
from ledger.changes.requests import Change, changes_of
from ledger.domain.change_life import ChangeState
from ledger.domain.daywork import DayworkValue, daywork_value
from ledger.domain.pricing import PriceLine
from ledger.errors import Refused
from ledger.outcomes import Outcome
from ledger.store.book import Book

# Of these states the price is the one that was sent.
SENT = frozenset({"submitted", "lapsed", "disputed", "counter_offer"})


@dataclass(frozen=True)
class Known:
    """What the changes of a job are shown by: the day, prices, hours net, worked, and daywork."""

    day: date
    prices: PriceList
    net_ms: dict[str, int]
    worked_ms: dict[str, int]
    daywork: Daywork


@dataclass(frozen=True)
class Standing:
    """A change with its state on the day and the revision that is shown of it, if any."""

    change: Change
    state: ChangeState
    known: Known
    price_state: str
    revision: int | None

    @property
    def approved(self) -> bool:
        return self.price_state == "approved"

    @property
    def instructed(self) -> bool:
        """Whether it is instructed and not approved: the anticipated final sum holds its price."""
        return self.state.instruction == "instructed" and not self.approved

    @property
    def basis(self) -> str:
        """How it is paid for: fixed_price, daywork or no_charge."""
        return str(self.change.facts["change_basis"])

    @property
    def capped(self) -> bool:
        """Whether it was approved not to exceed its price."""
        return self.approved and self.state.not_to_exceed

    @property
    def estimated(self) -> bool:
        """Whether its price is an estimate: of daywork until a value is agreed."""
        return self.basis == "daywork" and self.agreed_value is None

    @property
    def lines(self) -> list[dict[str, Any]]:
        return [] if self.revision is None else self.change.lines.get(self.revision, [])

    @property
    def price_lines(self) -> tuple[PriceLine, ...]:
        """The lines of the price shown, each with its rate and amount."""
        if self.revision is None:
            return ()
        return self.known.prices.lines(self.change, self.state, self.revision)

    @property
    def price(self) -> Price | None:
        return None if self.revision is None else self.price_of(self.revision)

    @property
    def agreed_value(self) -> Decimal | None:
        """The value agreed for daywork, which stands in place of its estimate."""
        agreed = self.state.value_agreed
        if agreed is None or agreed.agreed_value is None:
            return None
        return agreed.agreed_value.quantize(NOTHING, ROUND_HALF_UP)

    @cached_property
    def daywork(self) -> DayworkValue | None:
        """What it comes to by daywork sheets, its estimate and what was worked.

        None of what is not daywork, is not approved, or has its value agreed.
        """
        if not self.approved or not self.estimated:
            return None
        daywork, code = self.known.daywork, self.change.code
        return daywork_value(
            estimate_of(self.price_lines),
            daywork.done(code),
            daywork.done_and_agreed(code),
            complete=self.state.complete,
            capped=self.capped,
        )

    @property
    def amount(self) -> Decimal | None:
        """What it comes to: the value agreed, of other daywork its place in the adjusted sum,
        else its price; None without one.
        """
        if self.agreed_value is not None:
            return self.agreed_value
        if self.daywork is not None:
            return self.daywork.amount
        return self.price.net if self.price else None

    @property
    def hours_ms(self) -> int | None:
        """What it adds less what it takes out: of an approved one as it changed the budget."""
        if self.revision is None:
            return None
        if self.state.approved:
            return self.known.net_ms.get(self.change.code, 0)
        return sum(int(line["ms"]) for line in self.lines if line["ms"] is not None)

    @property
    def days_requested(self) -> int | None:
        """The days asked for: with the price sent, else with the request; None leaves them open."""
        sent = self.state.days_asked.get(self.state.submitted_revision or 0)
        requested: int | None = self.change.facts["days_requested"]
        return requested if sent is None else sent

    def price_of(self, revision: int) -> Price:
        return self.known.prices.price(self.change, self.state, revision)


def yard_known(book: Book, job: str, day: date) -> Known:
    """Return what the changes of a job are shown by, up to a day."""
    net = book.rows("owner/change_hours", job=job, status_date=day)
    worked = book.rows("owner/worked_hours", job=job, status_date=day)
    prices = PriceList(book, job)
    return Known(
        day,
        prices,
        {change: int(ms) for change, ms in net},
        {change: int(ms) for change, ms in worked},
        Daywork(book, job, day, prices),
    )


def yard_standing(change: Change, known: Known) -> Standing:
    """Return where a change stands for the yard: of one that is instructed at its latest price.

    Of a price that was sent and not instructed the one sent is shown, else the latest.
    """
    state, day = change.state(known.day), known.day
    price_state = state.price(day)
    revision = change.latest_revision(day)
    if price_state == "approved":
        revision = state.approved_revision
    elif price_state in SENT and state.instruction == "none":
        revision = state.submitted_revision
    return Standing(change, state, known, price_state, revision)


def standings(book: Book, job: str, day: date) -> list[Standing]:
    """Return where the changes requested by a day stand for the yard, in the order requested."""
    known = yard_known(book, job, day)
    changes: Iterable[Change] = changes_of(book, job).values()
    return [yard_standing(each, known) for each in changes if each.facts["requested_on"] <= day]


@dataclass(frozen=True)
class ChangeNow(Outcome):
    """Where a change stands after what was entered last; `unpriced` says why it has no amount."""

    title: str
    price_state: str
    revision: int | None
    hours_ms: int | None
    amount: Decimal | None
    currency: str
    instruction: str
    complete: bool
    days: tuple[int | None, int | None]
    unpriced: Refused | None = None


def change_now(book: Book, job: str, code: str) -> ChangeNow:
    """Return where a change stands after all that is recorded of it."""
    change = changes_of(book, job)[code]
    day = max([change.facts["requested_on"], *(event.day for event in change.events)])
    standing = yard_standing(change, yard_known(book, job, day))
    amount, unpriced = None, None
    try:
        amount = standing.amount
    except Refused as error:
        unpriced = error
    state = standing.state
    return ChangeNow(
        change.facts["title"] or "",
        standing.price_state,
        standing.revision,
        standing.hours_ms,
        amount,
        book.setting("yard.currency", ""),
        "awaiting" if state.awaiting else state.instruction,
        state.complete,
        (standing.days_requested, state.days_decided),
        unpriced,
    )
