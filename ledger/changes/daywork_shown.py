"""Daywork of one change as it is shown: worked, agreed, unsigned, its sheets and its items."""

import contextlib
from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from ledger.changes.daywork import ItemLine, SheetTotal
from ledger.changes.standing import Standing
from ledger.domain.daywork import DayworkValue
from ledger.errors import Refused
from ledger.store.book import Book


@dataclass(frozen=True)
class DayworkNow:
    """Hours of daywork in ms: worked, agreed on sheets, and of the rest recorded on some.

    `value` is what they come to; None before approval, without a rate, and once a value is agreed
    (`is_settled`).
    """

    worked_ms: int
    agreed_ms: int
    witnessed_ms: int
    value: DayworkValue | None
    is_settled: bool

    @property
    def unsigned_ms(self) -> int | None:
        """Return the hours on no agreed sheet; None once a value is agreed."""
        return None if self.is_settled else self.worked_ms - self.agreed_ms

    @property
    def agreed(self) -> Decimal | None:
        """Return what sheets agree, as far as it counts."""
        return self.value.agreed if self.value else None

    @property
    def unsigned(self) -> Decimal | None:
        """Return what is worked, unsigned and beyond the estimate."""
        return self.value.beyond if self.value else None


@dataclass(frozen=True)
class SheetShown:
    """A daywork sheet with its sums and its rows as they were loaded."""

    total: SheetTotal
    rows: tuple[dict[str, Any], ...]


@dataclass(frozen=True)
class DayworkShown:
    """Daywork of a change with its sheets and items, each with its id."""

    now: DayworkNow
    sheets: tuple[SheetShown, ...]
    items: tuple[tuple[str, ItemLine], ...]


def daywork_now(standing: Standing) -> DayworkNow | None:
    """Return where the daywork of a change stands; None of what is not daywork."""
    if standing.basis != "daywork":
        return None
    daywork, code = standing.known.daywork, standing.change.code
    value = None
    with contextlib.suppress(Refused):  # The list says why it has no amount.
        value = standing.daywork
    return DayworkNow(
        sum(daywork.worked[code].ms.values()),
        sum(daywork.agreed[code].ms.values()),
        daywork.witnessed_ms[code],
        value,
        standing.agreed_value is not None,
    )


def daywork_shown(book: Book, job: str, standing: Standing) -> DayworkShown | None:
    """Return the daywork of a change with its sheets and items by the day."""
    now = daywork_now(standing)
    if now is None:
        return None
    daywork, code = standing.known.daywork, standing.change.code
    rows: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for row in book.records("changes/daywork_sheets_known", job=job):
        if row["change"] == code:
            rows[row["daywork_sheet"]].append(row)
    sheets = (
        SheetShown(total, tuple(rows[total.record["daywork_sheet"]]))
        for total in daywork.sheet_totals(code)
    )
    ids = {
        row["number"]: row["id"]
        for row in book.records("changes/daywork_items_known", job=job)
        if row["change"] == code
    }
    items = (
        (ids[line.record["number"]], line) for line in daywork.items(code, standing.daywork_terms)
    )
    return DayworkShown(now, tuple(sheets), tuple(items))
