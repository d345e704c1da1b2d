"""Prices of a job's changes, as an owner may see them."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Protocol

from ledger.changes.daywork_terms import DayworkTerms, daywork_terms
from ledger.changes.priced_lines import (
    ExactLine,
    PricedLines,
    Rated,
    addition_of,
    exact_line,
    priced_lines,
)
from ledger.changes.provisional_sums import provisional_sums
from ledger.changes.rows import KnownPriceLine, KnownRequest
from ledger.domain.allocation import allocated
from ledger.domain.change_life import ChangeState
from ledger.domain.pricing import (
    NOTHING as NOTHING,
)
from ledger.domain.pricing import (
    Addition,
    ChargeRate,
    Labour,
    NoChargeRate,
    PriceLine,
    YardPriceLine,
    charge_on,
    hours_at,
)
from ledger.errors import Refused, Remedy
from ledger.store.book import Book

When = tuple[date, int | None]  # The pricing date, and the batch that offered the price.


@dataclass(frozen=True)
class Price:
    """What a revision adds and what it omits, each rounded by line; omitted is not above zero."""

    added: Decimal = NOTHING
    omitted: Decimal = NOTHING

    @property
    def net(self) -> Decimal:
        return self.added + self.omitted


def price_of(lines: Iterable[PriceLine]) -> Price:
    """Return what lines add and what they omit."""
    amounts = [line.amount for line in lines]
    return Price(
        sum((amount for amount in amounts if amount > 0), NOTHING),
        sum((amount for amount in amounts if amount < 0), NOTHING),
    )


class Priced(Protocol):
    """A change as it is priced: its request, and the lines of each revision."""

    code: str
    facts: KnownRequest
    lines: dict[int, list[KnownPriceLine]]

    def offered_in(self, revision: int) -> int | None:
        """Return the first batch that submitted or approved a revision, None before that."""


@dataclass(frozen=True)
class JobTerms:
    """What a job agrees for the prices of changes, as a batch recorded it."""

    batch: int = 0
    daywork: DayworkTerms = field(default_factory=DayworkTerms)
    omissions_carry_additions: bool = False


class PriceList:
    """The charge rates and terms of a job, and how its changes are priced by them."""

    def __init__(self, book: Book, job: str) -> None:
        self.job = job
        self.rates: dict[Labour, list[ChargeRate]] = defaultdict(list)
        for trade, grade, start, charge, recorded in book.rows("owner/charge_rates", job=job):
            self.rates[trade, grade].append(ChargeRate(start, charge, recorded))
        self.packages: dict[str, dict[str, int]] = defaultdict(dict)
        for package, trade, ms in book.rows("owner/package_hours", job=job):
            self.packages[package][trade] = ms
        rows = book.rows("owner/pricing_terms", job=job)
        self.terms = [
            JobTerms(batch, daywork_terms(daywork), bool(carries))
            for batch, daywork, _, carries in rows
        ] or [JobTerms()]
        self.provisional_sums = provisional_sums(rows[-1][2] if rows else None)

    def terms_of(self, offered: int | None) -> JobTerms:
        """Return the terms of a price: of one that was offered, those recorded by that batch."""
        then = [each for each in self.terms if offered is None or each.batch <= offered]
        return (then or self.terms)[-1]

    def price(self, change: Priced, state: ChangeState, revision: int) -> Price:
        """Return the price of a revision; nothing for a change without charge.

        Raises: Refused when a trade has no charge rate on the pricing date.
        """
        return price_of(self.lines(change, state, revision))

    def lines(self, change: Priced, state: ChangeState, revision: int) -> tuple[YardPriceLine, ...]:
        """Return the lines of a revision, the percentages added as lines of their own.

        Raises: Refused when a trade has no charge rate on the pricing date.
        """
        return self.priced(change, state, revision).lines

    def priced(self, change: Priced, state: ChangeState, revision: int) -> PricedLines:
        """Return the lines of a revision, each with its rate and its amount rounded once.

        An omission that names no trade is a line for each trade of its package.

        Raises: Refused when a trade has no charge rate on the pricing date.
        """
        day = state.pricing_date(revision) or change.facts["requested_on"]
        rows, offered = change.lines.get(revision, []), change.offered_in(revision)
        pricing = _Pricing(self, change, rows, (day, offered))
        try:
            return priced_lines(
                rows, pricing.made, on_omissions=pricing.terms.omissions_carry_additions
            )
        except NoChargeRate as error:
            rates, why = Remedy("load", what="charge-rates"), str(error)
            raise Refused(
                "change_unpriced", job=self.job, change=change.code, why=why, remedy=rates
            ) from None

    def shares(self, row: KnownPriceLine) -> list[tuple[str, int]]:
        """Return the hours of a labour line by trade, in ms.

        Those of one that names no trade are shared by the hours of its package.
        """
        trade, package, ms = row["trade"], row["work_package"], row["ms"]
        assert ms is not None
        trades = {trade: 1} if trade else self.packages[package or ""]
        return list(zip(trades, allocated(ms, list(trades.values())), strict=True))

    def rests_on_terms(self, change: Priced, revision: int) -> bool:
        """Whether a price is made by the job's percentages, or by what it says of omissions."""
        terms, rows = self.terms_of(change.offered_in(revision)), change.lines.get(revision, [])
        if change.facts["change_basis"] == "no_charge":
            return False
        added = any(row["price_kind"] == "addition" for row in rows)
        omits = any((row["ms"] or row["quantity"] or 0) < 0 for row in rows)
        by_percent = self.shows_percentages(change, revision) and not added
        return by_percent or (omits and added and terms.omissions_carry_additions)

    def shows_percentages(self, change: Priced, revision: int) -> bool:
        """Whether the owner may see percentages: the contract agrees prime cost plus for it."""
        daywork = self.terms_of(change.offered_in(revision)).daywork
        return change.facts["change_basis"] == "daywork" and daywork.is_prime_cost_plus


class _Pricing:
    """The lines of one revision as they are priced."""

    def __init__(
        self, prices: PriceList, change: Priced, rows: list[KnownPriceLine], when: When
    ) -> None:
        self.prices = prices
        self.when = None if change.facts["change_basis"] == "no_charge" else when
        self.terms = prices.terms_of(when[1])
        own = any(row["price_kind"] == "addition" for row in rows)
        is_daywork = change.facts["change_basis"] == "daywork"
        # A change's own addition lines stand in place of the job's percentages.
        self.agreed = DayworkTerms() if own or not is_daywork else self.terms.daywork

    def made(self, row: KnownPriceLine) -> Iterator[ExactLine]:
        """Yield the lines that a typed line comes to."""
        is_by_hour = row["price_kind"] == "labour" and row["ms"] is not None
        return self._labour(row) if is_by_hour else self._by_quantity(row)

    def _labour(self, row: KnownPriceLine) -> Iterator[ExactLine]:
        for trade, ms in self.prices.shares(row):
            labour = trade, row["grade"]
            rate = charge_on(self.prices.rates, labour, *self.when) if self.when else None
            base = None if rate is None else hours_at(ms, rate)
            rated = Rated(
                trade=trade,
                grade=row["grade"] or "",
                hours_ms=ms,
                unit_price=_per_unit(rate),
            )
            yield exact_line(row, base, self._addition(row, base), **rated)

    def _by_quantity(self, row: KnownPriceLine) -> Iterator[ExactLine]:
        quantity, unit_price = row["quantity"], row["unit_price"] if self.when else None
        base = None
        if unit_price is not None:
            assert quantity is not None
            base = Fraction(quantity) * Fraction(unit_price)
        rated = Rated(trade=row["trade"] or "", quantity=quantity, unit_price=unit_price)
        yield exact_line(row, base, self._addition(row, base), **rated)

    def _addition(self, row: KnownPriceLine, base: Fraction | None) -> Addition | None:
        """Return the percentage on a line: its own, else what the job agrees for daywork."""
        if own := addition_of(row):
            return own
        percent = self.agreed.percent(row["price_kind"])
        is_bare = base is None or (base < 0 and not self.terms.omissions_carry_additions)
        is_premium = row["price_kind"] == "labour" and row["ms"] is None
        if is_bare or not percent or (is_premium and self.agreed.premium != "rate"):
            return None
        return Addition(percent)


def _per_unit(rate: int | None) -> Decimal | None:
    return None if rate is None else Decimal(rate).scaleb(-4)
