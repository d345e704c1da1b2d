"""What is recorded of a claim when it is issued: its lines, and the time that they take up.

Time is taken up by entry and place, signed, so that what is claimed to date is a sum. No entry is
claimed for more than is booked when it is claimed.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from ledger.billing.claimable import of_price_line
from ledger.changes.claim_terms import claim_base
from ledger.changes.daywork_lines import WorkedHours
from ledger.changes.standing import Standing, standings
from ledger.domain.claims import ClaimLine
from ledger.domain.daywork import AGREED, CoveredPart, Sheets
from ledger.store.batches import Batch
from ledger.store.book import Book

# A line of a claim, by what tells it from the others of its change.
Key = tuple[str, str, Decimal | None]


def record_claim(
    batch: Batch, job: str, document: str, day: date, lines: Sequence[ClaimLine]
) -> None:
    """Add the lines of a claim, and what they take up of the time of each entry."""
    rows = [_row(document, position, line) for position, line in enumerate(lines, start=1)]
    batch.append("document_line", {name: [row[name] for row in rows] for name in rows[0]})
    book = batch.book
    _Taken(book, job, day, lines).stage()
    batch.append_query(
        "claim_posting", "billing/claim_postings", job=job, document=document, status_date=day
    )


def _row(document: str, position: int, line: ClaimLine) -> dict[str, Any]:
    return {
        "document": document,
        "position": position,
        "claim_kind": line.claim_kind,
        "item": line.item,
        "change": line.change,
        "description": line.description,
        "quantity": line.quantity,
        "unit": line.unit or None,
        "unit_price": line.unit_price,
        "to_date": line.to_date,
        "before": line.certified,
        "amount": line.amount,
    }


@dataclass
class _Taken:
    """The time that the lines of a claim take up: of worker's days, or of places as a whole."""

    book: Book
    job: str
    day: date
    lines: Sequence[ClaimLine]
    cells: list[dict[str, Any]] = field(default_factory=list)
    wholes: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.positions: dict[Key, int] = {}
        self.first: dict[str, int] = {}
        for position, line in enumerate(self.lines, start=1):
            if line.claim_kind == "daywork" and line.change:
                self.positions[line.change, line.description, line.unit_price] = position
                self.first.setdefault(line.change, position)

    def stage(self) -> None:
        """Stage what is taken up, as worked out from the sheets."""
        if claim_base(self.book, self.job, self.day).by_the_hour:
            base = [n for n, line in enumerate(self.lines, start=1) if line.claim_kind == "base"]
            places = self._packages() if base else set()
            self.wholes = dict.fromkeys(sorted(places), base[0] if base else 0)
        if self.first:
            self._take_daywork()
        names = ("places", "workers", "days", "trades", "positions", "ms")
        cells = {name: [cell[name] for cell in self.cells] for name in names}
        self.book.stage("claimed_cell", "billing/cells_given", **cells)
        wholes = {"places": list(self.wholes), "positions": list(self.wholes.values())}
        self.book.stage("claimed_whole", "billing/wholes_given", **wholes)

    def _packages(self) -> set[str]:
        codes = self.book.rows("jobs/codes_of_job", job=self.job)
        return {code for code, what in codes if what == "package"}

    def _take_daywork(self) -> None:
        """Take the hours of agreed sheets by line, of a value agreed all that is booked."""
        every = {each.change.code: each for each in standings(self.book, self.job, self.day)}
        daywork = {code: every[code] for code in self.first if code in every}
        for code, standing in daywork.items():
            if standing.agreed_value is not None:
                self.wholes[code] = self.first[code]
        rows = self.book.records("billing/agreed_cells", job=self.job, status_date=self.day)
        shares = Sheets(map(_part, rows)).shares
        taken: dict[tuple[Any, ...], int] = {}
        for row, share in zip(rows, shares, strict=True):
            code = row["change"]
            if share.counted and row["mark"] == AGREED and code in daywork.keys() - self.wholes:
                position = self._position(daywork[code], row)
                key = (code, row["worker_id"], row["day"], row["trade"], position)
                taken[key] = taken.get(key, 0) + share.counted
        names = ("places", "workers", "days", "trades", "positions")
        self.cells = [dict(zip(names, key, strict=True), ms=ms) for key, ms in taken.items()]

    def _position(self, standing: Standing, row: dict[str, Any]) -> int:
        """Return the line that hours of a sheet stand in, by their trade and rate."""
        hours, code = WorkedHours(), standing.change.code
        labour = (row["trade"], row["grade"])
        hours.add(standing.known.prices, labour, row["day"], 1, row["first_batch"])
        (line,) = hours.daywork_lines(standing.daywork_terms)
        claim_line = of_price_line("daywork", code, line)
        return self.positions.get(
            (code, claim_line.description, claim_line.unit_price), self.first[code]
        )


def _part(row: dict[str, Any]) -> CoveredPart:
    worker_day = (row["change"], row["worker_id"], row["day"])
    return CoveredPart(
        (row["change"], row["daywork_sheet"]),
        row["mark"],
        worker_day,
        (*worker_day, row["trade"], row["grade"]),
        int(row["ms_marked"]),
        int(row["ms_now"]),
        row["agreed_ms"],
    )
