"""Time booked in a job by place and trade worked, and what it cost."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from ledger.store.book import Book

NON_PRODUCTIVE = "non_productive"
UNTAGGED = "untagged"


@dataclass(frozen=True)
class Booked:
    """Time of one place, trade and day: ms and cost units (None without a rate)."""

    part: str
    trade: str | None
    day: date
    cause: str | None
    rework: str | None
    ms: int
    cost: int | None


class Actuals:
    """What was booked in a job by a day."""

    def __init__(self, book: Book, job: str, status_date: date) -> None:
        self.rows: list[Booked] = []
        self.missing_rate: str | None = None
        for row in book.records("actual_by_part", job=job, status_date=status_date):
            self._add(row)

    def _add(self, row: dict[str, Any]) -> None:
        cost = None if row["unrated_ms"] else int(row["cost"])
        if cost is None and self.missing_rate is None:
            self.missing_rate = f"worker {row['unrated_worker']} has no rate on {row['day']}"
        self.rows.append(
            Booked(
                row["part"],
                row["trade"],
                row["day"],
                row["cause"],
                row["rework"],
                int(row["ms"]),
                cost,
            )
        )

    def where(self, keep: Callable[[Booked], bool]) -> list[Booked]:
        """Return the rows for which `keep` is true."""
        return [row for row in self.rows if keep(row)]
