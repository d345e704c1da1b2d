"""A replanned job over time: a series says of each week what `performance` says of it."""

from datetime import date
from pathlib import Path

import pytest

from ledger.baseline.job_baseline import JobBaseline, Key, PlansRead
from ledger.performance.basis import Scope
from ledger.performance.grouping import GROUPS
from ledger.performance.measure import Measured
from ledger.performance.plausibility import _replanned, plausibility
from ledger.performance.series import SeriesAsked
from ledger.store.book import open_book
from tests._stage import JOB, load, load_sheets, prepare
from tests.baseline._replans import COLUMNS, authorised, deck, row, under
from tests.conftest import Yard
from tests.inputs._moves import freeze, measure
from tests.performance.test_series import VIEWS, unlike, unlike_in_scope

# Sundays, and days of changes and of measurements in the middle of a week.
ENDS = (*(date(2026, 3, day) for day in (11, 15, 18, 22, 26)), date(2026, 4, 12))
NINTH, PAST = "2026-03-09", "2026-04-10"
LATER = {"work_package": "LATER", "budget_hours": "40", "planned_start": NINTH}
PAINT = row(
    work_package="PAINT",
    budget_hours="20",
    planned_start=NINTH,
    planned_finish="2026-03-20",
    technique="apportioned_effort",
    base_package="DECK",
)
STAIR = row(
    work_package="STAIR",
    budget_hours="12",
    planned_start="2026-03-16",
    planned_finish="2026-03-25",
)


def replanned(yard: Yard) -> None:
    """Load a job whose deck is measured in three ways, each from the middle of a week.

    A package is new, one follows the deck, one is detailed, and dates move.
    """
    prepare(yard)
    rough = row(**LATER, package_kind="planning", planned_finish="2026-04-03")
    load(yard, "estimate", "\n".join([",".join(COLUMNS), deck(), PAINT, rough]) + "\n")
    freeze(yard)
    head = "worker_id,date,hours,booking_code,note\n"
    days = ((10, "DECK"), (12, "STAIR"), (17, "DECK"), (23, "LATER"), (25, "DECK"))
    load_sheets(yard, head + "".join(f"A1,2026-03-{day},8,{code},\n" for day, code in days))
    measure(yard, "DECK", "2026-03-10", quantity_done="10")
    under(yard, "N1", STAIR, deck(budget_hours="68", quantity="50"))
    moved = ("DECK,carpenter,-12", "STAIR,carpenter,12")
    authorised(yard, *(f"N1,2026-03-11,{part}" for part in moved))
    measure(yard, "DECK", "2026-03-13", quantity_done="20")
    measure(yard, "STAIR", "2026-03-17", percent="30")
    effort = deck(budget_hours="68", technique="level_of_effort", planned_finish="2026-04-02")
    under(yard, "N2", effort, row(**LATER, planned_finish="2026-03-31"))
    authorised(yard, "N2,2026-03-18,DECK,carpenter,0", "N2,2026-03-18,LATER,carpenter,0")
    measure(yard, "LATER", "2026-03-20", percent="40")
    anew = deck(budget_hours="68", technique="percent_complete", planned_finish=PAST)
    under(yard, "N3", anew)
    authorised(yard, "N3,2026-03-24,DECK,carpenter,0")
    measure(yard, "DECK", "2026-03-26", percent="85")
    measure(yard, "LATER", "2026-03-27", percent="70")


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The replanned job's book, to be read only."""
    return Yard(tmp_path_factory.mktemp("replanned")).copy_made_by(replanned).book


@pytest.mark.slow
@pytest.mark.parametrize(("unit", "on"), VIEWS)
def test_each_week_of_a_replanned_job_is_as_its_own_reckoning_says(
    book: Path, unit: str, on: str
) -> None:
    """Techniques, quantities, dates, budgets and packages change, midweek too: both say the same.

    The last week's scope holds at the earlier ones.
    """
    with open_book(book) as opened:
        found = [
            difference
            for number, day in enumerate(ENDS)
            for by in ("work-package", GROUPS[number % 4])
            for difference in unlike(opened, SeriesAsked(JOB, day, on, unit, by))
        ]
        found += list(unlike_in_scope(opened, SeriesAsked(JOB, ENDS[-1], on, unit)))

    assert found == []


@pytest.mark.slow
@pytest.mark.parametrize("every", ["week", "month"])
def test_plans_without_costs_are_those_with_them(tmp_path: Path, every: str) -> None:
    """Each period planned is so in both readings, also where a plan was put off and is back.

    What a withdrawal took back to nothing is planned in no period any more.
    """
    yard = Yard(tmp_path).copy_made_by(replanned)
    under(yard, "N4", row(**LATER, planned_finish="2026-07-03"))
    authorised(yard, "N4,2026-03-30,LATER,carpenter,0")
    put_off = plans(yard, ENDS[-1], every, priced=False)
    change = next(each for each in yard.json("show", "baseline_change") if each["name"] == "N4")
    yard.run("withdraw", "fact", change["id"], "--reason", "not agreed")
    found = [
        (plans(yard, day, every, priced=False), plans(yard, day, every, priced=True))
        for day in ENDS
    ]

    assert [(plain, priced) for plain, priced in found if plain != priced] == []
    assert max(put_off["LATER", "carpenter"][0]) > date(2026, 6, 1)
    assert max(found[-1][0]["LATER", "carpenter"][0]) < date(2026, 5, 1)


def plans(
    yard: Yard, day: date, every: str, *, priced: bool
) -> dict[Key, tuple[dict[date, int], dict[date, int]]]:
    """Return by part and trade the ms planned by period, and of them those from the freeze."""
    with open_book(yard.book) as book:
        cells = JobBaseline(book, JOB, day, PlansRead(every, priced=priced)).cells
    return {
        key: (
            {when: ms for when, (ms, _) in cell.plan.items()},
            {when: ms for when, (ms, _) in cell.original_plan.items()},
        )
        for key, cell in cells.items()
    }


@pytest.mark.slow
def test_what_replanned_packages_account_for_is_no_note(book: Path) -> None:
    """The deck, in its fourth way since the 24th, and all beside it raise no false note."""
    with open_book(book) as opened:
        measured = Measured(opened, JOB, Scope(date(2026, 3, 29)))
        deck_now, notes = _replanned(measured, "DECK"), plausibility(measured)

    days = [date(2026, 3, day) for day in (11, 18, 24)]
    assert list(deck_now.ways) == days
    assert days[0] in deck_now.budgets
    false = {"progress_falling", "not_measured", "ev_above_bac", "pv_not_at_bac"}
    assert [note for note in notes if note.kind in false] == []
