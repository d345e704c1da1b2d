"""Hours worked and not yet paid at the end of a posting period."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from ledger.domain.allocation import to_places
from ledger.domain.currencies import places_of
from ledger.domain.journal import PER
from ledger.domain.pay import PAID_NOT_WORKED
from ledger.errors import Refused, Remedy
from ledger.jobs.periods import Closing
from ledger.payroll.classes import pay_classes, stage_crew_as_paid
from ledger.payroll.reconciliation import stage_pay
from ledger.performance.journal import leave_in_rate, posting_period
from ledger.performance.premium import stage_premium_if_any
from ledger.store.book import Book


@dataclass(frozen=True)
class Accrual:
    """Time of a worker that no pay period ended by then has; costs are None without a rate.

    Late time came after the pay of its period, and no later pay made it up. The premium is beside
    the cost.
    """

    worker_id: str
    supplier: str | None
    kind: str
    is_late: bool
    first_day: date
    last_day: date
    ms: int
    cost: Decimal | None
    premium: Decimal | None


@dataclass(frozen=True)
class Accruals:
    """What is worked and unpaid at the end of a day; `closing` is that of its period, if closed.

    `has_premium` where the yard pays overtime premium.
    """

    to: date
    closing: Closing | None
    currency: str
    rows: list[Accrual]
    has_premium: bool

    @property
    def cost(self) -> Decimal | None:
        """Return the sum of the rows as rounded; None while one has none."""
        return _sum([each.cost for each in self.rows])

    @property
    def premium(self) -> Decimal | None:
        """Return the premium of the rows as rounded; None while one has none."""
        return _sum([each.premium for each in self.rows])


def _sum(amounts: list[Decimal | None]) -> Decimal | None:
    return None if None in amounts else sum(filter(None, amounts), Decimal(0))


def accruals(book: Book, to: date | None) -> Accruals:
    """Return what is worked and unpaid at the end of a period, by its last day, or the open one.

    A closed period is as known when it was closed. Raises: Refused where no pay was ever loaded,
    and for a day within a closed period.
    """
    _, closing, day = posting_period(book, to)
    then = book.known_by(closing.sequence) if closing else book
    first = then.rows("payroll/first_paid_day")[0][0]
    if first is None:
        raise Refused("accruals_without_pay", remedy=Remedy("load", what="payroll"))
    stage_crew_as_paid(then)
    _stage_late(then, first, day)
    currency = book.setting("yard.currency", "")
    places = places_of(currency)
    has_premium = stage_premium_if_any(then, day)
    unpaid = then.records("payroll/accruals", to=day)
    rows = [_accrual(row, places, in_rate=leave_in_rate(then)) for row in unpaid]
    return Accruals(day, closing, currency, rows, has_premium)


def _stage_late(book: Book, first: date, day: date) -> None:
    """Stage late hours that no pay of a period ended by a day made up."""
    if day < first:
        book.stage_none("late_unpaid", "payroll/late_unpaid")
        return
    stage_pay(book, [(first, day)], beyond=timedelta(0))
    book.stage("late_unpaid", "payroll/late_unpaid", **pay_classes(book))


def _accrual(row: Mapping[str, Any], places: int, *, in_rate: bool) -> Accrual:
    """Return a row in money; as in the journal, leave that the rate holds costs nothing."""
    free = in_rate and row["kind"] == PAID_NOT_WORKED
    whole = {name: 0 if free else row[name] for name in ("cost", "premium")}
    money = {
        name: None if value is None else to_places(int(value), places, PER)
        for name, value in whole.items()
    }
    return Accrual(**{**row, "ms": int(row["ms"]), **money})
