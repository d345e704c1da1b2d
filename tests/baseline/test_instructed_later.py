"""An instruction that is recorded after the approval still reaches the plan from its day."""

from collections import Counter
from pathlib import Path

import pytest

from tests._stage import SAMPLE, copied, load, table
from tests.conftest import Yard, slow_beyond
from tests.inputs._moves import (
    HOUR,
    figures,
    freeze,
    postings,
    price,
    rebase,
    request,
    tell,
)
from tests.inputs._rederived import differences

Planned = dict[tuple[str, str], int]

APPROVED = "Q1,approved,2026-03-26"
INSTRUCTED = "Q1,instructed,2026-03-24"
EVENTS = "change,event,date,person\n"
LISTED = '\n[[authority]]\nperson = "Jonna Merrick"\n'
# 8 h from the 24th to the job's finish on the 27th; from the approval two days.
FROM_INSTRUCTION = {24: 2, 25: 2, 26: 2, 27: 2}
FROM_APPROVAL = {26: 4, 27: 4}


@pytest.fixture
def job(stage: Yard) -> Yard:
    """The sample's job, frozen, with 8 h of carpenters priced for a change Q1."""
    freeze(stage)
    request(stage, "Q1")
    price(stage, "Q1,1,carpenter,8")
    return stage


def planned(job: Yard) -> dict[int, int]:
    """Return the hours planned for Q1 by the day of March."""
    hours: Counter[int] = Counter()
    for row in table(job, "plan_posting"):
        if row["part"] == "Q1":
            hours[int(row["day"][-2:])] += int(row["ms"])
    return {day: ms // HOUR for day, ms in sorted(hours.items()) if ms}


def planned_by_source(job: Yard) -> Planned:
    """Return the ms planned for Q1 by the day and what moved them with the day it counts from."""
    hours: Counter[tuple[str, str]] = Counter()
    for row in table(job, "plan_posting"):
        if row["part"] == "Q1":
            hours[row["day"], f"{row['source']} {row['counts_from']}"] += int(row["ms"])
    return {key: ms for key, ms in sorted(hours.items()) if ms}


def test_the_plan_moves_to_an_instruction_recorded_after_the_approval(job: Yard) -> None:
    """Its hours are planned from the instruction, whose withdrawal moves them back; the budget
    stays."""
    tell(job, APPROVED)
    before = planned(job)
    said = tell(job, INSTRUCTED).splitlines()
    after = planned(job)
    figures_after = figures(job, "2026-03-26", "Q1")
    (event,) = (
        f"change_event:{row['batch']}.{row['row']}"
        for row in table(job, "change_event")
        if row["event"] == "instructed"
    )
    rederived = differences(job)
    job.run("withdraw", "fact", event, "--reason", "told by nobody")

    assert before == FROM_APPROVAL
    assert said[1] == ("change-events.csv: Q1: planned from 2026-03-24 now, as it was instructed")
    assert after == FROM_INSTRUCTION
    assert figures_after == (8, 6, 0)
    assert rederived == {}
    assert planned(job) == FROM_APPROVAL
    assert len(postings(job, "budget_posting", "approval")) == 1
    job.run("check")


# Events in the order they are recorded, and what is planned at the end.
RECORDED = [
    ([APPROVED, "Q1,instructed,2026-03-27"], FROM_APPROVAL),
    ([APPROVED, INSTRUCTED, "Q1,instructed,2026-03-24"], FROM_INSTRUCTION),
    (["Q1,approved,2026-03-30", INSTRUCTED], {30: 8}),
]


@pytest.mark.parametrize(("events", "plan"), slow_beyond(1, RECORDED))
def test_the_plan_begins_with_the_first_of_both(
    job: Yard, events: list[str], plan: dict[int, int]
) -> None:
    """An instruction later than the approval, one recorded twice, and one of work approved after
    the planned finish."""
    for each in events:
        tell(job, each)

    assert planned(job) == plan
    assert differences(job) == {}


LATER = {
    "stop": lambda job: tell(job, "Q1,stopped,2026-03-26"),
    "less": lambda job: rebase(
        job, "Less,2026-03-25,Q1,carpenter,-1", "Less,2026-03-25,UNDISTRIBUTED,carpenter,1"
    ),
    "more": lambda job: rebase(
        job, "More,2026-03-25,Q1,carpenter,2", "More,2026-03-25,RAIL,carpenter,-2"
    ),
}
EARLY = "Q1,approved,2026-03-24"


@pytest.mark.slow
@pytest.mark.parametrize("later", slow_beyond(1, [["less", "stop"], ["stop"], ["more", "less"]]))
def test_moves_after_the_approval_follow_the_moved_plan(
    job: Yard, tmp_path: Path, later: list[str]
) -> None:
    """Whichever is recorded first, a stop and baseline changes leave each day planned alike."""
    other = copied(job.book, tmp_path / "other")
    tell(other, "Q1,instructed,2026-03-17", EARLY)
    tell(job, EARLY)
    for each in later:
        LATER[each](other)
        LATER[each](job)
    before = planned_by_source(job)
    tell(job, "Q1,instructed,2026-03-17")

    assert planned_by_source(job) == planned_by_source(other) != before
    assert differences(job) == {}
    job.run("check")


def test_an_instruction_that_does_not_count_moves_no_plan(job: Yard) -> None:
    """One of somebody who is not listed waits; told again by a listed person it moves the plan."""
    card = (SAMPLE / "job.toml").read_text(encoding="utf-8")
    job.run("load", "job", job.write("job.toml", f"{card}{LISTED}"))
    tell(job, APPROVED)
    load(job, "change-events", f"{EVENTS}Q1,instructed,2026-03-24,Perrin Oake\n")
    waiting = planned(job)
    load(job, "change-events", f"{EVENTS}Q1,instructed,2026-03-24,Jonna Merrick\n")

    assert waiting == FROM_APPROVAL
    assert planned(job) == FROM_INSTRUCTION
    assert differences(job) == {}
