"""Parts add up to their whole, exactly, whatever is in the book."""

import random
from datetime import date
from itertools import product
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, example, given, settings
from hypothesis import strategies as st

from ledger.changes.in_charge import MOVED, in_charge
from ledger.performance.grouping import GROUPS
from ledger.performance.overrun import Overrun, overrun
from ledger.performance.report import UNIT, Performance, PerformanceAsked, performance
from ledger.reports.yard.overrun_build import build_overrun
from ledger.store.book import Book, open_book
from tests.conftest import Yard
from tests.performance._random_books import JOB, RandomBook

BASELINES = ("current", "original")
ADDING = ("bac", "pv", "ev", "ac", "sv", "cv", "eac", "etc", "vac")
# Before all work, amid it, on a day that is no week end, and after it.
DAYS = (date(2026, 2, 27), date(2026, 3, 15), date(2026, 3, 25), date(2026, 4, 12))
STEPS = (
    *("original_budget", "approved_variations", "omissions", "over_under_on_variations"),
    *("unapproved_changes", "rework", "over_under_on_original_work"),
    *("non_productive", "untagged"),
)


def measured(book: Book, day: date, *, baseline: str, unit: str, by: str) -> Performance:
    return performance(book, PerformanceAsked(JOB, day, baseline, unit, by))


def sums(found: Performance) -> dict[str, Any]:
    """Return the rows' sums of what adds; a figure that is not defined fails."""
    return {name: sum(row.figures[name] for row in found.rows) for name in ADDING}


def check_rows(book: Book, day: date) -> None:
    """Every grouping adds to the job's row, on both baselines, in hours and cost."""
    for baseline, unit in product(BASELINES, UNIT):
        whole = measured(book, day, baseline=baseline, unit=unit, by="job")
        [row] = whole.rows
        for by in GROUPS[1:]:
            parts = measured(book, day, baseline=baseline, unit=unit, by=by)
            what = f"{day} {baseline} {unit} --by {by}"

            assert (what, sums(parts)) == (what, {name: row.figures[name] for name in ADDING})


def check_time(book: Book, day: date) -> None:
    """0 <= ES <= planned duration, on both baselines, in hours and cost."""
    for baseline, unit in product(BASELINES, UNIT):
        time = measured(book, day, baseline=baseline, unit=unit, by="job").time
        if time.earned_schedule is not None and time.planned_duration is not None:
            found = (day, baseline, unit, 0 <= time.earned_schedule <= time.planned_duration)

            assert found == (day, baseline, unit, True)


def check_booked(book: Book, day: date) -> None:
    """AC of the job and of what stands outside it is all that is booked to the job."""
    for unit in UNIT:
        found = measured(book, day, baseline="current", unit=unit, by="job")
        rows = [*found.rows, *found.outside]

        assert (unit, sum(row.figures["ac"] or 0 for row in rows)) == (unit, found.job_booked)


def check_overrun(book: Book, day: date) -> None:
    """Steps add to the anticipated final; both splits add to what it is above the budget."""
    for unit in UNIT:
        told = overrun(book, JOB, day, unit)
        amounts = told.steps.amounts
        final = measured(book, day, baseline="current", unit=unit, by="job").anticipated_final
        grown = amounts["anticipated_final"] - amounts["original_budget"]
        what = f"{day} {unit}"

        assert tuple(amounts)[: len(STEPS)] == STEPS
        assert (what, sum(amounts[step] for step in STEPS)) == (what, final)
        assert (what, amounts["anticipated_final"]) == (what, final)
        assert (what, sum(told.asked_by.values())) == (what, grown)
        assert (what, sum(told.borne_by.values())) == (what, grown)
        check_dates(told)


def check_parts(book: Book, day: date) -> None:
    """Packages and changes add to the growth, and weeks by bearer to what is booked."""
    report = build_overrun(book, JOB, day)
    grown = sum(row.growth_ms for row in report.parts)

    assert (day, grown) == (day, report.growth_ms)
    assert (day, sum(sum(week.ms) for week in report.weeks)) == (day, report.booked_ms)


def check_charge(book: Book, day: date) -> None:
    """Steps add to the anticipated final sum, and changes to each step."""
    found = in_charge(book, JOB, day)
    original, *moved, final = found.steps.values()

    assert (day, original + sum(moved)) == (day, final)
    for step in MOVED:
        by_change = sum(amount for _, amount in found.of(step))
        assert (day, step, by_change) == (day, step, found.steps[step])


def charged(yard: Yard) -> None:
    """Give an hour of each trade a price."""
    rows = "carpenter,2026-01-01,61.37\nlabourer,2026-01-01,43.3333\n"
    path = yard.write("charges.csv", f"trade,effective_from,charge_per_hour\n{rows}")
    yard.run("load", "charge-rates", "--job", JOB, path)


def check_dates(told: Overrun) -> None:
    """What a step took to date and what is to come add to the step."""
    for step, to_date in told.steps.to_date.items():
        assert (step, to_date + told.steps.to_come[step]) == (step, told.steps.amounts[step])


@pytest.mark.slow
@given(seed=st.integers(0, 2**32), measures=st.booleans(), day=st.sampled_from(DAYS))
@example(seed=1, measures=False, day=DAYS[1])
@settings(
    max_examples=3,
    deadline=None,
    database=None,
    phases=[Phase.explicit, Phase.generate],  # a book takes seconds: what fails is not shrunk
    suppress_health_check=list(HealthCheck),
)
def test_parts_add_to_their_whole(seed: int, measures: bool, day: date) -> None:
    """Rows, steps, both marks and sums add exactly in any book, measured or with nothing earned."""
    with TemporaryDirectory() as folder:
        yard = RandomBook(Yard(Path(folder)), random.Random(seed), measured=measures).build()
        charged(yard)
        with open_book(yard.book) as book:
            check_rows(book, day)
            check_time(book, day)
            check_booked(book, day)
            check_overrun(book, day)
            check_parts(book, day)
            check_charge(book, day)
        assert yard.run("check").exit_code == 0
