"""Where changes stand on a day: in what state, at which price, with which hours."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from functools import cached_property
from typing import TypeVar

from ledger.changes.daywork import Daywork
from ledger.changes.daywork_place import daywork_terms_of_price, estimate_of
from ledger.changes.daywork_terms import DayworkTerms
from ledger.changes.prices import NOTHING, Price, PriceList, price_of
from ledger.changes.provisional_sums import omission_lines
from ledger.changes.requests import Change, changes_of
from ledger.changes.rows import KnownPriceLine
from ledger.domain.change_life import ChangeState
from ledger.domain.daywork import DayworkValue, daywork_value
from ledger.domain.pricing import YardPriceLine
from ledger.errors import Refused
from ledger.outcomes import Outcome
from ledger.store.book import Book

# Of these states the price is the one that was sent.
SENT = frozenset({"submitted", "lapsed", "disputed", "counter_offer"})


@dataclass(frozen=True)
class StandingBasis:
    """What the changes of a job are shown by: the day, prices, hours net, worked, and daywork.

    `is_final` says that the final account is agreed: what no change spent of provisional sums is
    omitted by it, so that nothing is left of them.
    """

    day: date
    prices: PriceList
    net_ms: dict[str, int]
    worked_ms: dict[str, int]
    daywork: Daywork
    is_final: bool = field(default=False, kw_only=True)


@dataclass(frozen=True)
class Standing:
    """A change with its state on the day and the revision that is shown of it, if any."""

    change: Change
    state: ChangeState
    known: StandingBasis
    price_state: str
    revision: int | None
    # What was left of each provisional sum before this change.
    sums_left: Mapping[str, Decimal] = field(default_factory=dict)

    @property
    def approved(self) -> bool:
        return self.price_state == "approved"

    @property
    def instructed(self) -> bool:
        """Whether it is instructed and not approved: the anticipated final sum holds its price."""
        return self.state.instruction == "instructed" and not self.approved

    @property
    def on_account(self) -> bool:
        """Whether its work may be claimed on account: it is instructed, or its price disputed."""
        return self.instructed or (self.price_state == "disputed" and not self.approved)

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
    def lines(self) -> list[KnownPriceLine]:
        return [] if self.revision is None else self.change.lines.get(self.revision, [])

    @property
    def price_lines(self) -> tuple[YardPriceLine, ...]:
        """The lines of the price shown, each with its rate and amount."""
        return () if self.revision is None else self.lines_of(self.revision)

    @property
    def sums_omitted(self) -> tuple[YardPriceLine, ...]:
        """The lines by which the price shown omits provisional sums."""
        if self.revision is None:
            return ()
        priced = self.known.prices.priced(self.change, self.state, self.revision)
        return omission_lines(priced.spent, self.sums_left)

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

    @property
    def daywork_terms(self) -> DayworkTerms:
        """The percentages on its daywork: its own additions, else those the job agreed with it."""
        offered = None if self.revision is None else self.change.offered_in(self.revision)
        return daywork_terms_of_price(self.lines, self.known.prices.terms_of(offered).daywork)

    @cached_property
    def daywork(self) -> DayworkValue | None:
        """What it comes to by daywork sheets, its estimate and what was worked.

        None of what is not daywork, is not approved, or has its value agreed.
        """
        if not self.approved or not self.estimated or self.revision is None:
            return None
        daywork, code, terms = self.known.daywork, self.change.code, self.daywork_terms
        priced = self.known.prices.priced(self.change, self.state, self.revision)
        return daywork_value(
            estimate_of((*priced.selling, *self.sums_omitted)),
            daywork.done(code, terms),
            daywork.done_and_agreed(code, terms),
            complete=self.state.complete,
            capped=self.capped,
        )

    @property
    def amount(self) -> Decimal | None:
        """What it comes to: the value agreed, of other daywork its place in the adjusted sum,
        else its price; None without one.
        """
        if self.agreed_value is not None:
            omitted = (line.amount for line in self.sums_omitted)
            return sum(omitted, self.agreed_value)
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
        """The days asked for: with the price sent, before that with the request.

        None leaves them open: a price sent without days does not ask for those of the request.
        """
        asked = self.state.days_asked
        sent = self.revision if self.revision in asked else self.state.submitted_revision
        return self.change.facts["days_requested"] if sent is None else asked[sent]

    @property
    def days_open(self) -> bool:
        """Whether it is approved, and days asked for or left open are not decided."""
        undecided = self.state.days_decided is None
        return self.approved and undecided and self.days_requested != 0

    @property
    def days(self) -> int | None:
        """The days that stand: as decided, else as asked for until it is approved; None is open.

        Every paper of a change has these.
        """
        if self.state.days_decided is not None:
            return self.state.days_decided
        return None if self.days_open else self.days_requested

    @property
    def owner_texts(self) -> tuple[str, ...]:
        """What the revision shown says to the owner, each text once."""
        texts = (line["owner_text"] for line in self.lines)
        return tuple(dict.fromkeys(filter(None, texts)))

    def price_of(self, revision: int) -> Price:
        """Return the price of a revision, net of what it omits of provisional sums."""
        return price_of(self.lines_of(revision))

    def lines_of(self, revision: int) -> tuple[YardPriceLine, ...]:
        """Return the lines of a revision, with what it omits of provisional sums."""
        priced = self.known.prices.priced(self.change, self.state, revision)
        return (*priced.lines, *omission_lines(priced.spent, self.sums_left))


def yard_known(book: Book, job: str, day: date) -> StandingBasis:
    """Return what the changes of a job are shown by, up to a day."""
    net = book.rows("owner/change_hours", job=job, status_date=day)
    worked = book.rows("owner/worked_hours", job=job, status_date=day)
    prices = PriceList(book, job)
    return StandingBasis(
        day,
        prices,
        {change: int(ms) for change, ms in net},
        {change: int(ms) for change, ms in worked},
        Daywork(book, job, day, prices),
        is_final=final_by(book, job, day),
    )


def final_by(book: Book, job: str, day: date) -> bool:
    """Whether the final account of a job is agreed by a day."""
    return bool(book.rows("owner/final_accounts", job=job, status_date=day))


def yard_standing(change: Change, known: StandingBasis) -> Standing:
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
    asked = [yard_standing(each, known) for each in changes if each.facts["requested_on"] <= day]
    return with_sums_left(asked)


StandingT = TypeVar("StandingT", bound=Standing)


def with_sums_left(standings: Sequence[StandingT]) -> list[StandingT]:
    """Return the changes of a job with what is left of the provisional sums for each, in order.

    Approved ones spend them in the order of their approval, then those instructed; any other finds
    what these leave, and spends nothing until then. Once the final account is agreed it leaves
    nothing to what is not approved.
    """
    if not any(line["provisional_sum"] for each in standings for line in each.lines):
        return list(standings)
    left = {s.name: s.amount for s in standings[0].known.prices.provisional_sums.values()}
    nothing, is_final = dict.fromkeys(left, NOTHING), standings[0].known.is_final
    by_code: dict[str, StandingT] = {}
    for each in sorted(standings, key=_turn):
        if is_final and not each.approved:
            by_code[each.change.code] = replace(each, sums_left=nothing)
            continue
        by_code[each.change.code] = placed = replace(each, sums_left=dict(left))
        if each.approved or each.instructed:
            for line in omitted_by(placed):
                left[line.description] += line.amount
    return [by_code[each.change.code] for each in standings]


def _turn(standing: Standing) -> tuple[int, date, str]:
    """Return when a change spends provisional sums: approved ones first, then those instructed."""
    state, code = standing.state, standing.change.code
    if standing.approved:
        return 0, state.dated[state.approved_revision or 1]["approved"], code
    turn = 1 if standing.instructed else 2
    return turn, state.instructed_on or standing.known.day, code


def omitted_by(standing: Standing) -> tuple[YardPriceLine, ...]:
    """Return what a change omits of provisional sums; nothing while it cannot be priced."""
    try:
        return standing.sums_omitted
    except Refused:
        return ()


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
    standing = next(each for each in standings(book, job, day) if each.change.code == code)
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
