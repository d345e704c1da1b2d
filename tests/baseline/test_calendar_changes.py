"""The calendar of a frozen job: a named baseline change spreads what is to come anew."""

from decimal import Decimal

import pytest

from tests._stage import JOB, SAMPLE, batches, load_sheets, table
from tests.baseline._replans import authorised, by_package, deck, row, under
from tests.conftest import Yard
from tests.inputs._moves import figures, freeze, measure, price, rebase, request, tell

# Three days of the last week of the deck.
SHUT = ("days_off = []", "days_off = [{ from = 2026-03-16, to = 2026-03-18 }]")
NAMED = "N1,2026-03-12,DECK,carpenter,0"


def calendar(yard: Yard, *others: tuple[str, str], name: str | None = "N1", ok: bool = True) -> str:
    """Load the sample's job with other text under a baseline change; return what was said."""
    text = (SAMPLE / "job.toml").read_text(encoding="utf-8")
    for before, after in others:
        assert before in text
        text = text.replace(before, after)
    words = () if name is None else ("--baseline-change", name)
    return yard.run("load", "job", *words, yard.write("job.toml", text), ok=ok).stderr


def under_way(yard: Yard) -> None:
    """Freeze the sample, with ten of 40 boards laid and 9 h booked."""
    freeze(yard)
    measure(yard, "DECK", "2026-03-11", quantity_done="10")
    load_sheets(yard, "worker_id,date,hours,booking_code,note\nA1,2026-03-10,9,DECK,\n")


def job_days(yard: Yard, *words: str) -> list[str]:
    return [each["day"] for each in yard.json(*words, "show", "job_day")]


@pytest.mark.slow
def test_a_shut_down_after_the_freeze_by_hand(stage: Yard) -> None:
    """80 h of deck are 8 h a day of ten from 9 March; shut from the 16th to the 18th.

    By the 12th 32 h were planned; the other 48 h come on the 13th, 19th and 20th, 16 h a day.
    """
    under_way(stage)
    before = by_package(stage, "2026-03-12")
    recorded = len(batches(stage))
    refused = calendar(stage, SHUT, name=None, ok=False)
    waiting = calendar(stage, SHUT)
    said = rebase(stage, NAMED)

    assert refused == (
        "job.toml: days_off of a frozen job changes only by a named baseline change "
        "(`fairhours load job --baseline-change NAME`)\n"
    )
    assert "N1: days_off recorded; the calendar changes once baseline change N1" in waiting
    assert "N1: calendar changed after its date; plan of DECK spread over the new" in said
    assert by_package(stage, "2026-03-12") == before
    assert [figures(stage, f"2026-03-{day}", "DECK")[1] for day in (13, 18, 19, 20)] == [
        *(48, 48, 64, 80)
    ]
    assert figures(stage, "2026-03-20", "DECK") == (80, 80, 20)
    assert by_package(stage, "2026-03-18", "--known-at", str(recorded))["DECK"][1] == 64
    assert "2026-03-17" not in job_days(stage)
    assert "2026-03-11" in job_days(stage)


@pytest.mark.slow
def test_a_withdrawn_calendar_puts_plan_and_days_back(stage: Yard) -> None:
    """Without its calendar, or without the change, plan and working days are as before."""
    under_way(stage)
    days, plan = job_days(stage), planned(stage)
    rebase(stage, NAMED)
    said = calendar(stage, SHUT)
    moved = planned(stage)
    stage.run("withdraw", "fact", shown(stage, "replanned_calendar"), "--reason", "not agreed")

    assert "N1: calendar changed after its date; plan of DECK" in said
    assert moved != plan
    assert (job_days(stage), planned(stage)) == (days, plan)
    assert "N1: calendar changed after its date" in calendar(stage, SHUT)
    assert planned(stage) == moved
    stage.run("withdraw", "fact", shown(stage, "baseline_change"), "--reason", "not agreed")
    assert (job_days(stage), planned(stage)) == (days, plan)
    stage.run("check")


@pytest.mark.slow
def test_a_right_calendar_takes_the_place_of_a_wrong_one(stage: Yard) -> None:
    """A calendar withdrawn with the right file gives what that file alone would have given."""
    under_way(stage)
    rebase(stage, NAMED)
    calendar(stage, SHUT)
    plan = planned(stage)
    stage.run("withdraw", "fact", shown(stage, "replanned_calendar"), "--reason", "wrong")
    calendar(stage, (SHUT[0], "days_off = [2026-03-17]"))
    stage.run(
        *("withdraw", "fact", shown(stage, "replanned_calendar"), "--reason", "all three days"),
        *("--with", stage.write("job.toml", right())),
    )

    assert planned(stage) == plan
    assert "2026-03-16" not in job_days(stage)
    stage.run("check")


@pytest.mark.slow
def test_what_has_dates_of_its_own_stays(stage: Yard) -> None:
    """Milestones, fixed formulas and plan files keep their days; what is even follows."""
    freeze(stage)
    under(stage, "N0", "DECK,2026-03-16,40", "DECK,2026-03-17,32", what="plan")
    authorised(stage, "N0,2026-03-09,DECK,carpenter,0")
    plan = planned(stage)
    rebase(stage, "N1,2026-03-10,RAIL,carpenter,0")
    said = calendar(stage, SHUT)

    assert "N1: calendar changed after its date; no plan moves" in said
    assert planned(stage) == plan


@pytest.mark.slow
@pytest.mark.parametrize("later", [False, True])
def test_an_approved_change_follows_whenever_its_instruction_is_recorded(
    stage: Yard, later: bool
) -> None:
    """V1 of 56 h, instructed on 10 March, is even over 14 days to the 27th; three fall away.

    The hours left on the 13th come on the seven days left, whether the instruction is recorded
    before the calendar or after.
    """
    freeze(stage)
    request(stage, "V1")
    price(stage, "V1,1,carpenter,56")
    tell(stage, "V1,priced,2026-03-09", "V1,submitted,2026-03-09")
    tell(stage, "V1,approved,2026-03-12,1")
    instructed = "V1,instructed,2026-03-10,1"
    if not later:
        tell(stage, instructed)
    rebase(stage, "N1,2026-03-13,DECK,carpenter,0")
    said = calendar(stage, SHUT)
    if later:
        tell(stage, instructed)

    assert "plan of DECK, V1 spread" in said
    # 56 h on 14 days are 4 h a day: 16 h by the 13th, then 40 h on seven days.
    assert figures(stage, "2026-03-13", "V1")[:2] == (56, 16)
    assert figures(stage, "2026-03-18", "V1")[:2] == (56, 16)
    # 16 + 2 x 40/7.
    assert figures(stage, "2026-03-20", "V1")[1] == Decimal("27.4286")
    assert figures(stage, "2026-03-27", "V1")[:2] == (56, 56)
    stage.run("check")


@pytest.mark.slow
def test_the_shape_goes_on_over_the_days_left(stage: Yard) -> None:
    """A late spread of ten days stays the tail of its shape; followers do as their base."""
    freeze(stage)
    late = row(
        work_package="SAND", budget_hours="55", spread="late",
        planned_start="2026-03-16", planned_finish="2026-03-27",
    )  # fmt: skip
    under(stage, "N0", late)
    authorised(stage, "N0,2026-03-09,DECK,carpenter,-55", "N0,2026-03-09,SAND,carpenter,55")
    rebase(stage, "N1,2026-03-18,DECK,carpenter,0")
    calendar(stage, ("days_off = []", "days_off = [2026-03-26, 2026-03-27]"))

    # 1 + 2 + 3 h by the 18th; 49 h as 4 to 8 on five days: 4/30 and 5/30 by the 20th.
    assert figures(stage, "2026-03-18", "SAND")[1] == 6
    assert figures(stage, "2026-03-20", "SAND")[1] == 6 + Decimal("14.7")
    assert figures(stage, "2026-03-25", "SAND")[:2] == (55, 55)


@pytest.mark.slow
def test_what_a_calendar_may_not_do_is_refused_by_name(stage: Yard) -> None:
    """One message says what stands in the way, and nothing is recorded."""
    early = calendar(stage, SHUT, ok=False)
    under_way(stage)
    rebase(stage, NAMED, "N2,2026-03-10,DECK,carpenter,0")
    calendar(stage, SHUT)
    before = len(batches(stage))
    again = calendar(stage, (SHUT[0], "days_off = [2026-03-17]"), ok=False)
    earlier = calendar(stage, (SHUT[0], "days_off = [2026-03-17]"), name="N2", ok=False)
    total = calendar(stage, SHUT, ('"20000.00"', '"21000.00"'), ok=False)
    under(stage, "N3", deck(planned_finish="2026-03-27"))
    replanned = rebase(stage, "N3,2026-03-10,DECK,carpenter,0", ok=False)

    assert early == (
        f"job.toml: job {JOB} is not frozen yet; load the job without --baseline-change\n"
    )
    assert again == (
        "job.toml: N1 has already changed the calendar with other values; use a new name\n"
    )
    assert earlier == (
        "job.toml: N2: the calendar was changed again on 2026-03-12; date this change then or "
        "later\n"
    )
    assert total.startswith("job.toml: contract_sum of a frozen job changes only")
    assert "N3: DECK was changed again on 2026-03-12" in replanned
    assert len(batches(stage)) == before + 1
    assert "N1: calendar unchanged" in calendar(stage, SHUT)
    assert "N1: calendar unchanged" not in calendar(stage, SHUT, name=None)


def right() -> str:
    return (SAMPLE / "job.toml").read_text(encoding="utf-8").replace(*SHUT)


def planned(yard: Yard) -> dict[tuple[str, str], int]:
    """Return the plan by part and day over all that counts."""
    plan: dict[tuple[str, str], int] = {}
    for each in table(yard, "plan_posting"):
        key = each["part"], each["day"]
        plan[key] = plan.get(key, 0) + int(each["ms"])
    return {key: ms for key, ms in plan.items() if ms}


def shown(yard: Yard, name: str) -> str:
    return str(yard.json("show", name)[0]["id"])
