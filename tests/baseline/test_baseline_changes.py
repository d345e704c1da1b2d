"""Named baseline changes move hours, and never make or lose one."""

import pytest

from tests._stage import batches, load, table
from tests.conftest import Yard, slow_beyond
from tests.inputs._moves import (
    HOUR,
    figures,
    freeze,
    measure,
    postings,
    rebase,
    with_contingency,
)

TO_RAIL = ("N1,2026-03-05,DECK,carpenter,-10", "N1,2026-03-05,RAIL,carpenter,10")


def by_part(yard: Yard, name: str) -> dict[str, int]:
    """Return the ms that baseline changes moved, by part."""
    moved: dict[str, int] = {}
    for part, _, _, ms in postings(yard, name, "baseline_change"):
        moved[part] = moved.get(part, 0) + ms
    return moved


def test_hours_move_between_packages_with_their_plan(stage: Yard) -> None:
    """What one package loses the other gains, in budget and in plan."""
    freeze(stage)
    rebase(stage, *TO_RAIL)

    assert by_part(stage, "budget_posting") == {"DECK": -10 * HOUR, "RAIL": 10 * HOUR}
    assert by_part(stage, "plan_posting") == {"DECK": -10 * HOUR, "RAIL": 10 * HOUR}
    assert figures(stage, "2026-03-27", "DECK") == (70, 70, 0)
    assert figures(stage, "2026-03-27", "RAIL") == (30, 30, 0)
    stage.run("check")


def test_undistributed_hours_wait_and_are_given_out(stage: Yard) -> None:
    """Hours parked as undistributed are in budget and plan until a package takes them."""
    freeze(stage)
    rebase(stage, "N1,2026-03-05,DECK,carpenter,-10", "N1,2026-03-05,undistributed,,10")
    parked = figures(stage, "2026-03-27", "undistributed")
    rebase(stage, "N2,2026-03-06,undistributed,,-4", "N2,2026-03-06,RAIL,carpenter,4")

    assert parked == (10, 10, 0)
    assert figures(stage, "2026-03-27", "undistributed") == (6, 6, 0)
    assert figures(stage, "2026-03-27", "RAIL") == (24, 24, 0)
    stage.run("check")


def test_contingency_is_drawn_into_a_package(stage: Yard) -> None:
    """A draw takes contingency, which has no plan, and plans the hours where they are needed."""
    with_contingency(stage)
    before = stage.json("performance", "--job", "STAGE", "--status-date", "2026-03-27")
    rebase(stage, "N1,2026-03-16,contingency,,-8", "N1,2026-03-16,RAIL,carpenter,8")
    after = stage.json("performance", "--job", "STAGE", "--status-date", "2026-03-27")

    assert by_part(stage, "budget_posting") == {"SPARE": -8 * HOUR, "RAIL": 8 * HOUR}
    assert by_part(stage, "plan_posting") == {"RAIL": 8 * HOUR}
    # 40 + 30 + 80 + 20, then 8 more; contingency stands outside.
    assert [each["rows"][0]["bac"] for each in (before, after)] == [170, 178]
    assert before["anticipated_final"] == after["anticipated_final"] == 190
    stage.run("check")


def test_a_baseline_change_loaded_again_adds_no_batch(stage: Yard) -> None:
    """The same named change is recorded once."""
    freeze(stage)
    rebase(stage, *TO_RAIL)
    before = batches(stage)
    rebase(stage, *TO_RAIL)

    assert batches(stage) == before


REFUSALS = {
    "sum": (
        ["N1,2026-03-05,DECK,carpenter,-10", "N1,2026-03-05,RAIL,carpenter,9"],
        "baseline-changes.csv:3: the rows of a change add up to -1.00 h, not to 0\n"
        "1 fault; nothing was loaded\n",
    ),
    "two dates": (
        ["N1,2026-03-05,DECK,carpenter,-10", "N1,2026-03-06,RAIL,carpenter,10"],
        "baseline-changes.csv:3: the rows of a change must have one date\n1 fault; nothing was "
        "loaded\n",
    ),
    "unknown package": (
        ["N1,2026-03-05,DECK,carpenter,-10", "N1,2026-03-05,SHED,carpenter,10"],
        'baseline-changes.csv:3: "SHED" is not a package of job STAGE\n1 fault; nothing was '
        "loaded\n",
    ),
    "no trade": (
        ["N1,2026-03-05,DECK,,-10", "N1,2026-03-05,RAIL,carpenter,10"],
        "baseline-changes.csv:2: trade is blank; hours of a package need a trade\n"
        "1 fault; nothing was loaded\n",
    ),
    "no contingency": (
        ["N1,2026-03-05,contingency,,-10", "N1,2026-03-05,RAIL,carpenter,10"],
        "N1: CONTINGENCY has only 0.00 h not yet earned; 10.00 h cannot be taken from it\n",
    ),
    "more than is left": (
        ["N1,2026-03-16,DECK,carpenter,-61", "N1,2026-03-16,RAIL,carpenter,61"],
        "N1: DECK has only 60.00 h not yet earned; 61.00 h cannot be taken from it\n",
    ),
}


@pytest.mark.parametrize(("rows", "message"), slow_beyond(3, REFUSALS.values()), ids=REFUSALS)
def test_a_change_that_does_not_hold_is_refused(stage: Yard, rows: list[str], message: str) -> None:
    """Rows sum to nothing, have one date, name packages, and take no hour that is earned."""
    freeze(stage)
    measure(stage, "DECK", "2026-03-13", quantity_done="10")
    before = batches(stage)

    assert rebase(stage, *rows, ok=False) == message
    assert batches(stage) == before


def test_two_rows_of_one_package_take_no_more_than_it_has(stage: Yard) -> None:
    """The limit holds for a change as a whole, not for each of its rows."""
    freeze(stage)
    rows = ("N1,2026-03-05,DECK,carpenter,-50",) * 2 + ("N1,2026-03-05,RAIL,carpenter,100",)
    said = rebase(stage, *rows, ok=False)

    assert said.startswith("N1: DECK has ")


def test_a_name_is_used_once(stage: Yard) -> None:
    """Other rows under a recorded name are refused."""
    freeze(stage)
    rebase(stage, *TO_RAIL)
    other = [row.replace("10", "11") for row in TO_RAIL]
    before = batches(stage)
    said = rebase(stage, *other, ok=False)

    assert said == "baseline change N1 is already recorded with other rows; use a new name\n"
    assert batches(stage) == before


def test_there_is_nothing_to_change_before_the_freeze(stage: Yard) -> None:
    """Before the freeze the estimate itself is loaded again."""
    said = rebase(stage, *TO_RAIL, ok=False)

    assert said == ("baseline-changes.csv: job STAGE is not frozen yet; load the estimate again\n")


def test_the_frozen_estimate_is_not_loaded_over(stage: Yard) -> None:
    """After the freeze another estimate is refused, and the same one is as before."""
    freeze(stage)
    before = batches(stage)
    head = "work_package,title,control_account,trade,budget_hours,planned_start,planned_finish,"
    row = "DECK,Deck,structure,carpenter,90,2026-03-09,2026-03-20,percent_complete\n"
    said = load(stage, "estimate", f"{head}technique\n{row}", ok=False)

    assert said == (
        "estimate.csv: the estimate of STAGE is frozen; change it by a named baseline change "
        "(`fairhours load baseline-changes`)\n"
    )
    assert batches(stage) == before
    assert len(table(stage, "work_package")) == 4
