"""What finished work took for each unit: the jobs of the book, and past jobs loaded for it."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from ledger.baseline.job_baseline import JobBaseline
from ledger.domain.achieved import Achieved, FinishedWork, achieved
from ledger.domain.codes import word_of
from ledger.domain.earned_value import is_finished
from ledger.store.book import Book


def achieved_by(book: Book, day: date) -> list[Achieved]:
    """Return hours a unit by kind of work, unit and trade, of packages finished by a day."""
    return achieved([*_of_jobs(book, day), *_of_past_jobs(book)])


def _of_jobs(book: Book, day: date) -> Iterator[FinishedWork]:
    worked: dict[tuple[str, str], dict[str | None, int]] = {}
    for job, part, trade, ms in book.rows("performance/worked_by_package", status_date=day):
        worked.setdefault((job, part), {})[trade] = int(ms)
    baselines: dict[str, JobBaseline] = {}
    packages = dict.fromkeys(
        (job, package, kind, unit, quantity)
        for job, package, _, kind, unit, quantity in book.rows("performance/packages_with_units")
    )
    for job, package, kind, unit, planned in packages:
        baseline = baselines.setdefault(job, JobBaseline(book, job, day))
        quantity = _quantity_of(baseline, package, day, planned)
        if quantity is not None:
            for trade, ms in worked.get((job, package), {}).items():
                if trade is not None:
                    named = word_of(kind), word_of(unit)
                    yield FinishedWork(job, package, *named, trade, quantity, ms)


def _quantity_of(
    baseline: JobBaseline, package: str, day: date, planned: Decimal
) -> Decimal | None:
    """Return the units of a package that all its trades have finished by a day; else None."""
    trades = [trade for name, trade in baseline.packages if name == package]
    for trade in trades:
        over = is_finished(baseline.measures_of(package, trade), day)
        if not over and baseline.shares(package, trade).on(day) < 1:
            return None
    measures = [m for m in baseline.measures_of(package, None) if m.day <= day]
    counted = sorted(measures, key=lambda each: (each.day, each.recorded))
    done = [each.quantity_done for each in counted if each.quantity_done]
    return done[-1] if done else planned


def _of_past_jobs(book: Book) -> Iterator[FinishedWork]:
    for row in book.current("past_work"):
        kind, job = (row["work_kind"], row["unit"], row["trade"]), row["past_job"]
        yield FinishedWork(job, row["work_kind"], *kind, row["quantity"], row["ms"])
