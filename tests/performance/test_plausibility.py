"""Plausibility notes: each kind beside a job that raises none of it."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from types import SimpleNamespace
from typing import Any, cast

import pytest

from ledger.baseline.job_baseline import CellFacts
from ledger.domain.earned_value import BudgetChange, Measurement
from ledger.domain.plausibility import NOTES
from ledger.performance.measure import Measured
from ledger.performance.plausibility import PackageReplanned, WorkedPart, _of_part, _of_plan
from tests.conftest import Yard, slow_beyond
from tests.published._job import PublishedJob, Spent, measured, package, week_day

HOUR = 3_600_000
DAY = date(2026, 3, 2)


def on(day: int, percent: str | None = None, **facts: Any) -> tuple[None, Measurement]:
    """Return a measurement some days after the first day."""
    given = None if percent is None else Decimal(percent)
    measure = Measurement(DAY + timedelta(days=day), (day, 1), percent=given)
    return None, measure._replace(**facts)


def worked(
    ev: int,
    measures: Iterable[tuple[None, Measurement]] = (),
    booked: Iterable[tuple[int, int]] = (),
    estimate: int | None = None,
    technique: str = "percent_complete",
) -> WorkedPart:
    """Return a package of 100 h: hours earned, what was measured, hours booked by day."""
    days = tuple((DAY + timedelta(days=day), hours * HOUR) for day, hours in booked)
    whole = sum(ms for _, ms in days)
    left = None if estimate is None else estimate * HOUR
    done = ev >= 100
    return WorkedPart(
        "P1", technique, 100 * HOUR, ev * HOUR, whole, done, tuple(measures), days, left
    )


STEADY = [(day, 4) for day in range(56)]
CASES = [
    ("ev_without_ac", worked(50, [on(0, "50")]), worked(50, [on(1, "50")], [(0, 40)])),
    ("ac_without_ev", worked(0, [], [(50, 8)]), worked(10, [on(50, "10")], [(50, 8)])),
    (
        "ev_above_bac",
        worked(
            100,
            [on(9, quantity_done=Decimal(44), quantity_at_completion=Decimal(40))],
            [(0, 9)],
            technique="units_complete",
        ),
        worked(
            100,
            [on(9, quantity_done=Decimal(40), quantity_at_completion=Decimal(40))],
            [(0, 9)],
            technique="units_complete",
        ),
    ),
    (
        "progress_falling",
        worked(40, [on(9, "50"), on(50, "40")], [(0, 9)]),
        worked(50, [on(9, "50"), on(50, "50")], [(0, 9)]),
    ),
    (
        "done_with_estimate",
        worked(100, [on(9, "100")], [(0, 9)], 12),
        worked(100, [on(9, "100")], [(0, 9)], 0),
    ),
    (
        "open_without_estimate",
        worked(90, [on(9, "90")], [(0, 9)], 0),
        worked(90, [on(9, "90")], [(0, 9)], 12),
    ),
    (
        "ac_after_completion",
        worked(100, [on(9, "100")], [(0, 9), (10, 1)]),
        worked(100, [on(9, "100")], [(0, 9), (9, 1)]),
    ),
    (
        "ev_before_start",
        worked(10, [on(3, "10")], [(4, 8)]),
        worked(10, [on(4, "10")], [(4, 8)]),
    ),
    # The status date is day 56: the last measurement is four weeks old, or a day less.
    ("not_measured", worked(60, [on(28, "60")], STEADY), worked(60, [on(29, "60")], STEADY)),
    # 4 h a day of 100 h: after 5, 10 and 15 days 20, 40 and 60 h are booked.
    (
        "percent_from_hours",
        worked(60, [on(4, "20"), on(9, "40"), on(14, "60")], STEADY),
        worked(62, [on(4, "20"), on(9, "40"), on(14, "62")], STEADY),
    ),
]


@pytest.mark.parametrize(("kind", "raised", "neighbour"), CASES, ids=[case[0] for case in CASES])
def test_a_package_raises_its_note_and_its_neighbour_does_not(
    kind: str, raised: WorkedPart, neighbour: WorkedPart
) -> None:
    """Each kind of note comes up where its rule says, and not just beside it."""
    day = DAY + timedelta(days=56)
    found = [{reason.kind for reason in _of_part(each, day)} for each in (raised, neighbour)]

    assert kind in found[0]
    assert kind not in found[1]
    assert not _of_part(worked(50, technique="level_of_effort"), day)


def replanned(day: int, quantity: int = 50) -> PackageReplanned:
    """Return a package replanned, with hours added and another quantity, as of a day."""
    on_day = DAY + timedelta(days=day)
    return PackageReplanned((on_day,), (DAY, on_day), Decimal(quantity))


UNIT = [
    on(9, quantity_done=Decimal(30), quantity_at_completion=Decimal(40)),
    on(50, quantity_done=Decimal(44)),
]
REPLANNED = [
    ("progress_falling", worked(50, [on(9, "50"), on(50, "40")], [(0, 9)])),
    ("not_measured", worked(60, [on(9, "60")], STEADY)),
    ("ev_above_bac", worked(90, UNIT, [(0, 9)], technique="units_complete")),
]


@pytest.mark.parametrize(("kind", "plain"), REPLANNED, ids=[case[0] for case in REPLANNED])
def test_a_package_replanned_in_between_raises_no_note(kind: str, plain: WorkedPart) -> None:
    """What a change of budget, quantity or technique accounts for is nothing to look into."""
    day = DAY + timedelta(days=56)
    cases = [plain, replace(plain, replanned=replanned(40))]
    found = [{reason.kind for reason in _of_part(each, day)} for each in cases]

    assert kind in found[0]
    assert kind not in found[1]


def test_a_package_replanned_before_raises_its_notes() -> None:
    """A change before both measurements, or over four weeks ago, accounts for nothing."""
    day, early = DAY + timedelta(days=56), replanned(5, quantity=40)
    found = [_of_part(replace(plain, replanned=early), day) for _, plain in REPLANNED]

    assert [
        kind in {reason.kind for reason in each}
        for (kind, _), each in zip(REPLANNED, found, strict=True)
    ] == [True, True, True]


def test_a_plan_that_is_not_its_budget_is_noted() -> None:
    """100 h of budget with 90 h planned are named with both; planned whole they are not."""
    short, whole = CellFacts("P1", "fitter", "work"), CellFacts("P2", "fitter", "work")
    for cell, hours in ((short, 90), (whole, 100)):
        cell.budgets.append(("freeze", BudgetChange(DAY, 1, 100 * HOUR, None)))
        cell.plan = {DAY: (60 * HOUR, None), DAY + timedelta(days=1): ((hours - 60) * HOUR, None)}
    measured_job = cast(Measured, SimpleNamespace(measured=[short, whole]))

    (note,) = _of_plan(measured_job)
    assert note.kind == "pv_not_at_bac"
    facts = {"package": "P1", "trade": "fitter", "planned": "90.00", "budget": "100.00"}
    assert dict(note.fields) == facts


@pytest.mark.slow
def test_a_forecast_below_what_is_booked_is_noted(yard: Yard) -> None:
    """50 % fell to 40 %: by the CPI of the last four weeks what is left costs less than nothing."""
    job = PublishedJob(yard, week_day(8))
    job.load("estimate", [package("WORK", "100", week_day(1, 1), week_day(8))])
    job.freeze()
    job.spend([Spent("WORK", "40")], week_day(1))
    job.spend([Spent("WORK", "20")], week_day(5), first=week_day(5, 1))
    percents = [measured("WORK", week_day(week), percent=p) for week, p in ((1, "50"), (5, "40"))]
    job.load("progress", percents)
    notes = yard.json("doubts", "--job", "CASE")["plausibility"]
    texts = [each["message"] for each in notes if each["kind"] == "forecast_below_ac"]

    # AC 60 + (100 - 40) / (-10 / 20).
    assert len(texts) == 1
    assert "-60.00" in texts[0]
    assert "below the 60.00 h booked" in texts[0]


@pytest.mark.slow
def test_notes_of_a_job_are_listed_settled_and_come_back(yard: Yard) -> None:
    """`doubts` lists notes with rule and source; a settled one is gone until its facts change."""
    job = PublishedJob(yard, week_day(6))
    effort = package("LEAD", "40", week_day(1, 1), week_day(6), technique="level_of_effort")
    job.load("estimate", [package("WORK", "100", week_day(1, 1), week_day(6)), effort])
    job.freeze()
    job.spend([Spent("WORK", "20")], week_day(1))
    job.load("progress", [measured("WORK", week_day(1), percent="50")])
    words = ("doubts", "--job", "CASE")
    notes = {each["kind"]: each for each in yard.json(*words)["plausibility"]}
    yard.run("settle", "doubt", notes["tcpi_apart"]["doubt"], "--reason", "a quick start")
    settled = {each["kind"] for each in yard.json(*words)["plausibility"]}
    job.load("progress", [measured("WORK", week_day(2), percent="90")])
    job.spend([Spent("WORK", "80")], week_day(2), first=week_day(2, 1))
    again = {each["kind"] for each in yard.json(*words)["plausibility"]}

    # 40 of 140 h are level of effort, over 15 %.
    assert {"level_of_effort_high", "tcpi_apart"} <= set(notes)
    assert all((each["rule"], each["source"]) == NOTES[kind] for kind, each in notes.items())
    assert "tcpi_apart" not in settled
    assert "level_of_effort_high" in settled
    assert "level_of_effort_high" in again
    assert "level of effort is 28.57 % of BAC" in yard.run(*words).stdout


@pytest.mark.slow
def test_a_job_at_the_limits_raises_no_note(yard: Yard) -> None:
    """Level of effort of 15 % of BAC and TCPI 0.05 from CPI, to the digit, are within the rules."""
    job = PublishedJob(yard, week_day(13))
    effort = package("LEAD", "15", week_day(1, 1), week_day(6), technique="level_of_effort")
    by_units = {"technique": "units_complete", "quantity": "85", "unit": "m"}
    work = package("WORK", "85", week_day(1, 1), week_day(13), **by_units)
    job.load("estimate", [work, effort])
    job.freeze()
    job.spend([Spent("WORK", "7.5"), Spent("LEAD", "2.5")], week_day(1))
    job.load("progress", [measured("WORK", week_day(1), quantity_done="7")])
    row = job.row(week_day(1))

    # (7 + 2.5) / 10; below 15 % earned the rest goes at the budget's rate, and no week is lost.
    assert (row["cpi"], row["tcpi_eac"]) == (Decimal("0.95"), 1)
    assert yard.json("doubts", "--job", "CASE")["plausibility"] == []


def test_a_job_that_is_all_level_of_effort_has_its_notes(yard: Yard) -> None:
    """With nothing to measure its usual day is that of its newest entry; no measurement is missed.

    Its 40 h are level of effort by 100 %, and no forecast by time is made of them.
    """
    job = PublishedJob(yard, week_day(6))
    effort = package("LEAD", "40", week_day(1, 1), week_day(6), technique="level_of_effort")
    job.load("estimate", [effort])
    job.freeze()
    job.spend([Spent("LEAD", "8")], week_day(2))
    notes = {each["kind"]: each["message"] for each in yard.json("doubts")["plausibility"]}
    page = yard.run("performance", "--job", "CASE")

    assert notes["level_of_effort_high"].startswith("level of effort is 100 % of BAC")
    assert "no measurement" not in page.stdout + page.stderr
    assert "nothing but level of effort is planned" in page.stdout + page.stderr


# A fixed formula of 50/50 earns half at its start, of 0/100 only at its finish.
STARTS = {"half": ("0.5", {"WORK"}), "none": ("0", set())}


@pytest.mark.parametrize(("share", "noted"), slow_beyond(1, STARTS.values()), ids=STARTS)
def test_a_start_before_the_first_hour_is_noted(yard: Yard, share: str, noted: set[str]) -> None:
    """Started on Wednesday of the first week, first booked on Monday of the second."""
    job = PublishedJob(yard, week_day(6))
    fixed = {"technique": "fixed_formula", "start_share": share}
    job.load("estimate", [package("WORK", "100", week_day(1, 1), week_day(6), **fixed)])
    job.freeze()
    job.spend([Spent("WORK", "8")], week_day(2), first=week_day(2, 1))
    job.load("progress", [measured("WORK", week_day(2), started=str(week_day(1, 3)))])
    notes = yard.json("doubts")["plausibility"]

    assert {n["message"][:4] for n in notes if n["kind"] == "ev_before_start"} == noted


# 100 % on Friday of the second week and again of the fourth; 17 h were booked in between.
COMPLETE = {
    "complete since": (["100", "100"], "17.00 h booked after 2026-01-23, when it was complete"),
    "open in between": (["100", "90", "100"], ""),
}


@pytest.mark.parametrize(("percents", "noted"), slow_beyond(1, COMPLETE.values()), ids=COMPLETE)
def test_hours_count_from_the_day_the_work_was_first_complete(
    yard: Yard, percents: list[str], noted: str
) -> None:
    """Measured complete a second time hides no hours; work open in between was not complete."""
    job = PublishedJob(yard, week_day(6))
    job.load("estimate", [package("WORK", "100", week_day(1, 1), week_day(6))])
    job.freeze()
    job.spend([Spent("WORK", "90")], week_day(2))
    job.spend([Spent("WORK", "16")], week_day(3), first=week_day(3, 1))
    weeks = (2, 4) if len(percents) == 2 else (2, 3, 4)
    rows = [measured("WORK", week_day(w), percent=p) for w, p in zip(weeks, percents, strict=True)]
    job.load("progress", rows)
    job.spend([Spent("WORK", "1")], week_day(4), first=week_day(4, 1))
    notes = yard.json("doubts")["plausibility"]
    texts = [each["message"] for each in notes if each["kind"] == "ac_after_completion"]

    assert texts == ([f"WORK: {noted}"] if noted else [])
