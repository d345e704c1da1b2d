"""Daywork of a job: what was worked and used, and what sheets agree of it."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from typing import cast

from ledger.changes.daywork_lines import WorkedHours, item_line, valued
from ledger.changes.daywork_terms import DayworkTerms
from ledger.changes.prices import PriceList
from ledger.changes.rows import (
    KnownDayworkCell,
    KnownDayworkItem,
    KnownDayworkSheet,
    KnownItemMarked,
)
from ledger.domain.daywork import AGREED, CoveredPart, Done, Sheets
from ledger.domain.pricing import NOTHING, Labour, PriceLine, money_of
from ledger.errors import Refused, Remedy
from ledger.store.book import Book

# Quantities of items are kept to so many places, and shared as whole parts of a unit.
QUANTITY_PLACES = 6
Numbered = tuple[str, int]  # A change, and the number of an item of it.


@dataclass(frozen=True)
class ItemLine:
    """An item used on daywork: all of it, and what sheets agree of it, at what the owner pays."""

    record: KnownDayworkItem
    whole: PriceLine
    agreed: PriceLine

    def left(self, terms: DayworkTerms) -> PriceLine:
        """Return what of it no sheet agrees, at its cost now."""
        quantity = self.record["quantity"] - (self.agreed.quantity or 0)
        return item_line(self.record, [(quantity, self.record["unit_cost"])], terms)


@dataclass(frozen=True)
class SheetTotal:
    """What a daywork sheet comes to in ms: agreed or witnessed, and what it struck off.

    `counted_ms` is what of it is still booked.
    """

    record: KnownDayworkSheet
    taken_ms: int = 0
    counted_ms: int = 0
    struck_ms: int = 0


class Daywork:
    """The daywork of a job by a day, each part read once it is asked for."""

    def __init__(self, book: Book, job: str, day: date, prices: PriceList) -> None:
        self.book, self.job, self.prices = book, job, prices
        self._by = {"job": job, "status_date": day}

    @cached_property
    def worked(self) -> dict[str, WorkedHours]:
        """Return the time worked on each change, daywork or not."""
        worked: dict[str, WorkedHours] = defaultdict(WorkedHours)
        for change, trade, grade, day, ms in self.book.rows("owner/worked_trades", **self._by):
            worked[change].add(self.prices, (trade, grade), day, int(ms))
        return worked

    @cached_property
    def sheets(self) -> list[KnownDayworkSheet]:
        """Return the sheets marked, in the order they were recorded."""
        rows = self.book.records("owner/daywork_sheets", **self._by)
        return cast(list[KnownDayworkSheet], rows)

    @cached_property
    def _cells(self) -> list[KnownDayworkCell]:
        """Return the worker-days by trade that sheets cover, in the order of the sheets."""
        rows = self.book.records("owner/daywork_cells", **self._by) if self.sheets else []
        return cast(list[KnownDayworkCell], rows)

    @cached_property
    def _hours(self) -> Sheets:
        """Return how the sheets take the hours of the cells."""
        return Sheets(map(_hours_part, self._cells))

    @cached_property
    def agreed(self) -> dict[str, WorkedHours]:
        """Return the time on agreed sheets, by change, at the rates recorded when it was agreed."""
        agreed: dict[str, WorkedHours] = defaultdict(WorkedHours)
        for row, share in zip(self._cells, self._hours.shares, strict=True):
            if share.counted and row["mark"] == AGREED:
                # A worker who is not in the crew has no trade, and so no rate.
                labour = cast(Labour, (row["trade"], row["grade"]))
                then = row["first_batch"]
                agreed[row["change"]].add(self.prices, labour, row["day"], share.counted, then)
        return agreed

    @cached_property
    def witnessed_ms(self) -> dict[str, int]:
        """Return the time recorded on sheets and agreed on none, by change."""
        seen: dict[str, int] = defaultdict(int)
        # Each cell once, however many sheets cover it.
        for cell, change in {row["cell"]: row["change"] for row in self._cells}.items():
            seen[change] += self._hours.witnessed(cell)
        return seen

    def sheet_totals(self, change: str) -> list[SheetTotal]:
        """Return what each sheet of a change comes to."""
        sums: dict[object, tuple[int, int, int]] = defaultdict(lambda: (0, 0, 0))
        for share in self._hours.shares:
            taken, counted, struck = sums[share.of.sheet]
            struck += share.left - share.taken
            sums[share.of.sheet] = taken + share.taken, counted + share.counted, struck
        return [
            SheetTotal(row, *sums[change, row["daywork_sheet"]])
            for row in self.sheets
            if row["change"] == change
        ]

    @cached_property
    def _items(self) -> dict[str, list[KnownDayworkItem]]:
        """Return the items used, by change."""
        items: dict[str, list[KnownDayworkItem]] = defaultdict(list)
        rows = self.book.records("owner/daywork_items", **self._by)
        for record in cast(list[KnownDayworkItem], rows):
            items[record["change"]].append(record)
        return items

    def items(self, change: str, terms: DayworkTerms) -> list[ItemLine]:
        """Return the items used on a change, each with what is agreed of it."""
        agreed = self._items_agreed if self._items[change] and self.sheets else {}
        return [
            ItemLine(
                record,
                item_line(record, [(record["quantity"], record["unit_cost"])], terms),
                item_line(record, agreed.get((change, record["number"]), []), terms),
            )
            for record in self._items[change]
        ]

    @property
    def _items_marked(self) -> list[KnownItemMarked]:
        """Return what sheets cover of items, in the order of the sheets."""
        rows = self.book.records("owner/daywork_items_marked", **self._by)
        return cast(list[KnownItemMarked], rows)

    @cached_property
    def _items_agreed(self) -> dict[Numbered, list[tuple[Decimal, Decimal]]]:
        """Return the quantities agreed of each item, each at the cost on its sheet, or now if less.

        A cost that rose since a sheet was marked is not agreed by it.
        """
        rows = self._items_marked
        taken = Sheets(map(item_part, rows)).shares
        agreed: dict[Numbered, list[tuple[Decimal, Decimal]]] = defaultdict(list)
        for row, share in zip(rows, taken, strict=True):
            if share.counted and row["mark"] == AGREED:
                cost = min(row["unit_cost_marked"], row["unit_cost_now"])
                quantity = Decimal(share.counted).scaleb(-QUANTITY_PLACES)
                agreed[row["change"], row["number"]].append((quantity, cost))
        return agreed

    def prime_cost(self, change: str) -> Decimal:
        """Return what the items used on a change cost, each rounded once."""
        costs = (
            money_of(Fraction(row["quantity"]) * Fraction(row["unit_cost"]))
            for row in self._items[change]
        )
        return sum(costs, NOTHING)

    def done(self, change: str, terms: DayworkTerms) -> Done:
        """Return what was worked and used on a change, with the percentages on it."""
        items = [line.whole for line in self.items(change, terms)]
        return valued(self.worked[change], items, terms)

    def done_and_agreed(self, change: str, terms: DayworkTerms) -> Done:
        """Return what agreed sheets have of a change.

        Raises: Refused when a trade has no charge rate on a day that was agreed.
        """
        hours = self.agreed[change]
        if hours.unrated:
            rates, why = Remedy("load", what="charge-rates"), min(hours.unrated.values())
            raise Refused("change_unpriced", job=self.job, change=change, why=why, remedy=rates)
        return valued(hours, [line.agreed for line in self.items(change, terms)], terms)

    def left_lines(self, change: str, terms: DayworkTerms) -> tuple[PriceLine, ...]:
        """Return what was worked and used on a change and no sheet agrees, line by line."""
        hours = self.worked[change].less(self.agreed[change]).daywork_lines(terms)
        items = [line.left(terms) for line in self.items(change, terms)]
        return (*hours, *(line for line in items if line.quantity))

    def has_witnessed(self, change: str) -> bool:
        """Return whether time or an item is recorded on a sheet of a change and agreed on none."""
        if self.witnessed_ms[change]:
            return True
        taken = Sheets(map(item_part, self._items_marked))
        items = ((change, record["number"]) for record in self._items[change])
        return any(map(taken.witnessed, items))

    def agreed_lines(self, change: str, terms: DayworkTerms) -> tuple[PriceLine, ...]:
        """Return what agreed sheets have of a change line by line, at what the owner pays."""
        items = [line.agreed for line in self.items(change, terms) if line.agreed.quantity]
        return (*self.agreed[change].daywork_lines(terms), *items)


def _hours_part(row: KnownDayworkCell) -> CoveredPart:
    return CoveredPart(
        (row["change"], row["daywork_sheet"]),
        row["mark"],
        row["worker_day"],
        row["cell"],
        int(row["ms_marked"]),
        int(row["ms_now"]),
        row["agreed_ms"],
    )


def item_part(row: KnownItemMarked) -> CoveredPart:
    """Return what a sheet covers of an item, in whole parts of a unit."""
    stated, of_item = row["agreed_quantity"], (row["change"], row["number"])
    return CoveredPart(
        (row["change"], row["daywork_sheet"]),
        row["mark"],
        of_item,
        of_item,
        _whole(row["quantity_marked"]),
        _whole(row["quantity_now"]),
        None if stated is None else _whole(stated),
    )


def _whole(quantity: Decimal) -> int:
    return int(quantity.scaleb(QUANTITY_PLACES))
