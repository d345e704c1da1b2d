"""Time booked in a job by place and trade worked, and what it cost: sums over columns."""

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from ledger.store.book import Book

if TYPE_CHECKING:
    import polars as pl

NON_PRODUCTIVE = "non_productive"
UNTAGGED = "untagged"
NAMES = ("part", "cause", "rework", "trade", "day", "ms", "cost", "unrated_ms", "unrated_worker")


_OF_WORKERS = ("worker_id", "part", "trade", "day", "ms", "cost")


@dataclass(frozen=True)
class CellActual:
    """What one place and trade took: whole units to date, of it rework, and of the recent weeks."""

    part: str
    trade: str | None
    amount: int
    rework: int
    recent: int


class Actuals:
    """What was booked in a job by a day, in ms or in cost units (ms x 1/10000)."""

    def __init__(self, book: Book, job: str, status_date: date, unit: str) -> None:
        import polars as pl

        self.book, self.job, self.day, self.unit = book, job, status_date, unit
        asked = {"job": job, "status_date": status_date, "workers": None}
        rows = book.rows("performance/actual_by_part", **asked)
        cells = [(*row[1:6], *map(int, row[6:9]), row[9]) for row in rows]
        kinds = [*[pl.String] * 4, pl.Date, *[pl.Int128] * 3, pl.String]
        schema = dict(zip(NAMES, kinds, strict=True))
        amount = pl.col("ms" if unit == "hours" else "cost").alias("amount")
        self.frame = pl.DataFrame(cells, schema=schema, orient="row").with_columns(amount)

    @property
    def missing_rate(self) -> str | None:
        """Return the first worker and day without a rate, in words; None when all have one."""
        import polars as pl

        found = self.frame.filter(pl.col("unrated_ms") > 0).sort("day", "unrated_worker")
        if found.is_empty():
            return None
        row = found.row(0, named=True)
        if row["trade"] is None:
            return (
                f"worker {row['unrated_worker']} is not in the crew and has no rate on {row['day']}"
            )
        return f"worker {row['unrated_worker']} has no rate on {row['day']}"

    @property
    def total(self) -> int:
        """Return all that was booked."""
        return int(self.frame["amount"].sum())

    @property
    def parts(self) -> set[str]:
        """Return the places that time was booked to."""
        return set(self.frame["part"].to_list())

    def by_cell(self, after: date, upto: date) -> list[CellActual]:
        """Return what each place and trade took; recent is after the one day up to the other."""
        import polars as pl

        amount = pl.col("amount")
        recent = (pl.col("day") > after) & (pl.col("day") <= upto)
        grouped = self.frame.group_by("part", "trade", maintain_order=True).agg(
            amount.sum(),
            amount.filter(pl.col("rework").is_not_null()).sum().alias("rework"),
            amount.filter(recent).sum().alias("recent"),
        )
        return [CellActual(*row) for row in grouped.rows()]

    def of_part(self, part: str) -> int:
        """Return what one place took."""
        import polars as pl

        return self._sum(pl.col("part") == part)

    def of_trades(self, part: str, trades: list[str | None], day: date) -> int:
        """Return what some trades of a part took by a day."""
        import polars as pl

        chosen = pl.col("trade").is_in(trades, nulls_equal=True)
        return self._sum((pl.col("part") == part) & chosen & (pl.col("day") <= day))

    def booked_ms(self, besides: list[str]) -> int:
        """Return all time booked in ms, but for some places."""
        import polars as pl

        return int(self.frame.filter(~pl.col("part").is_in(besides))["ms"].sum())

    def ms_after(self, days: dict[str, date | None]) -> dict[str, int]:
        """Return the time in ms that each place took after its own day; all of it without one."""
        import polars as pl

        schema = {"part": pl.String, "upto": pl.Date}
        upto = pl.DataFrame(list(days.items()), schema=schema, orient="row")
        later = pl.col("upto").is_null() | (pl.col("day") > pl.col("upto"))
        sums = self.frame.join(upto, on="part").filter(later).group_by("part")
        return {part: int(ms) for part, ms in sums.agg(pl.col("ms").sum()).rows() if ms}

    def by_worker_week(
        self, workers: list[str], week_start: int
    ) -> dict[tuple[str, date], list[tuple[str, str | None, int]]]:
        """Return what these workers booked by worker and week: place, trade and amount."""
        import polars as pl

        asked = {"job": self.job, "status_date": self.day, "workers": workers}
        rows = self.book.rows("performance/actual_by_part", **asked)
        kinds = [*[pl.String] * 3, pl.Date, *[pl.Int128] * 2]
        cells = [(row[0], row[1], row[4], row[5], int(row[6]), int(row[7])) for row in rows]
        schema = dict(zip(_OF_WORKERS, kinds, strict=True))
        frame = pl.DataFrame(cells, schema=schema, orient="row")
        first = pl.col("day") - pl.duration(days=(pl.col("day").dt.weekday() + 6 - week_start) % 7)
        amount = pl.col("ms" if self.unit == "hours" else "cost").sum()
        keys = ("worker_id", "week", "part", "trade")
        grouped = frame.with_columns(week=first).group_by(keys, maintain_order=True).agg(amount)
        found: dict[tuple[str, date], list[tuple[str, str | None, int]]] = {}
        for worker, week, part, trade, sums in grouped.rows():
            found.setdefault((worker, week), []).append((part, trade, int(sums)))
        return found

    def _sum(self, condition: "pl.Expr") -> int:
        return int(self.frame.filter(condition)["amount"].sum())

    def lost_by_cause(self) -> list[tuple[str | None, int]]:
        """Return time without product by its cause."""
        import polars as pl

        return self._by("cause", pl.col("part") == NON_PRODUCTIVE)

    def rework_by_cause(self, besides: list[str]) -> list[tuple[str | None, int]]:
        """Return rework by its cause, of all places but those named and time lost or untagged."""
        import polars as pl

        left_out = [*besides, NON_PRODUCTIVE, UNTAGGED]
        of_work = ~pl.col("part").is_in(left_out) & pl.col("rework").is_not_null()
        return self._by("rework", of_work)

    def _by(self, column: str, condition: "pl.Expr") -> list[tuple[str | None, int]]:
        import polars as pl

        chosen = self.frame.filter(condition)
        grouped = chosen.group_by(column, maintain_order=True).agg(pl.col("amount").sum())
        return [(cause, int(amount)) for cause, amount in grouped.rows()]
