"""Prices of a job's changes, as an owner may see them."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, Protocol

from ledger.domain.allocation import allocated
from ledger.domain.change_life import ChangeState
from ledger.domain.pricing import (
    ChargeRate,
    Labour,
    NoChargeRate,
    PriceLine,
    charge_on,
    labour_price,
    quantity_price,
)
from ledger.errors import Refused, Remedy
from ledger.store.book import Book

NOTHING = Decimal("0.00")
When = tuple[date, int | None]  # The pricing date, and the batch that offered the price.


@dataclass(frozen=True)
class Price:
    """What a revision adds and what it omits, each rounded by line; omitted is not above zero."""

    added: Decimal = NOTHING
    omitted: Decimal = NOTHING

    @property
    def net(self) -> Decimal:
        return self.added + self.omitted


class Priced(Protocol):
    """A change as it is priced: its request, and the lines of each revision."""

    code: str
    facts: dict[str, Any]
    lines: dict[int, list[dict[str, Any]]]

    def offered_in(self, revision: int) -> int | None:
        """Return the first batch that submitted or approved a revision, None before that."""


class PriceList:
    """The charge rates of a job, and how its changes are priced by them."""

    def __init__(self, book: Book, job: str) -> None:
        self.job = job
        self.rates: dict[Labour, list[ChargeRate]] = defaultdict(list)
        for trade, grade, start, charge, recorded in book.rows("owner/charge_rates", job=job):
            self.rates[trade, grade].append(ChargeRate(start, charge, recorded))
        self.packages: dict[str, dict[str, int]] = defaultdict(dict)
        for package, trade, ms in book.rows("owner/package_hours", job=job):
            self.packages[package][trade] = ms

    def price(self, change: Priced, state: ChangeState, revision: int) -> Price:
        """Return the price of a revision; nothing for a change without charge.

        Raises: Refused when a trade has no charge rate on the pricing date.
        """
        amounts = [line.amount for line in self.lines(change, state, revision)]
        return Price(
            sum((amount for amount in amounts if amount > 0), NOTHING),
            sum((amount for amount in amounts if amount < 0), NOTHING),
        )

    def lines(self, change: Priced, state: ChangeState, revision: int) -> tuple[PriceLine, ...]:
        """Return the lines of a revision, each with its rate and its amount rounded once.

        An omission that names no trade is a line for each trade of its package.

        Raises: Refused when a trade has no charge rate on the pricing date.
        """
        free = change.facts["change_basis"] == "no_charge"
        day = state.pricing_date(revision) or change.facts["requested_on"]
        when = (day, change.offered_in(revision))
        try:
            return tuple(
                made
                for line in change.lines.get(revision, [])
                for made in (self._labour if line["price_kind"] == "labour" else self._other)(
                    line, None if free else when
                )
            )
        except NoChargeRate as error:
            rates, why = Remedy("load", what="charge-rates"), str(error)
            raise Refused(
                "change_unpriced", job=self.job, change=change.code, why=why, remedy=rates
            ) from None

    def _labour(self, line: dict[str, Any], when: When | None) -> Iterator[PriceLine]:
        trades = {line["trade"]: 1} if line["trade"] else self.packages[line["work_package"]]
        shares = allocated(line["ms"], list(trades.values()))
        for trade, ms in zip(trades, shares, strict=True):
            rate = charge_on(self.rates, (trade, line["grade"]), *when) if when else None
            amount = NOTHING if rate is None else labour_price(ms, rate)
            known = {"trade": trade, "grade": line["grade"] or "", "hours_ms": ms}
            yield _priced(line, amount, unit_price=_per_unit(rate), **known)

    def _other(self, line: dict[str, Any], when: When | None) -> Iterator[PriceLine]:
        amount = quantity_price(line["quantity"], line["unit_price"]) if when else NOTHING
        unit_price = line["unit_price"] if when else None
        yield _priced(line, amount, quantity=line["quantity"], unit_price=unit_price)


def _priced(line: dict[str, Any], amount: Decimal, **known: Any) -> PriceLine:
    known = {"trade": "", "hours_ms": None, "quantity": None, **known}
    described = line["description"] or ""
    return PriceLine(line["price_kind"], described, unit=line["unit"] or "", amount=amount, **known)


def _per_unit(rate: int | None) -> Decimal | None:
    return None if rate is None else Decimal(rate).scaleb(-4)
