"""Daywork sheets against what is booked: what each agrees, strikes off and leaves out."""

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, cast

from ledger.changes.daywork import QUANTITY_PLACES, item_part
from ledger.changes.rows import KnownItemMarked
from ledger.domain.allocation import hours_of
from ledger.domain.daywork import CoveredPart, Share, Sheets
from ledger.inputs.outcomes import SheetMarked
from ledger.store.book import Book

# What all rows of a sheet have alike.
OF_THE_SHEET = ("day_from", "day_to", "agreed_on", "mark", "person", "document")
Whole = tuple[str, str]  # A change, and a daywork sheet of it.
Astray = tuple[Whole, int, str]  # A sheet, which of its rows, and what is wrong with it.


@dataclass
class _TakenBySheet:
    """What a sheet takes of a worker's day or an item, and what was left of it for the sheet."""

    left: int = 0
    taken: int = 0
    marked: int = 0
    now: int = 0

    def add(self, share: Share) -> None:
        self.left += share.left
        self.taken += share.taken
        self.marked += share.of.marked
        self.now += share.of.now


Sums = dict[Any, dict[Any, _TakenBySheet]]


def sheet_faults(book: Book, job: str, sheets: Collection[Whole]) -> Iterator[Astray]:
    """Yield what is wrong with sheets when they are held against what was booked when marked."""
    hours, items = _hours_taken(book, job), _items_taken(book, job)
    rows: dict[Whole, list[dict[str, Any]]] = defaultdict(list)
    for row in book.records("changes/daywork_sheets_known", job=job):
        rows[row["change"], row["daywork_sheet"]].append(row)
    for each in sheets:
        first = rows[each][0]
        if not any(one.marked for one in (*hours[each].values(), *items[each].values())):
            days = f"from {first['day_from']} to {first['day_to']}"
            what = f"nothing is booked on {each[0]} {days}; load its timesheets and items first"
            yield each, 0, what
            continue
        for place, row in enumerate(rows[each]):
            if row["worker_id"]:
                taken = hours[each].get((row["worker_id"], row["day"]))
                yield from ((each, place, what) for what in _of_hours(row, taken))
            elif row["item"]:
                taken = items[each].get((each[0], row["item"]))
                yield from ((each, place, what) for what in _of_item(row, taken))


def rows_apart(rows: Sequence[Mapping[str, Any]]) -> Iterator[Astray]:
    """Yield where rows of a sheet differ in what they share, or name one thing twice."""
    firsts: dict[Whole, Mapping[str, Any]] = {}
    seen: set[tuple[Any, ...]] = set()
    for place, row in enumerate(rows):
        sheet = row["change"], row["daywork_sheet"]
        first = firsts.setdefault(sheet, row)
        if any(row[name] != first[name] for name in OF_THE_SHEET):
            yield sheet, place, "its rows differ in from, to, agreed_on, mark, person or document"
        named = (*sheet, row["worker_id"], row["worker_id"] and row["day"], row["item"])
        if named in seen:
            yield sheet, place, "two of its rows name the same"
        seen.add(named)


def _of_hours(row: dict[str, Any], taken: _TakenBySheet | None) -> Iterator[str]:
    named = f"{row['worker_id']} on {row['day']}"
    if taken is None or not taken.marked:
        yield f"{named}: no hours booked on {row['change']}; load the timesheets first"
    elif row["agreed_ms"] > taken.left:
        most = f"{hours_of(taken.marked)} h booked"
        if taken.left < taken.marked:
            most += f", {hours_of(taken.marked - taken.left)} h of them on earlier sheets"
        yield f"{named}: {hours_of(row['agreed_ms'])} h is more than was done: {most}"
    elif row["agreed_ms"] < taken.left and not row["reason"]:
        struck = f"{hours_of(row['agreed_ms'])} of {hours_of(taken.left)} h agreed"
        yield f"{named}: {struck}; fill in the reason"


def _of_item(row: dict[str, Any], taken: _TakenBySheet | None) -> Iterator[str]:
    named, agreed = f"item {row['item']}", row["agreed_quantity"]
    if taken is None or not taken.marked:
        yield f"{named}: not recorded when the sheet was marked; put it on a sheet of its own"
    elif _whole(agreed) > taken.left:
        most = f"{_quantity(taken.marked)} used"
        if taken.left < taken.marked:
            most += f", {_quantity(taken.marked - taken.left)} of it on earlier sheets"
        yield f"{named}: {_quantity_text(agreed)} is more than was used: {most}"
    elif _whole(agreed) < taken.left and not row["reason"]:
        struck = f"{_quantity_text(agreed)} of {_quantity(taken.left)} agreed"
        yield f"{named}: {struck}; fill in the reason"


def sheets_marked(book: Book, job: str, sheets: Collection[Whole]) -> list[SheetMarked]:
    """Return what came of sheets that were marked."""
    hours, items = _hours_taken(book, job), _items_taken(book, job)
    firsts = {
        (row["change"], row["daywork_sheet"]): row
        for row in book.records("changes/daywork_sheets_known", job=job)
    }
    made = []
    for each in sheets:
        of_hours = hours[each].values()
        late = sum(max(0, one.now - one.marked) for one in of_hours)
        made.append(
            SheetMarked(
                change=each[0],
                daywork_sheet=each[1],
                mark=firsts[each]["mark"],
                taken_ms=sum(one.taken for one in of_hours),
                struck_ms=sum(one.left - one.taken for one in of_hours),
                late_ms=late,
                items=sum(1 for one in items[each].values() if one.taken),
            )
        )
    return made


def _hours_taken(book: Book, job: str) -> Sums:
    """Return what each sheet takes of each worker's day."""
    rows = book.records("changes/daywork_marked", job=job)
    return _summed(Sheets(map(_hours_part, rows)).shares)


def _items_taken(book: Book, job: str) -> Sums:
    """Return what each sheet takes of each item."""
    rows = book.records("owner/daywork_items_marked", job=job, status_date=date.max)
    return _summed(Sheets(map(item_part, cast(list[KnownItemMarked], rows))).shares)


def _summed(shares: list[Share]) -> Sums:
    sums: Sums = defaultdict(lambda: defaultdict(_TakenBySheet))
    for share in shares:
        sums[share.of.sheet][share.of.group].add(share)
    return sums


def _hours_part(row: dict[str, Any]) -> CoveredPart:
    day = row["worker_id"], row["day"]
    return CoveredPart(
        (row["change"], row["daywork_sheet"]),
        row["mark"],
        day,
        (row["change"], *day, row["trade"], row["grade"]),
        int(row["ms_marked"]),
        int(row["ms_now"]),
        row["agreed_ms"],
    )


def _whole(quantity: Decimal) -> int:
    return int(quantity.scaleb(QUANTITY_PLACES))


def _quantity(whole: int) -> str:
    return _quantity_text(Decimal(whole).scaleb(-QUANTITY_PLACES))


def _quantity_text(quantity: Decimal) -> str:
    return f"{quantity.normalize():f}"
