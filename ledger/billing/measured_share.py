"""The share of work measured as done, which is proposed where no claim percent is recorded."""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from ledger.baseline.job_baseline import JobBaseline
from ledger.baseline.postings import is_frozen
from ledger.changes.requests import changes_of
from ledger.domain.pricing import NOTHING, money_of
from ledger.store.book import Book


class MeasuredShares:
    """Earned hours over budgeted ones of a job's parts by a day, read when first asked for.

    `baseline` is the job's on that day, where it was read already.
    """

    def __init__(
        self, book: Book, job: str, day: date, baseline: JobBaseline | None = None
    ) -> None:
        self.book, self.job, self.day = book, job, day
        self._baseline = baseline

    @cached_property
    def _earned(self) -> dict[str, tuple[int, int]]:
        """Return budget and earned value in ms by part; nothing before the freeze."""
        if not is_frozen(self.book, self.job):
            return {}
        baseline = self._baseline or JobBaseline(self.book, self.job, self.day)
        sums: dict[str, tuple[int, int]] = {}
        for (part, _), cell in baseline.cells.items():
            if cell.package_kind in {"work", "variation"}:
                earned = baseline.earned(cell, self.day)
                budget, value = sums.get(part, (0, 0))
                sums[part] = budget + earned.budget_ms, value + earned.earned_ms
        return sums

    @cached_property
    def _changes(self) -> frozenset[str]:
        return frozenset(changes_of(self.book, self.job))

    def of_base(self, whole: Decimal) -> Decimal | None:
        """Return the measured share of the base's sum; None while nothing is budgeted."""
        return _share(whole, (each for part, each in self._earned.items() if not self._is(part)))

    def of_change(self, change: str, whole: Decimal) -> Decimal | None:
        """Return the measured share of a change's price; None while nothing is budgeted."""
        return _share(whole, (each for part, each in self._earned.items() if part == change))

    def _is(self, part: str) -> bool:
        return part in self._changes


def _share(whole: Decimal, earned: Iterable[tuple[int, int]]) -> Decimal | None:
    budget, value = NOTHING, NOTHING
    for each, done in earned:
        budget, value = budget + each, value + done
    return money_of(Fraction(whole) * Fraction(value) / Fraction(budget)) if budget else None
