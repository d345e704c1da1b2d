"""What of a job may be claimed by a day, line by line, and what is left out and why."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from ledger.baseline.job_baseline import JobBaseline
from ledger.billing.certified import Certified, certified_to_date
from ledger.billing.measured_share import MeasuredShares
from ledger.changes.base_time import worked_base
from ledger.changes.claim_terms import (
    BASE,
    ClaimBase,
    ClaimedToDate,
    billed_currency,
    claim_base,
    claimed_to_date,
)
from ledger.changes.daywork_terms import DayworkTerms
from ledger.changes.prices import PriceList
from ledger.changes.standing import Standing, standings
from ledger.domain.allocation import hours_of
from ledger.domain.certified import by_item, set_against
from ledger.domain.certified import claimed as claimed_of
from ledger.domain.claims import (
    ClaimLine,
    ClaimSums,
    Stage,
    claim_sums,
    credited_with,
)
from ledger.domain.pricing import NOTHING, PriceLine
from ledger.errors import Refused
from ledger.jobs.jobs import job_card
from ledger.store.book import Book

# Why something is left out of a claim.
REASONS = (
    *("not_reached", "no_claim_percent", "unsigned_daywork", "over_cap", "no_charge_rate"),
    *("not_approved", "instructed_price_open", "lapsed", "disputed", "counter_offer"),
    "disallowed",
)
# States of a price of which nothing more is asked.
ENDED = frozenset({"declined", "withdrawn"})
# States of a price that say by themselves why nothing is claimed.
BY_STATE = frozenset({"lapsed", "disputed", "counter_offer"})


@dataclass(frozen=True)
class NotClaimed:
    """What is not claimed and why; `item` is the base, a stage or a change.

    `amount` has two places, None where it is not known; `why` is what a certificate says.
    """

    item: str
    reason: str
    amount: Decimal | None
    why: str = ""


@dataclass(frozen=True)
class Claimable:
    """What may be claimed of a job by a day."""

    job: str
    day: date
    currency: str
    original_sum: Decimal
    lines: tuple[ClaimLine, ...]
    left_out: tuple[NotClaimed, ...]
    sums: ClaimSums
    certified: Certified

    @property
    def to_be_credited(self) -> Decimal:
        """Return what was certified and is due no longer, not below 0."""
        corrections = (-line.amount for line in self.lines if line.claim_kind == "correction")
        return sum(corrections, NOTHING)

    @property
    def total(self) -> Decimal:
        """Return what may be claimed now, gross: without retention, advance and tax."""
        return sum((line.amount for line in self.lines), NOTHING)


def claimable(book: Book, job: str, day: date, baseline: JobBaseline | None = None) -> Claimable:
    """Return what may be claimed of a job by a day; `baseline` is that of the day, if it was read.

    Raises: Refused when there is no such job, or an approved change cannot be priced.
    """
    job_card(book, job)
    draft = _Draft(book, job, day, MeasuredShares(book, job, day, baseline))
    draft.gather()
    certified = certified_to_date(book, job, day)
    lines = tuple(
        line for line in set_against(draft.lines, certified.lines) if line.to_date or line.certified
    )
    draft.leave_disallowed(lines, certified)
    sums = claim_sums(draft.base.terms, draft.base.original_sum, lines, day, certified.net)
    return Claimable(
        job,
        day,
        billed_currency(book, job),
        draft.base.original_sum,
        lines,
        tuple(draft.left_out),
        sums,
        certified,
    )


@dataclass
class _Draft:
    """The lines of a claim as they are gathered, and what is left out."""

    book: Book
    job: str
    day: date
    measured: MeasuredShares
    lines: list[ClaimLine] = field(default_factory=list)
    left_out: list[NotClaimed] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.base: ClaimBase = claim_base(self.book, self.job, self.day)
        self.typed: dict[str, ClaimedToDate] = claimed_to_date(self.book, self.job, self.day)

    def gather(self) -> None:
        """Find what may be claimed, the contract's work first."""
        every = standings(self.book, self.job, self.day)
        if self.base.by_the_hour:
            self._by_the_hour(every)
        elif self.base.terms.stages:
            for stage in self.base.terms.stages:
                self._stage(stage)
        else:
            self._base()
        for standing in every:
            self._change(standing)

    def leave(self, item: str, reason: str, amount: Decimal | None) -> None:
        """Leave something out, unless it is nothing."""
        if amount is None or amount:
            self.left_out.append(NotClaimed(item, reason, amount))

    def leave_disallowed(self, lines: Iterable[ClaimLine], certified: Certified) -> None:
        """List what was claimed and not certified, until it is settled.

        It is settled once it is certified, or nothing more of its item is claimed.
        """
        items, before = by_item(lines), by_item(certified.lines)
        for each in certified.disallowed:
            still = claimed_of(items[each.item]) - claimed_of(before[each.item])
            if still > 0:
                amount = min(each.amount, still)
                self.left_out.append(NotClaimed(each.item, "disallowed", amount, each.reason))

    def _base(self) -> None:
        whole, typed = self.base.base_sum, self.typed.get(BASE)
        if typed:
            what = "Contract work"
            self.lines.append(
                ClaimLine("base", None, what, typed.at_most(whole), quantity=typed.percent)
            )
        else:
            self.leave(BASE, "no_claim_percent", self.measured.of_base(whole))

    def _stage(self, stage: Stage) -> None:
        typed = self.typed.get(stage.name)
        if typed:
            reached = typed.at_most(stage.amount)
            self.lines.append(ClaimLine("stage", None, stage.name, reached, quantity=typed.percent))
        else:
            self.leave(stage.name, "not_reached", stage.amount)

    def _by_the_hour(self, every: Iterable[Standing]) -> None:
        prices = next((each.known.prices for each in every), None)
        hours = worked_base(self.book, self.job, self.day, prices or PriceList(self.book, self.job))
        for line in hours.daywork_lines(DayworkTerms()):
            self.lines.append(of_price_line("base", None, line))
        if hours.unrated:
            self.leave(BASE, "no_charge_rate", None)

    def _change(self, standing: Standing) -> None:
        if not standing.approved:
            self._not_approved(standing)
        elif standing.basis == "daywork":
            self._daywork(standing)
        elif standing.basis != "no_charge":
            self._fixed_price(standing)

    def _not_approved(self, standing: Standing) -> None:
        code, typed = standing.change.code, self.typed.get(standing.change.code)
        if typed and typed.on_account and standing.on_account:
            title = standing.change.facts["title"] or ""
            self.lines.append(ClaimLine("on_account", code, title, typed.of(NOTHING)))
        elif standing.price_state in ENDED and not standing.instructed:
            return
        else:
            self.leave(code, _reason(standing), _price_or_none(standing))

    def _fixed_price(self, standing: Standing) -> None:
        code, title = standing.change.code, standing.change.facts["title"] or ""
        lines = standing.price_lines
        added = sum((line.amount for line in lines if line.amount > 0), NOTHING)
        spends = any(line.price_kind == "provisional_sum" for line in lines)
        kind, typed = "provisional" if spends else "variation", self.typed.get(code)
        if typed and not typed.on_account:
            to_date = typed.at_most(added)
            self.lines.append(ClaimLine(kind, code, title, to_date, quantity=typed.percent))
        elif added:
            self.leave(code, "no_claim_percent", self.measured.of_change(code, added))
        self._omission(standing)

    def _omission(self, standing: Standing) -> None:
        omits = (x for x in standing.price_lines if x.amount < 0)
        omitted = sum((x.amount for x in omits if x.price_kind != "provisional_sum"), NOTHING)
        if omitted and not self.base.by_the_hour:
            code, title = standing.change.code, standing.change.facts["title"] or ""
            credited = self._credited(standing, omitted)
            self.lines.append(ClaimLine("omission", code, title, credited))

    def _credited(self, standing: Standing, omitted: Decimal) -> Decimal:
        """Return what of an omission is credited by now: with its stage or the base, or at once."""
        terms = self.base.terms
        if terms.omissions_credited == "at_once":
            return omitted
        packages = {line["work_package"] for line in standing.lines if line["work_package"]}
        named = [each for each in terms.stages if packages & set(each.packages)] or terms.stages
        names = {each.name for each in named}
        kinds = {"stage", "base"}
        claimed = (
            line.to_date
            for line in self.lines
            if line.claim_kind in kinds and (not names or line.description in names)
        )
        whole = sum((each.amount for each in named), NOTHING) if named else self.base.base_sum
        return credited_with(omitted, sum(claimed, NOTHING), whole)

    def _daywork(self, standing: Standing) -> None:
        code, title = standing.change.code, standing.change.facts["title"] or ""
        agreed = standing.agreed_value
        if agreed is not None:
            typed = self.typed.get(code)
            to_date = typed.at_most(agreed) if typed and not typed.on_account else agreed
            # The value agreed is of the whole change, what it takes out included.
            self.lines.append(ClaimLine("daywork", code, title, to_date))
            return
        self._by_sheets(standing)
        self._omission(standing)

    def _by_sheets(self, standing: Standing) -> None:
        code, value = standing.change.code, standing.daywork
        daywork, terms = standing.known.daywork, standing.daywork_terms
        for line in daywork.agreed_lines(code, terms):
            self.lines.append(of_price_line("daywork", code, line))
        if value is None:
            return
        if value.above_cap:
            self.lines.append(ClaimLine("daywork", code, "Above the cap agreed", -value.above_cap))
            self.leave(code, "over_cap", value.above_cap)
        done = daywork.done(code, terms)
        if any(each is None for each in (*done.labour.values(), *done.items.values())):
            self.leave(code, "no_charge_rate", None)
            return
        left = (line.amount for line in daywork.left_lines(code, terms))
        self.leave(code, "unsigned_daywork", sum(left, NOTHING))


def of_price_line(kind: str, change: str | None, line: PriceLine) -> ClaimLine:
    """Return a price line as one of a claim, hours in hours."""
    by_hour = line.hours_ms is not None
    return ClaimLine(
        kind,
        change,
        line.labour or line.description,
        line.amount,
        quantity=hours_of(line.hours_ms) if line.hours_ms is not None else line.quantity,
        unit="h" if by_hour else line.unit,
        unit_price=line.unit_price,
    )


def _reason(standing: Standing) -> str:
    if standing.price_state in BY_STATE:
        return standing.price_state
    return "instructed_price_open" if standing.instructed else "not_approved"


def _price_or_none(standing: Standing) -> Decimal | None:
    try:
        return standing.amount
    except Refused:
        return None
