"""Hours worked and not yet paid at the end of a posting period."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.domain.allocation import to_places
from ledger.domain.currencies import places_of
from ledger.domain.journal import PER
from ledger.errors import Refused, Remedy
from ledger.jobs.periods import Closing
from ledger.payroll.classes import stage_crew_as_paid
from ledger.performance.journal import posting_period
from ledger.performance.premium import stage_premium_if_any
from ledger.store.book import Book


@dataclass(frozen=True)
class Accrual:
    """Time of a worker that no pay period ended by then has; costs are None without a rate.

    The premium is beside the cost.
    """

    worker_id: str
    supplier: str | None
    kind: str
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
    if then.rows("payroll/first_paid_day")[0][0] is None:
        raise Refused("accruals_without_pay", remedy=Remedy("load", what="payroll"))
    stage_crew_as_paid(then)
    currency = book.setting("yard.currency", "")
    places = places_of(currency)
    has_premium = stage_premium_if_any(then, day)
    rows = []
    for row in then.records("payroll/accruals", to=day):
        money = {
            name: None if row[name] is None else to_places(int(row[name]), places, PER)
            for name in ("cost", "premium")
        }
        rows.append(Accrual(**{**row, "ms": int(row["ms"]), **money}))
    return Accruals(day, closing, currency, rows, has_premium)
