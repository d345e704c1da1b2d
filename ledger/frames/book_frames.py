"""Frames of a book: opened for each, read as known at one batch, and closed before it is given."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, TypedDict, Unpack

import polars as pl

from ledger.commands import figures
from ledger.commands.access import ReadAccess
from ledger.commands.changes import changes
from ledger.commands.changes_as_json import change_json, margin_json
from ledger.commands.figures_as_json import figure_of
from ledger.commands.series import series
from ledger.domain.allocation import to_places
from ledger.domain.codes import code_of
from ledger.errors import WrongUsage
from ledger.frames.columns import schema_of
from ledger.frames.plain_text import in_plain_text
from ledger.frames.series_frame import series_frame
from ledger.performance.grouping import GROUPS
from ledger.performance.report import ORDER, UNIT, PerformanceAsked
from ledger.performance.series import EVERY, SeriesAsked
from ledger.store.book import Book, Stamp


class SeriesOptions(TypedDict, total=False):
    """How a job is shown over time; what is left out is the first of its words."""

    every: str
    by: str
    unit: str
    baseline: str
    as_known_then: bool


WORDS = {
    "every": EVERY,
    "by": GROUPS,
    "unit": ("hours", "cost"),
    "baseline": ("current", "original"),
}


@dataclass(frozen=True)
class _Pinned(ReadAccess):
    """The book as it was at one batch, whatever is written to it later; its closings count."""

    sequence: int = 0

    @contextmanager
    def reading(self) -> Iterator[Book]:
        with super().reading() as book:
            book.upto = self.sequence
            yield book


class BookFrames:
    """A book's figures as Polars frames, all as known at one batch.

    `known_at` is a batch, a stamp, an instant or a day; left out, it is the last batch when this
    was made, and figures of a closed period are those of its closing, as in the commands. Between
    two calls the book is not open, so that others can write to it.
    """

    def __init__(self, book: str | Path, known_at: str | int | None = None, wait: float = 10):
        """Raises: FairhoursError when there is no such book or batch, or others hold it."""
        known_at_text = None if known_at is None else str(known_at)
        with in_plain_text(), ReadAccess(Path(book), known_at_text, wait).reading() as opened:
            self.stamp: Stamp = opened.stamp()
        self._access = _Pinned(Path(book), known_at_text, wait, sequence=self.stamp.sequence)

    @in_plain_text()
    def entries(self, job: str | None = None, *, cost: bool = False) -> pl.DataFrame:
        """Return what stands of every entry, a row a place; of one job, or of the whole yard."""
        code = None if job is None else code_of(job)
        with self._access.reading() as book:
            frame = book.frame("frames/entries", job=code)
        return frame.select(list(schema_of("entries", cost=cost)))

    @in_plain_text()
    def changes(
        self, job: str, status_date: date | None = None, *, cost: bool = False
    ) -> pl.DataFrame:
        """Return every change of a job by a day; margins where cost is asked for."""
        known = changes(self._access, job, status_date)
        listed = known.listed
        rows = [
            {
                "job": listed.job,
                "status_date": listed.status_date,
                **change_json(each),
                **margin_json(known.margins[each.standing.change.code]),
            }
            for each in listed.changes
        ]
        return _frame("changes", rows, cost=cost)

    @in_plain_text()
    def performance(
        self,
        job: str,
        status_date: date | None = None,
        *,
        by: str = "job",
        unit: str = "hours",
        baseline: str = "current",
    ) -> pl.DataFrame:
        """Return where a job stands and will end: a row a key of `by`."""
        for name, value in {"by": by, "unit": unit, "baseline": baseline}.items():
            _chosen(name, value, WORDS[name])
        asked = PerformanceAsked(job, status_date, baseline, unit, by)
        known = figures.performance(self._access, asked).performance
        rows = [
            {
                "job": known.asked.job,
                "status_date": known.status_date,
                "key": row.key,
                **{name: figure_of(name, row.figures[name], UNIT[unit]) for name in ORDER},
            }
            for row in known.rows
        ]
        return _frame("performance", rows)

    @in_plain_text()
    def series(
        self, job: str, status_date: date | None = None, **how: Unpack[SeriesOptions]
    ) -> pl.DataFrame:
        """Return a job over time up to the status date: a row a key of `by` and week or month."""
        for name, words in WORDS.items():
            _chosen(name, str(how.get(name, words[0])), words)
        asked = SeriesAsked(job, status_date, **how)
        return series_frame(series(self._access, asked).series)

    @in_plain_text()
    def overrun(
        self, job: str, status_date: date | None = None, *, unit: str = "hours"
    ) -> pl.DataFrame:
        """Return step by step why the hours or the labour cost changed, who asked, who bears it."""
        _chosen("unit", unit, WORDS["unit"])
        known = figures.overrun(self._access, job, status_date, unit).overrun
        splits = {"to_date": known.steps.to_date, "to_come": known.steps.to_come}
        groups = {
            "step": known.steps.amounts,
            "asked_by": known.asked_by,
            "borne_by": known.borne_by,
        }
        rows = [
            {
                "job": known.job,
                "status_date": known.status_date,
                "group": group,
                "name": name,
                "amount": to_places(amount, 4, UNIT[unit]),
                **{
                    split: to_places(split_amounts[name], 4, UNIT[unit])
                    for split, split_amounts in splits.items()
                    if group == "step" and name in split_amounts
                },
            }
            for group, amounts in groups.items()
            for name, amount in amounts.items()
        ]
        return _frame("overrun", rows)


def _chosen(name: str, value: str, words: Sequence[str]) -> None:
    """Raise WrongUsage for a word that is none of those there are."""
    if value not in words:
        raise WrongUsage("word_unknown", option=name, given=value, words=tuple(words))


def _frame(name: str, rows: Iterable[Mapping[str, Any]], *, cost: bool = False) -> pl.DataFrame:
    """Return rows as a frame of the documented columns, in their order; what is missing is null."""
    schema = schema_of(name, cost=cost)
    cells = [tuple(row.get(column) for column in schema) for row in rows]
    return pl.DataFrame(cells, schema=schema, orient="row")
