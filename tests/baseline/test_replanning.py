"""Packages replanned by named baseline changes: what is earned and planned by their day stays."""

from pathlib import Path

import pytest

from tests._stage import load, load_sheets, prepare, table
from tests.baseline._replans import COLUMNS, authorised, by_package, deck, row, under
from tests.conftest import Yard, slow_beyond
from tests.inputs._moves import figures, freeze, measure, rebase, with_contingency


def test_a_started_package_is_replanned_by_hand(stage: Yard) -> None:
    """Ten of 40 boards earned 20 h of 80; of 50 boards the other 40 earn the other 60 h.

    By 17 March 56 h were planned, as 8 h a working day from the 9th; the other 24 h come on the
    12 working days from the 18th to 2 April, 2 h a day.
    """
    freeze(stage)
    measure(stage, "DECK", "2026-03-13", quantity_done="10")
    before = by_package(stage, "2026-03-16")
    batch = len(stage.rows(stage.run("history", "--format", "csv").stdout))
    under(stage, "N1", deck(quantity="50", planned_finish="2026-04-02"))
    said = rebase(stage, "N1,2026-03-17,DECK,carpenter,0")
    after = by_package(stage, "2026-03-16")
    measure(stage, "DECK", "2026-03-24", quantity_done="30")

    assert "N1: baseline 170.00 h; contract budget 170.00 h, as before" in said
    assert "N1: DECK replanned; what was earned and planned by then stays" in said
    assert before == after
    assert figures(stage, "2026-03-17", "DECK") == (80, 56, 20)
    # s0 = 10/50, s = 30/50: 20 + 60 x (0.6 - 0.2) / 0.8 = 50; planned 56 + 5 x 2.
    assert figures(stage, "2026-03-24", "DECK") == (80, 66, 50)
    assert by_package(stage, "2026-03-20", "--known-at", str(batch))["DECK"][:3] == (80, 80, 20)


@pytest.mark.slow
def test_a_new_package_takes_its_hours_from_others(stage: Yard) -> None:
    """A package announced by the estimate of a change gets hours, dates and code with it."""
    freeze(stage)
    waiting = under(
        stage,
        "N1",
        row(
            work_package="STAIR",
            budget_hours="12",
            planned_start="2026-03-23",
            planned_finish="2026-03-25",
        ),
    )
    load_sheets(stage, "worker_id,date,hours,booking_code,note\nA1,2026-03-12,4,STAIR,\n")
    untagged = stage.json("untagged")
    said = rebase(stage, "N1,2026-03-16,DECK,carpenter,-12", "N1,2026-03-16,STAIR,carpenter,12")

    assert "recorded; it acts once baseline change N1 is loaded" in waiting
    assert untagged
    assert "contract budget 170.00 h, as before" in said
    assert figures(stage, "2026-03-24", "STAIR") == (12, 8, 0)
    assert figures(stage, "2026-03-24", "DECK") == (68, 68, 0)
    assert by_package(stage, "2026-03-24")["STAIR"][3] == 4
    stage.run("check")


@pytest.mark.slow
def test_a_planning_package_is_detailed(yard: Yard) -> None:
    """A planning package becomes work: it earns from then on, and its plan of the past stays."""
    prepare(yard)
    sample = [deck(), row(work_package="LATER", budget_hours="40", package_kind="planning",
                          planned_start="2026-03-09", planned_finish="2026-04-03")]  # fmt: skip
    load(yard, "estimate", "\n".join([",".join(COLUMNS), *sample]) + "\n")
    freeze(yard)
    measure(yard, "LATER", "2026-03-13", percent="50")
    detailed = row(
        work_package="LATER",
        budget_hours="40",
        planned_start="2026-03-09",
        planned_finish="2026-03-27",
    )
    under(yard, "N1", detailed)
    rebase(yard, "N1,2026-03-20,LATER,carpenter,0")
    then = figures(yard, "2026-03-20", "LATER")
    measure(yard, "LATER", "2026-03-24", percent="60")

    # 2 h a day on ten days by the 20th; the other 20 h on five days.
    assert then == (40, 20, 0)
    assert figures(yard, "2026-03-24", "LATER") == (40, 28, 24)


@pytest.mark.slow
def test_milestones_and_plans_by_day_are_replanned(stage: Yard) -> None:
    """Milestones to come and plan files take the rest; what was planned by the day stays."""
    freeze(stage)
    measure(stage, "FRAME", "2026-03-09", milestone="piles")
    under(
        stage,
        "N1",
        "FRAME,piles,50,2026-03-06",
        "FRAME,beams,10,2026-03-20",
        "FRAME,bracing,40,2026-03-27",
        what="milestones",
    )
    under(stage, "N1", "DECK,2026-03-30,20", "DECK,2026-03-31,52", what="plan")
    authorised(stage, "N1,2026-03-09,DECK,carpenter,0", "N1,2026-03-09,FRAME,carpenter,0")

    # 35 h were planned by 6 March, and 35 h earned; 10 to 40 of the other 35 h.
    assert figures(stage, "2026-03-20", "FRAME") == (70, 42, 35)
    assert figures(stage, "2026-03-27", "FRAME") == (70, 70, 35)
    assert figures(stage, "2026-03-30", "DECK") == (80, 28, 0)
    # Beams weigh 10 of the 50 left: 35 + 35 x 10/50.
    measure(stage, "FRAME", "2026-03-23", milestone="beams")
    assert figures(stage, "2026-03-27", "FRAME") == (70, 70, 42)
    stage.run("check")


@pytest.mark.slow
def test_another_technique_keeps_what_is_earned(stage: Yard) -> None:
    """Begun work is measured otherwise only by a change that names it and has a reference."""
    freeze(stage)
    measure(stage, "DECK", "2026-03-13", quantity_done="10")
    under(stage, "N1", deck(technique="percent_complete"))
    refused = rebase(stage, "N1,2026-03-16,DECK,carpenter,0", ok=False)
    authorised(stage, "N1,2026-03-16,DECK,carpenter,0")
    kept = figures(stage, "2026-03-18", "DECK")
    measure(stage, "DECK", "2026-03-19", percent="60")

    assert refused.startswith(
        "baseline-changes.csv:2: N1: DECK has begun on 2026-03-13; to measure it differently, N1 "
        "needs a row of DECK (0 hours will do) and a reference"
    )
    assert kept[2] == 20
    assert figures(stage, "2026-03-19", "DECK")[2] == 48


@pytest.mark.slow
def test_a_level_of_effort_earns_as_planned_from_its_change(stage: Yard) -> None:
    """Of 80 h 20 were earned at the change; from then on what is planned is earned."""
    freeze(stage)
    measure(stage, "DECK", "2026-03-13", quantity_done="10")
    under(stage, "N1", deck(technique="level_of_effort"))
    authorised(stage, "N1,2026-03-16,DECK,carpenter,0")

    assert figures(stage, "2026-03-16", "DECK") == (80, 48, 20)
    assert figures(stage, "2026-03-18", "DECK") == (80, 64, 36)


@pytest.mark.slow
def test_what_follows_a_base_keeps_what_it_earned(yard: Yard) -> None:
    """An apportioned package stays as earned when its base is measured anew, and follows it."""
    prepare(yard)
    follows = row(
        work_package="PAINT",
        budget_hours="20",
        planned_start="2026-03-09",
        planned_finish="2026-03-20",
        technique="apportioned_effort",
        base_package="DECK",
    )
    load(yard, "estimate", "\n".join([",".join(COLUMNS), deck(), follows]) + "\n")
    freeze(yard)
    measure(yard, "DECK", "2026-03-13", quantity_done="10")
    under(yard, "N1", deck(quantity="50", planned_finish="2026-03-31"))
    rebase(yard, "N1,2026-03-16,DECK,carpenter,0")
    then = figures(yard, "2026-03-16", "PAINT")
    measure(yard, "DECK", "2026-03-24", quantity_done="50")

    assert then == (20, 12, 5)
    assert figures(yard, "2026-03-31", "PAINT") == (20, 20, 20)
    yard.run("check")


REFUSALS: dict[str, tuple[str, str, str, str]] = {
    "start moved in the past": (
        "estimate",
        deck(planned_start="2026-03-02"),
        "N1,2026-03-16,DECK,carpenter,0",
        "N1: DECK has planned_start 2026-03-02, which is not after the change's date 2026-03-16; "
        "what was planned by then stays, so that no variance is set to zero",
    ),
    "no day left": (
        "estimate",
        deck(planned_finish="2026-03-13"),
        "N1,2026-03-16,DECK,carpenter,0",
        "N1: DECK has 32.00 h left and no planned day from 2026-03-17 on; give later dates",
    ),
    "another budget": (
        "estimate",
        deck(budget_hours="90"),
        "N1,2026-03-16,DECK,carpenter,0",
        "N1: DECK, carpenter: the estimate has 90.00 h, the budget is 80.00 h with the hours of "
        "N1; they must be equal",
    ),
    "past of a plan": (
        "plan",
        "DECK,2026-03-10,9\nDECK,2026-03-30,32",
        "N1,2026-03-16,DECK,carpenter,0",
        "N1: DECK was planned at 8.00 h on 2026-03-10, not 9.00 h; what was planned by the "
        "change's date stays",
    ),
    "sum of a plan": (
        "plan",
        "DECK,2026-03-30,31",
        "N1,2026-03-16,DECK,carpenter,0",
        "N1: DECK is planned at 31.00 h from 2026-03-17, but 32.00 h are left; they must be equal",
    ),
    "trade left out": (
        "estimate",
        row(
            work_package="FRAME",
            budget_hours="40",
            planned_start="2026-03-02",
            planned_finish="2026-03-30",
        ),
        "N1,2026-03-01,FRAME,carpenter,0",
        "N1: FRAME has hours of labourer and no row of it in the estimate; give all its trades",
    ),
}


@pytest.mark.slow
@pytest.mark.parametrize(("what", "rows", "moves", "message"), REFUSALS.values(), ids=REFUSALS)
def test_a_replanning_that_does_not_hold_is_refused(
    stage: Yard, what: str, rows: str, moves: str, message: str
) -> None:
    """The line of the file that is loaded last is named, and nothing is recorded."""
    freeze(stage)
    under(stage, "N1", rows, what=what)
    said = rebase(stage, moves, ok=False)

    assert said == f"baseline-changes.csv:2: {message}\n"
    # Loaded the other way about, the line of the package is named.
    rebase(stage, "N2" + moves[2:])
    other = under(stage, "N2", rows, what=what, ok=False)
    assert other == f"{what}.csv:2: {message.replace('N1', 'N2')}\n"


# By 20 March all 80 h of the deck were planned and 24 of 40 boards earned 48 h: SPI 0.60.
LATE = {
    "to a new package": ("N1,2026-03-20,STAIR,carpenter,32", True),
    "to a pot": ("N1,2026-03-20,undistributed,,32", False),
}


@pytest.mark.parametrize(("to", "is_replanned"), slow_beyond(1, LATE.values()), ids=LATE)
def test_what_is_late_stays_late_where_it_is(stage: Yard, to: str, is_replanned: bool) -> None:
    """No hour planned by the day leaves its package, replanned or not, so that SPI stays 0.60."""
    freeze(stage)
    measure(stage, "DECK", "2026-03-20", quantity_done="24")
    if is_replanned:
        dates = {"planned_start": "2026-03-23", "planned_finish": "2026-03-27"}
        stair = row(work_package="STAIR", budget_hours="32", **dates)
        under(stage, "N1", deck(budget_hours="48"), stair)
    refused = rebase(stage, "N1,2026-03-20,DECK,carpenter,-32", to, ok=False)

    assert refused == (
        "baseline-changes.csv:2: N1: DECK has 0.00 h planned after 2026-03-20; 32.00 h cannot be "
        "taken from it, as what was planned by then stays\n"
    )
    assert figures(stage, "2026-03-20", "DECK") == (80, 80, 48)


def test_hours_planned_after_the_day_can_be_moved_and_no_more(stage: Yard) -> None:
    """By 18 March 64 of the deck's 80 h were planned: 16 h move, a hundredth more does not."""
    freeze(stage)
    measure(stage, "DECK", "2026-03-18", quantity_done="10")
    refused = rebase(
        stage,
        "N1,2026-03-18,DECK,carpenter,-16.01",
        "N1,2026-03-18,RAIL,carpenter,16.01",
        ok=False,
    )
    early = rebase(
        stage, "N1,2026-03-12,DECK,carpenter,-8", "N1,2026-03-12,RAIL,carpenter,8", ok=False
    )
    moved = rebase(stage, "N1,2026-03-18,DECK,carpenter,-16", "N1,2026-03-18,RAIL,carpenter,16")

    assert "N1: DECK has 16.00 h planned after 2026-03-18; 16.01 h cannot be taken" in refused
    assert early == (
        "baseline-changes.csv:2: N1: DECK was measured on 2026-03-18; date the change then or "
        "later, as what was planned by a measurement stays\n"
    )
    assert "planned by" not in moved
    assert figures(stage, "2026-03-18", "DECK") == (64, 64, 20)


def test_undistributed_hours_that_were_due_go_with_them(stage: Yard) -> None:
    """17 h wait over the 17 working days from 5 to 27 March; by the 16th 8 were due.

    Of 12 h that are handed out 9 come from later days and 3 from the 16th, and that is printed.
    """
    freeze(stage)
    rebase(stage, "N1,2026-03-05,DECK,carpenter,-17", "N1,2026-03-05,undistributed,,17")
    moved = rebase(stage, "N2,2026-03-16,undistributed,,-12", "N2,2026-03-16,RAIL,carpenter,12")

    assert "N2: planned by 2026-03-16: UNDISTRIBUTED 8.00 h -> 5.00 h\n" in moved
    assert figures(stage, "2026-03-16", "undistributed") == (5, 5, 0)


# The deck has 24 of its 40 boards done on 18 March: 48 h earned, for 54 h booked.
COVERED = {
    "contingency": ("contingency,", "", False),
    "contingency by its code": ("SPARE,carpenter", "", False),
    "other dates": ("contingency,", deck(budget_hours="90", planned_finish="2026-03-31"), False),
    "another quantity": (
        "contingency,",
        deck(budget_hours="90", quantity="45", planned_finish="2026-03-31"),
        True,
    ),
    "other work": ("contingency,", deck(budget_hours="90", title="Deck with a step"), True),
    "another package": ("RAIL,carpenter", "", True),
}


@pytest.mark.parametrize(
    ("source", "scope", "is_taken"), slow_beyond(1, COVERED.values()), ids=COVERED
)
def test_a_pot_covers_nothing_that_is_over(
    stage: Yard, source: str, scope: str, is_taken: bool
) -> None:
    """Over its hours a package gets more from a pot only for another scope by the same name."""
    with_contingency(stage)
    head = "worker_id,date,hours,booking_code,note\n"
    days = (10, 11, 12, 13, 16, 17)
    load_sheets(stage, head + "".join(f"A1,2026-03-{day},9,DECK,\n" for day in days))
    measure(stage, "DECK", "2026-03-18", quantity_done="24")
    if scope:
        under(stage, "N1", scope)
    rows = (f"N1,2026-03-18,{source},-10", "N1,2026-03-18,DECK,carpenter,10")
    # Without a reference another scope is none.
    unnamed = rebase(stage, *rows, ok=False) if scope else ""
    said = authorised(stage, *rows, ok=is_taken)

    refused = (
        "baseline-changes.csv:3: N1: DECK has 54.00 h booked for 48.00 h earned by 2026-03-18; "
        "10.00 h added would only cover what is over. For more work load the package under N1 "
        "first, with a new title, quantity, technique or milestones, and give its row a reference\n"
    )
    assert said == refused or is_taken
    assert unnamed in {refused, ""}
    assert figures(stage, "2026-03-18", "DECK") == (90 if is_taken else 80, 64, 48)


@pytest.mark.slow
def test_what_is_complete_gets_no_more_hours(stage: Yard) -> None:
    """Complete work gets no more budget, whatever it took."""
    with_contingency(stage)
    measure(stage, "RAIL", "2026-03-28", started="2026-03-18", finished="2026-03-28")
    complete = authorised(
        stage,
        "N1,2026-03-30,contingency,,-5",
        "N1,2026-03-30,RAIL,carpenter,5",
        ok=False,
    )

    assert complete == (
        "baseline-changes.csv:3: N1: RAIL is complete; 5.00 h added to it would only raise "
        "its budget to what it took; an overrun stays an overrun\n"
    )


@pytest.mark.slow
def test_a_replanning_withdrawn_leaves_the_plan_as_it_was(stage: Yard) -> None:
    """Withdrawing the package's row or the change itself brings the old plan back."""
    freeze(stage)
    old = by_package(stage, "2026-03-24")
    under(stage, "N1", deck(planned_finish="2026-04-02"))
    rebase(stage, "N1,2026-03-16,DECK,carpenter,0")
    new = by_package(stage, "2026-03-24")
    fact = table(stage, "replanned_package")[0]["id"]
    stage.run("withdraw", "fact", fact, "--reason", "typed wrong")
    back = by_package(stage, "2026-03-24")
    under(stage, "N1", deck(planned_finish="2026-04-02"))
    again = by_package(stage, "2026-03-24")
    change = table(stage, "baseline_change")[0]["id"]
    stage.run("withdraw", "fact", change, "--reason", "never agreed")

    assert new != old
    assert back == old
    assert again == new
    assert by_package(stage, "2026-03-24") == old
    stage.run("check")


TO_RAIL = (
    "N0,2026-03-05,Ada Brunt,FRAME,carpenter,-{h}\nN0,2026-03-05,Ada Brunt,RAIL,carpenter,{h}\n"
)
MOVED = "name,date,person,work_package,trade,hours\n" + TO_RAIL


def plans(yard: Yard) -> dict[tuple[str, str, str], int]:
    """Return the plan of each part and trade by day."""
    found: dict[tuple[str, str, str], int] = {}
    for each in table(yard, "plan_posting"):
        key = each["part"], each["trade"], each["day"]
        found[key] = found.get(key, 0) + int(each["ms"])
    return {key: ms for key, ms in found.items() if ms}


@pytest.mark.slow
def test_a_replay_is_as_if_all_had_been_right(stage: Yard, tmp_path: Path) -> None:
    """With right facts in the places of wrong ones the plan is that of a book right at once."""
    (tmp_path / "right").mkdir()
    yard = prepare(Yard(tmp_path / "right"))
    books = {"wrong": stage, "right": yard}
    for name, book in books.items():
        hours, finish = ("4", "2026-04-01") if name == "wrong" else ("6", "2026-04-02")
        freeze(book)
        load(book, "baseline-changes", MOVED.format(h=hours))
        under(book, "N1", deck(planned_finish=finish))
        rebase(book, "N1,2026-03-16,DECK,carpenter,0")
        under(
            book, "N1", "FRAME,piles,50,2026-03-06", "FRAME,beams,50,2026-03-27", what="milestones"
        )
    wrong = plans(stage)
    right = stage.write(
        "right.csv", "\n".join([",".join(COLUMNS), deck(planned_finish="2026-04-02")])
    )
    package = table(stage, "replanned_package")[0]["id"]
    stage.run("withdraw", "fact", package, "--with", right, "--reason", "a day short")
    moved = [each["id"] for each in table(stage, "baseline_change") if each["name"] == "N0"]
    right = stage.write("moved.csv", MOVED.format(h="6"))
    stage.run("withdraw", "fact", *moved, "--with", right, "--reason", "two hours short")

    assert wrong != plans(yard)
    assert plans(stage) == plans(yard)
    assert by_package(stage, "2026-03-20") == by_package(yard, "2026-03-20")
    stage.run("check")


@pytest.mark.slow
def test_a_package_measured_since_is_not_withdrawn(stage: Yard) -> None:
    """A package that came by a baseline change stays while measurements rest on it."""
    freeze(stage)
    dates = {"planned_start": "2026-03-23", "planned_finish": "2026-03-25"}
    under(stage, "N1", row(work_package="STAIR", budget_hours="12", **dates))
    rebase(stage, "N1,2026-03-16,DECK,carpenter,-12", "N1,2026-03-16,STAIR,carpenter,12")
    measure(stage, "STAIR", "2026-03-24", percent="50")
    facts = [each["id"] for each in table(stage, "baseline_change")]
    said = stage.run("withdraw", "fact", *facts, "--reason", "never agreed", ok=False).stderr

    assert "package STAIR would be removed, but progress:" in said


@pytest.mark.slow
def test_a_name_replans_a_package_once(stage: Yard) -> None:
    """Nothing is replanned before the freeze; the same rows add nothing, others are refused."""
    early = under(stage, "N1", deck(), ok=False)
    freeze(stage)
    rebase(stage, "N1,2026-03-16,DECK,carpenter,0")
    said = under(stage, "N1", deck(planned_finish="2026-04-02"))
    again = under(stage, "N1", deck(planned_finish="2026-04-02"))
    other = under(stage, "N1", deck(planned_finish="2026-04-03"), ok=False)

    assert early == "estimate.csv: job STAGE is not frozen yet; load the estimate again\n"
    assert "N1: DECK replanned; what was earned and planned by then stays" in said
    assert "N1: 1 package unchanged" in again
    assert other == ("estimate.csv:2: N1 already replans DECK with other values; use a new name\n")
