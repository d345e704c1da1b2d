"""Prices of a job's changes, as an owner may see them."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from ledger.changes.requests import Change
from ledger.domain.allocation import allocated
from ledger.domain.change_life import ChangeState
from ledger.domain.pricing import (
    ChargeRate,
    NoChargeRate,
    charge_on,
    labour_price,
    quantity_price,
)
from ledger.errors import Refused
from ledger.store.book import Book

NOTHING = Decimal("0.00")


@dataclass(frozen=True)
class Price:
    """What a revision adds and what it omits, each rounded by line; omitted is not above zero."""

    added: Decimal = NOTHING
    omitted: Decimal = NOTHING

    @property
    def net(self) -> Decimal:
        return self.added + self.omitted


class PriceList:
    """The charge rates of a job, and how its changes are priced by them."""

    def __init__(self, book: Book, job: str) -> None:
        self.job = job
        self.rates: dict[str, list[ChargeRate]] = defaultdict(list)
        for trade, start, charge, recorded in book.rows("owner/charge_rates", job=job):
            self.rates[trade].append(ChargeRate(start, charge, recorded))
        self.packages: dict[str, dict[str, int]] = defaultdict(dict)
        for package, trade, ms in book.rows("owner/package_hours", job=job):
            self.packages[package][trade] = ms

    def price(self, change: Change, state: ChangeState, revision: int) -> Price:
        """Return the price of a revision; nothing for a change without charge.

        Raises: Refused when a trade has no charge rate on the pricing date.
        """
        if change.facts["change_basis"] == "no_charge":
            return Price()
        day = state.pricing_date(revision) or change.facts["requested_on"]
        added, omitted = NOTHING, NOTHING
        try:
            for line in change.lines.get(revision, []):
                amount = self._line(line, (day, change.offered_in(revision)))
                added += max(amount, NOTHING)
                omitted += min(amount, NOTHING)
        except NoChargeRate as error:
            raise Refused(
                f"job {self.job}: {change.code} cannot be priced: {error}; load charge-rates"
            ) from None
        return Price(added, omitted)

    def _line(self, line: dict[str, Any], when: tuple[date, int | None]) -> Decimal:
        if line["price_kind"] != "labour":
            return quantity_price(line["quantity"], line["unit_price"])
        if line["trade"]:
            return labour_price(line["ms"], charge_on(self.rates, line["trade"], *when))
        trades = self.packages[line["work_package"]]
        shares = allocated(line["ms"], list(trades.values()))
        return sum(
            (
                labour_price(ms, charge_on(self.rates, trade, *when))
                for trade, ms in zip(trades, shares, strict=True)
            ),
            NOTHING,
        )
