"""What approvals, omissions and stops do to the baseline, and which events are refused."""

from decimal import Decimal

import pytest

from tests._stage import batches, load, table
from tests.conftest import Yard, slow_beyond
from tests.inputs._moves import (
    HOUR,
    figures,
    freeze,
    measure,
    postings,
    price,
    request,
    tell,
    with_contingency,
)

# Working days: 16 to 20 and 23 to 27 March 2026, Mondays to Fridays; the job ends on the 27th.
WEEKS_THREE_AND_FOUR = [*range(16, 21), *range(23, 28)]


@pytest.fixture
def job(stage: Yard) -> Yard:
    """The sample's job, frozen, with a change Q1 requested."""
    freeze(stage)
    request(stage, "Q1")
    return stage


def test_an_approval_adds_budget_and_plan(job: Yard) -> None:
    """Approved hours are a package of the change's code, even from approval to the job's finish."""
    price(job, "Q1,1,carpenter,12", "Q1,1,labourer,5")
    tell(job, "Q1,priced,2026-03-10", "Q1,submitted,2026-03-11", "Q1,approved,2026-03-16")
    budgets = postings(job, "budget_posting", "approval")
    plan = postings(job, "plan_posting", "approval")

    assert sorted(budgets) == [
        ("Q1", "carpenter", "2026-03-16", 12 * HOUR),
        ("Q1", "labourer", "2026-03-16", 5 * HOUR),
    ]
    # 12 h over ten days is 1.2 h a day, 5 h is 0.5 h.
    assert sorted(plan) == sorted(
        ("Q1", trade, f"2026-03-{day}", hours * HOUR // 10)
        for trade, hours in (("carpenter", 12), ("labourer", 5))
        for day in WEEKS_THREE_AND_FOUR
    )
    # By the 17th two days of ten: 3.4 of 17.
    assert figures(job, "2026-03-17", "Q1") == (17, Decimal("3.4"), 0)
    job.run("check")


def test_the_budget_rate_is_the_trades_on_the_day_of_approval(job: Yard) -> None:
    """Approved hours cost the trade's standard rate of that day, in 1/10000."""
    price(job, "Q1,1,labourer,5")
    tell(job, "Q1,approved,2026-03-16")
    rates = {row["budget_rate"] for row in table(job, "budget_posting") if row["part"] == "Q1"}

    assert rates == {"220000"}  # 22.00 from 16 March, 20.00 before


SPANS = [
    (["Q1,approved,2026-03-26"], "", {26: 4, 27: 4}),
    (["Q1,instructed,2026-03-24", "Q1,approved,2026-03-26"], "", {24: 2, 25: 2, 26: 2, 27: 2}),
    (["Q1,approved,2026-03-30"], "", {30: 8}),
    (["Q1,instructed,2026-03-24", "Q1,approved,2026-03-30"], "", {30: 8}),
    (["Q1,approved,2026-03-10"], ",,2026-03-19,2026-03-20", {19: 4, 20: 4}),
]


@pytest.mark.parametrize(("events", "dates", "plan"), slow_beyond(2, SPANS))
def test_a_variation_is_planned_over_its_days(
    job: Yard, events: list[str], dates: str, plan: dict[int, int]
) -> None:
    """Over its own dates; else from the first of instruction and approval to the job's finish,
    and all on the approval day when that is past."""
    price(job, f"Q1,1,carpenter,8{dates}")
    tell(job, *events)
    expected = [("Q1", "carpenter", f"2026-03-{day}", ms * HOUR) for day, ms in plan.items()]

    assert sorted(postings(job, "plan_posting", "approval")) == expected


def test_an_omission_cuts_budget_and_later_plan(job: Yard) -> None:
    """Omitted hours leave the package's budget, and its plan pro rata after the approval day."""
    price(job, "Q1,1,carpenter,-10,DECK")
    tell(job, "Q1,approved,2026-03-16")

    assert postings(job, "budget_posting", "omission") == [
        ("DECK", "carpenter", "2026-03-16", -10 * HOUR)
    ]
    # Four days of 8 h follow: 2.5 h from each.
    assert sorted(postings(job, "plan_posting", "omission")) == [
        ("DECK", "carpenter", f"2026-03-{day}", -10 * HOUR // 4) for day in range(17, 21)
    ]
    assert figures(job, "2026-03-20", "DECK") == (70, 70, 0)
    job.run("check")


def test_an_omission_takes_at_most_what_is_not_earned(job: Yard) -> None:
    """Of 70 h asked only the 60 h not yet earned are taken, and the rest is said."""
    measure(job, "DECK", "2026-03-13", quantity_done="10")
    price(job, "Q1,1,carpenter,-70,DECK")
    said = tell(job, "Q1,approved,2026-03-16").splitlines()

    # 10 boards of 40: 20 h of 80 earned.
    assert said[1] == (
        "change-events.csv: Q1: of 70.00 h to be omitted from DECK only 60.00 h are not yet "
        "earned; the price stays as approved"
    )
    # 32 h stand after the 16th; the other 28 are cut on the day.
    plan = {day: ms for _, _, day, ms in postings(job, "plan_posting", "omission")}
    assert plan == {"2026-03-16": -28 * HOUR} | {
        f"2026-03-{day}": -8 * HOUR for day in range(17, 21)
    }
    assert figures(job, "2026-03-20", "DECK") == (20, 20, 20)


def test_an_omission_without_a_trade_is_pro_rata_to_unearned_hours(job: Yard) -> None:
    """An omission that names no trade is split over the trades by what each has not earned."""
    price(job, "Q1,1,,-7,FRAME")
    tell(job, "Q1,approved,2026-03-03")

    # 40 and 30 h, nothing earned: 4 and 3.
    assert sorted(postings(job, "budget_posting", "omission")) == [
        ("FRAME", "carpenter", "2026-03-03", -4 * HOUR),
        ("FRAME", "labourer", "2026-03-03", -3 * HOUR),
    ]


def test_omissions_recorded_out_of_order_leave_no_budget_below_nothing(job: Yard) -> None:
    """Two approvals that omit 70 h each of 80 h take 80 h at most, whichever is recorded first."""
    request(job, "Q2")
    price(job, "Q1,1,carpenter,-70,DECK", "Q2,1,carpenter,-70,DECK")
    tell(job, "Q1,approved,2026-03-13")
    tell(job, "Q2,approved,2026-03-05")

    assert figures(job, "2026-03-20", "DECK")[0] == 0


def test_an_omission_from_contingency_leaves_the_book_whole(stage: Yard) -> None:
    """Contingency has no plan, so taking hours out of it cuts none."""
    with_contingency(stage)
    request(stage, "Q1")
    price(stage, "Q1,1,carpenter,-5,SPARE")
    tell(stage, "Q1,approved,2026-03-16")

    assert postings(stage, "plan_posting", "omission") == []
    stage.run("check")


def test_a_stop_after_approval_takes_out_the_unearned_hours(job: Yard) -> None:
    """A stopped variation keeps the budget it has earned, and all of that is earned."""
    price(job, "Q1,1,carpenter,8")
    tell(job, "Q1,approved,2026-03-16")
    measure(job, "Q1", "2026-03-18", percent="25")
    tell(job, "Q1,stopped,2026-03-19")

    # 25 % of 8 h is 2 h.
    assert postings(job, "budget_posting", "stop") == [("Q1", "carpenter", "2026-03-19", -6 * HOUR)]
    assert figures(job, "2026-03-27", "Q1") == (2, 2, 2)
    job.run("check")


def test_an_instruction_posts_no_budget(job: Yard) -> None:
    """Until it is approved, an instructed or stopped change has no place in the baseline."""
    price(job, "Q1,1,carpenter,8")
    tell(job, "Q1,instructed,2026-03-09", "Q1,stopped,2026-03-10")

    assert {row["source"] for row in table(job, "budget_posting")} == {"freeze"}


def test_events_loaded_again_add_no_batch(job: Yard) -> None:
    """What is recorded already posts nothing a second time."""
    price(job, "Q1,1,carpenter,8")
    events = ("Q1,submitted,2026-03-11", "Q1,approved,2026-03-16", "Q1,stopped,2026-03-19")
    tell(job, *events)
    before = batches(job)
    tell(job, *events)

    assert batches(job) == before


def test_events_of_a_file_count_in_the_order_of_their_dates(job: Yard) -> None:
    """The order of rows in a file decides nothing."""
    price(job, "Q1,1,carpenter,8")
    tell(job, "Q1,approved,2026-03-16", "Q1,submitted,2026-03-11", "Q1,priced,2026-03-10")

    assert figures(job, "2026-03-27", "Q1") == (8, 8, 0)


def refused(yard: Yard, *events: str) -> str:
    """Load events that are refused; nothing else changes."""
    before = batches(yard)
    said = tell(yard, *events, ok=False)

    assert batches(yard) == before
    return said


REFUSALS = {
    "no such change": (
        ["Q7,priced,2026-03-10"],
        'change-events.csv:2: unknown change "Q7"; `fairhours load changes` first',
    ),
    "no such event": (
        ["Q1,cancelled,2026-03-10"],
        'change-events.csv:2: event "cancelled" is unknown; use one of priced, submitted, '
        "approved, declined, disputed, counter_offer, accepted, withdrawn, instructed, confirmed, "
        "denied, stopped, complete, time_decided, notified, value_agreed",
    ),
    "no lines": (
        ["Q1,priced,2026-03-10,3"],
        "change-events.csv:2: Q1 has no lines of revision 3; `fairhours load change-lines` first",
    ),
    "illegal": (
        ["Q1,submitted,2026-03-10", "Q1,declined,2026-03-11", "Q1,approved,2026-03-12"],
        "change-events.csv:4: Q1: approved on 2026-03-12 is not allowed with price declined, "
        "instruction none; allowed: withdrawn, instructed, complete, time_decided, notified",
    ),
    "rough": (
        ["Q1,priced,2026-03-10,1,,yes", "Q1,submitted,2026-03-11", "Q1,approved,2026-03-12"],
        "change-events.csv:4: Q1: a rough price cannot be approved; load a firm priced event first",
    ),
    "superseded": (
        ["Q1,submitted,2026-03-10,1", "Q1,submitted,2026-03-11,2", "Q1,approved,2026-03-12,1"],
        "change-events.csv:4: Q1: approved on 2026-03-12 is not allowed with price submitted, "
        "revision 1 superseded, instruction none; allowed: withdrawn, instructed, complete, "
        "time_decided, notified",
    ),
    "dispute of a lapsed price": (
        ["Q1,submitted,2026-03-10,1,2026-03-12", "Q1,disputed,2026-03-13,1"],
        "change-events.csv:3: Q1: disputed on 2026-03-13 is not allowed with price lapsed, "
        "instruction none; allowed: submitted, declined, counter_offer, withdrawn, instructed, "
        "complete, time_decided, notified",
    ),
    "yes to a lapsed price": (
        ["Q1,submitted,2026-03-10,1,2026-03-12", "Q1,approved,2026-03-13,1"],
        "change-events.csv:3: Q1: approved on 2026-03-13 is not allowed with price lapsed, "
        "instruction none; allowed: submitted, declined, counter_offer, withdrawn, instructed, "
        "complete, time_decided, notified; "
        "enter a yes to a lapsed price as counter_offer, then accepted",
    ),
    "nothing to accept": (
        ["Q1,submitted,2026-03-10,1", "Q1,accepted,2026-03-11,1"],
        "change-events.csv:3: Q1: accepted on 2026-03-11 is not allowed with price submitted, "
        "instruction none; allowed: approved, declined, disputed, counter_offer, withdrawn, "
        "instructed, complete, time_decided, notified",
    ),
}


@pytest.mark.parametrize(("events", "message"), slow_beyond(5, REFUSALS.values()), ids=REFUSALS)
def test_an_event_that_may_not_come_is_refused_with_its_line(
    job: Yard, events: list[str], message: str
) -> None:
    """A refusal names file, line, where the change stands and what may follow; all or nothing."""
    price(job, "Q1,1,carpenter,8", "Q1,2,carpenter,9")
    events = [each if each.count(",") > 2 else f"{each},1" for each in events]

    assert refused(job, *events) == f"{message}\n1 fault; nothing was loaded\n"


def test_a_counter_offer_moves_no_baseline_until_it_is_accepted(job: Yard) -> None:
    """The owner's yes to a lapsed price is an offer; the yard's yes to that approves it."""
    price(job, "Q1,1,carpenter,8")
    tell(job, "Q1,submitted,2026-03-10,1,2026-03-12", "Q1,counter_offer,2026-03-16,1")
    offered = postings(job, "budget_posting", "approval")
    tell(job, "Q1,accepted,2026-03-17,1")

    assert offered == []
    assert postings(job, "budget_posting", "approval") == [
        ("Q1", "carpenter", "2026-03-17", 8 * HOUR)
    ]


def test_accepting_approves_the_revision_drawn_up_from_the_counter_offer(job: Yard) -> None:
    """Of 8 h offered the owner takes 5; the yard draws those up and accepts them."""
    price(job, "Q1,1,carpenter,8")
    tell(job, "Q1,submitted,2026-03-10,1", "Q1,counter_offer,2026-03-11,1")
    price(job, "Q1,2,carpenter,5")
    tell(job, "Q1,accepted,2026-03-12")

    assert figures(job, "2026-03-27", "Q1") == (5, 5, 0)


PARTICULARS = {
    "a conditional acceptance": (
        "Q1,approved,2026-03-10,if white,,",
        "a conditional acceptance is a counter-offer: enter counter_offer, then accepted",
    ),
    "a condition of another event": (
        "Q1,declined,2026-03-10,if white,,",
        "condition belongs to a counter_offer, not to declined; leave it blank",
    ),
    "a value of another event": (
        "Q1,approved,2026-03-10,,900.00,12",
        "agreed_value belongs to value_agreed, not to approved; leave it blank",
    ),
    "a value without its amount": (
        "Q2,value_agreed,2026-03-10,,,12",
        "agreed_value is blank; fill in the amount agreed",
    ),
    "a value of a fixed price": (
        "Q1,value_agreed,2026-03-10,,900.00,",
        "value_agreed is for daywork only, and Q1 is fixed_price; leave it out",
    ),
}


@pytest.mark.parametrize(("row", "message"), slow_beyond(2, PARTICULARS.values()), ids=PARTICULARS)
def test_particulars_that_belong_to_another_event_are_refused(
    job: Yard, row: str, message: str
) -> None:
    """A condition is of a counter-offer, a value agreed of daywork; nothing is ignored."""
    request(job, "Q2", basis="daywork")
    before = batches(job)
    text = "change,event,date,condition,agreed_value,agreed_hours,person\n"
    text += f"{row},Jonna\n"
    said = load(job, "change-events", text, ok=False)

    assert said.splitlines()[0] == f"change-events.csv:2: {message}"
    assert batches(job) == before


def test_a_cell_that_cannot_be_read_is_one_fault(job: Yard) -> None:
    """Amounts below zero or finer than they are printed are refused, and not called blank too."""
    request(job, "Q2", basis="daywork")
    events = "change,event,date,agreed_value,person\n"
    events += "Q2,value_agreed,2026-03-10,-3,Jonna\nQ2,value_agreed,2026-03-10,270.005,Jonna\n"
    lines = "change,price_kind,description,hours,trade,quantity,unit_price\n"
    lines += "Q2,labour,Hang,4h,carpenter,,\nQ2,material,Bolts,,,2,-1\n"

    assert load(job, "change-events", events, ok=False).splitlines()[:-1] == [
        'change-events.csv:2: agreed_value "-3" is negative; use zero or more',
        'change-events.csv:3: agreed_value "270.005" has more than two decimals; round it first',
    ]
    assert load(job, "change-lines", lines, ok=False).splitlines()[:-1] == [
        'change-lines.csv:2: hours "4h" is not a valid duration; write hours as 7.5 or 7:30',
        'change-lines.csv:3: unit_price "-1" is negative; use zero or more',
    ]


def test_an_approval_before_the_freeze_is_refused(stage: Yard) -> None:
    """An approval needs a frozen baseline, and is not dated before it."""
    request(stage, "Q1")
    price(stage, "Q1,1,carpenter,8")
    unfrozen = refused(stage, "Q1,approved,2026-03-16")
    freeze(stage)
    early = refused(stage, "Q1,approved,2026-02-22")

    assert unfrozen == "job STAGE: freeze the estimate first (`fairhours freeze --job STAGE`)\n"
    assert early == "Q1: approved on 2026-02-22, before the baseline was frozen on 2026-02-23\n"


def test_an_offered_price_keeps_its_lines(job: Yard) -> None:
    """The lines of a submitted revision stay; another price is a new revision."""
    price(job, "Q1,1,carpenter,8")
    tell(job, "Q1,submitted,2026-03-10,1")
    before = batches(job)
    said = price(job, "Q1,1,carpenter,9", ok=False)

    assert said == (
        "change-lines.csv:2: Q1 revision 1 was already offered; give the lines a new revision\n"
        "1 fault; nothing was loaded\n"
    )
    assert batches(job) == before
    price(job, "Q1,2,carpenter,9")
    tell(job, "Q1,submitted,2026-03-11,2", "Q1,approved,2026-03-12,2")
    assert figures(job, "2026-03-27", "Q1")[0] == 9


def test_an_approved_change_keeps_its_basis(job: Yard) -> None:
    """What was approved stays as approved."""
    price(job, "Q1,1,carpenter,8")
    tell(job, "Q1,approved,2026-03-16")
    text = (
        "change,title,requested_by,requested_on,change_basis\nQ1,Other,Owner,2026-03-02,daywork\n"
    )
    said = load(job, "changes", text, ok=False)

    assert said == (
        "changes.csv:2: change_basis cannot be altered once the change was approved\n"
        "1 fault; nothing was loaded\n"
    )
