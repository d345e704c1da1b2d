"""A fact that was entered wrongly is withdrawn, and what followed is worked out again."""

from decimal import Decimal
from typing import Any

import pytest

from ledger.store.batches import Writing, batch
from ledger.store.book import open_book
from ledger.store.locking import Holder
from tests._stage import JOB, SAMPLE, SHEET_HEAD, booked, load, load_sheets, table
from tests.conftest import Yard
from tests.inputs._moves import figures, freeze, measure, postings, price, rebase, request, tell
from tests.inputs._rederived import differences

HOUR = 3_600_000
EVENT = "change,event,date,person\n"
PROGRESS = "work_package,date,quantity_done\n"
RATE = "trade,effective_from,cost_per_hour\n"
WHY = ("--reason", "typed wrongly")


@pytest.fixture
def job(stage: Yard) -> Yard:
    """The sample's job, frozen."""
    return freeze(stage)


def named(yard: Yard, name: str, **values: str) -> str:
    """Return the id of the newest fact of a table that counts and has these values."""
    rows = [r for r in table(yard, name) if all(r[key] == values[key] for key in values)]
    return rows[-1]["id"]


def withdraw(yard: Yard, *ids: str, right: str = "", ok: bool = True) -> str:
    """Withdraw facts, with a file's text in their place if there is one; return what was said."""
    given = ("--with", yard.write("right.csv", right)) if right else ()
    return yard.run("withdraw", "fact", *ids, *WHY, *given, ok=ok).stderr


def known(yard: Yard, *words: object) -> Any:
    """Return the figures of a day, with the words before the command."""
    asked = ("performance", "--job", JOB, "--status-date", "2026-03-18", "--by", "work-package")
    rows = yard.json(*words, *asked)["rows"]
    return {row["key"]: (row["bac"], row["pv"], row["ev"]) for row in rows}


def newest(yard: Yard) -> str:
    return yard.rows(yard.run("history", "--format", "csv").stdout)[-1]["sequence"]


@pytest.mark.slow
def test_an_approval_on_a_wrong_day_is_withdrawn_and_entered_right(job: Yard) -> None:
    """Budget and plan count from the right day; as known before, the wrong one still stands."""
    request(job, "Q1")
    price(job, "Q1,1,carpenter,12")
    tell(job, "Q1,submitted,2026-03-05", "Q1,approved,2026-03-09")
    before, number = known(job), newest(job)
    wrong = named(job, "change_event", event="approved")
    said = withdraw(job, wrong, right=f"{EVENT}Q1,approved,2026-03-16,Jonna Merrick\n")
    right = named(job, "change_event", event="approved")

    told = "job STAGE, change Q1, event approved, day 2026-03-{}, person Jonna Merrick, revision 1"
    assert said.splitlines() == [
        f"{wrong} withdrawn ({told.format('09')})",
        f"{right} takes its place ({told.format('16')})",
        "job STAGE: baseline recalculated: approval Q1",
    ]
    # Ten working days from the 16th, 1.2 h each: three of them by the 18th.
    assert figures(job, "2026-03-18", "Q1") == (12, Decimal("3.6"), 0)
    assert known(job, "--known-at", number) == before
    assert differences(job) == {}
    job.run("check")


@pytest.mark.slow
def test_a_measurement_on_a_wrong_date_moves_what_was_taken_out_after_it(job: Yard) -> None:
    """An omission takes out what was not earned by the measurements that stand now."""
    request(job, "Q1")
    measure(job, "DECK", "2026-03-20", quantity_done="30")
    price(job, "Q1,1,carpenter,-40,DECK")
    said = tell(job, "Q1,approved,2026-03-13")
    number = newest(job)
    wrong = named(job, "progress")
    withdraw(job, wrong, right=f"{PROGRESS}DECK,2026-03-12,10\n")

    assert "only 20.00 h are not yet earned" in said
    # Of 80 h a quarter is earned: all 40 can be taken out.
    assert [row[:3] for row in postings(job, "budget_posting", "omission")][-1][0] == "DECK"
    assert known(job)["DECK"][0] == 40
    assert known(job, "--known-at", number)["DECK"][0] == 60
    assert differences(job) == {}


@pytest.mark.slow
def test_a_rate_from_a_wrong_day_costs_the_budgets_again(job: Yard) -> None:
    """Budgets take the rate that should have been there at the freeze; actual cost follows too."""
    wrong = named(job, "rate", trade="labourer", effective_from="2026-01-01")
    right = f"{RATE}labourer,2026-01-01,24\n"
    said = withdraw(job, wrong, right=right)
    rates = {r["budget_rate"] for r in table(job, "budget_posting") if r["trade"] == "labourer"}
    asked = ("performance", "--job", JOB, "--status-date", "2026-03-18", "--in", "cost")

    assert said.splitlines()[-1] == "job STAGE: baseline recalculated: freeze"
    assert rates == {"200000", "240000"}
    # 40 and 80 h at 30.00, 20 h at their own 32.00, 30 h now at 24.00 instead of 20.00.
    assert job.json(*asked)["rows"][0]["bac"] == 3600 + 640 + 720
    assert job.json("--known-at", 8, *asked)["rows"][0]["bac"] == 3600 + 640 + 600


def test_without_a_right_fact_the_older_version_counts_again(job: Yard) -> None:
    """The newest of the rows that are left counts, and the command names it."""
    measure(job, "DECK", "2026-03-13", quantity_done="10")
    first = named(job, "progress")
    measure(job, "DECK", "2026-03-13", quantity_done="40")
    second = named(job, "progress")
    said = withdraw(job, second)
    rows = job.rows(job.run("show", "progress", "--all", "--format", "csv").stdout)

    assert f"{first} counts again" in said.splitlines()[1]
    assert figures(job, "2026-03-18", "DECK")[2] == 20
    assert [(row["id"], row["standing"]) for row in rows] == [
        (first, "counts"),
        (second, "withdrawn"),
    ]


def test_a_right_fact_is_superseded_by_what_came_after_the_wrong_one(job: Yard) -> None:
    """It stands in the wrong one's place: a later version of the same key counts before it."""
    measure(job, "DECK", "2026-03-13", quantity_done="10")
    first = named(job, "progress")
    measure(job, "DECK", "2026-03-13", quantity_done="40")
    said = withdraw(job, first, right=f"{PROGRESS}DECK,2026-03-13,20\n")

    assert "; it no longer counted" in said
    assert said.splitlines()[-1] == "right.csv: adds nothing that counts now"
    assert figures(job, "2026-03-18", "DECK")[2] == 80


@pytest.mark.slow
def test_a_right_fact_that_is_wrong_too_is_withdrawn_in_its_turn(job: Yard) -> None:
    """The next right one stands in the place of the first."""
    request(job, "Q1")
    price(job, "Q1,1,carpenter,12")
    tell(job, "Q1,approved,2026-03-09")
    for day in ("2026-03-12", "2026-03-16"):
        wrong = named(job, "change_event")
        withdraw(job, wrong, right=f"{EVENT}Q1,approved,{day},Jonna Merrick\n")

    assert figures(job, "2026-03-18", "Q1") == (12, Decimal("3.6"), 0)
    assert differences(job) == {}


@pytest.mark.slow
def test_a_withdrawn_change_of_the_calendar_is_spread_again(stage: Yard) -> None:
    """A job that was loaded with a wrong week is frozen again over the right days."""
    wrong = named(stage, "job")
    freeze(stage)
    path = stage.write("right.toml", TOML.replace('"fri"]', '"fri", "sat"]'))
    stage.run("withdraw", "fact", wrong, *WHY, "--with", path)
    days = {row["day"] for row in table(stage, "plan_posting") if row["part"] == "DECK"}

    assert "2026-03-14" in days
    assert figures(stage, "2026-03-14", "DECK")[1] == Decimal("43.6364")  # six days of eleven
    assert differences(stage) == {}
    stage.run("check")


TOML = """
    [job]
    code = "STAGE"
    title = "Landing stage at Sillmere"
    owner = "Sillmere Swimming Club"
    contract_sum = "20000.00"
    contract_date = 2026-02-23
    contract_basis = "fixed_price"
    planned_start = 2026-03-02
    planned_finish = 2026-03-27
    working_week = ["mon", "tue", "wed", "thu", "fri"]
    """


def test_rules_that_are_withdrawn_move_hours_back(job: Yard) -> None:
    """Places are looked at again in the same batch, as after a load."""
    load_sheets(job, f"{SHEET_HEAD}A1,2026-03-10,8,DECK,\n")
    rule = job.write("rules.csv", "rule,priority,booked_to,booking_code\nR,1,RAIL,DECK\n")
    job.run("load", "rules", rule)
    said = withdraw(job, named(job, "rule"))

    assert booked(job) == {(JOB, "DECK", "", ""): 8 * HOUR}
    assert said.splitlines()[-2:] == [
        "1 entry moved, 8.00 h:",
        "  STAGE RAIL -> STAGE DECK: 8.00 h",
    ]


@pytest.mark.slow
def test_closed_figures_stay_and_the_difference_is_late(job: Yard) -> None:
    """A closed period keeps its figure; the withdrawal is listed as the next one's adjustment."""
    measure(job, "DECK", "2026-03-12", quantity_done="20")
    job.run("close", "period", "--to", "2026-03-13")
    asked = ("performance", "--job", JOB, "--status-date", "2026-03-13")
    before = job.json(*asked)
    withdraw(job, named(job, "progress"))
    periods = job.json("periods", "--job", JOB)["periods"]
    late = [(row["kind"], row["part"], row["reason"]) for row in periods[-1]["late_adjustments"]]

    assert job.json(*asked) == before
    assert late == [("withdrawn", "DECK", "typed wrongly")]
    assert periods[-1]["late"]["ev"] == -40


def history(yard: Yard) -> None:
    """Record a little of everything that rests on something else."""
    request(yard, "Q1")
    price(yard, "Q1,1,carpenter,12")
    tell(yard, "Q1,approved,2026-03-09", "Q1,stopped,2026-03-16")
    rebase(yard, "N1,2026-03-05,DECK,carpenter,-10", "N1,2026-03-05,RAIL,carpenter,10")
    rule = "rule,priority,booked_to,booking_code,share\nR,1,RAIL,DECK,0.5\nR,1,DECK,DECK,0.5\n"
    yard.run("load", "rules", yard.write("rules.csv", rule))
    load_sheets(yard, f"{SHEET_HEAD}A1,2026-03-10,8,DECK,\n")


LIST = (
    "attendance, baseline_change, certified, change, change_event, change_line, charge_rate, "
    "claim_percent, crew, daywork_item, daywork_sheet, final_account, hand_tag, job, "
    "job_cost, leave, milestone, past_work, payment, payroll_line, payroll_note, plan_line, "
    "progress, rate, replanned_calendar, replanned_day, replanned_milestone, replanned_package, "
    "rule, sending, setting, sign_off, supplier_hours, work_package, worker_alias"
)


@pytest.mark.slow
def test_what_something_rests_on_stays(job: Yard) -> None:
    """Each refusal names the facts in the way, and nothing is recorded."""
    history(job)
    before = newest(job)
    line, change = named(job, "change_line"), named(job, "change")
    approved, stopped = (named(job, "change_event", event=e) for e in ("approved", "stopped"))
    crew = named(job, "crew", worker_id="A1")
    first = table(job, "baseline_change")[0]["id"]
    rule, package = named(job, "rule"), named(job, "work_package")
    refusals = {
        line: f"{line}: a line of Q1 revision 1, approved by {approved}; what was approved stays "
        "as approved; enter more work as a new change",
        change: f"{approved}, Q1 approved on 2026-03-09, would no longer be valid: there is no "
        "change Q1 before it",
        approved: f"{stopped}, Q1 stopped on 2026-03-16, would no longer be valid: stopped on "
        "2026-03-16 is not allowed with price requested, instruction none; allowed: priced, "
        "submitted, approved, declined, withdrawn, instructed, complete, time_decided, notified",
        crew: f"{crew}: worker A1 has 1 entry (8.00 h, 2026-03-10 to 2026-03-10) and would be "
        "left without a trade; give the right row with --with",
        first: f"{first}: the rows of N1 would add up to 10.00 h, not to 0; withdraw all its rows",
        rule: f"{rule}: the shares of rule R would add up to 0.5, not to 1; withdraw all its rows",
        package: f"{package}: the estimate of STAGE is frozen; change it by a named baseline "
        "change (`fairhours load baseline-changes`)",
        "setting:1.1": "setting:1.1: book.rehearsal belongs to the book itself and cannot be "
        "withdrawn",
        "rate:99.1": "rate:99.1: there is no such fact; `fairhours show rate` lists the ids",
        "12.1": '"12.1": not a valid id; write table:batch.row, as `fairhours show` lists it',
        "entry:14.1": "entry:14.1: cannot be withdrawn; correct it (`fairhours correct entry "
        "14.1`) or reverse it (`reverse entry 14.1`)",
        "file:1.1": f"file:1.1: a file cannot be withdrawn; these can: {LIST}",
    }

    actual = {fact: withdraw(job, fact, ok=False) for fact in refusals}

    assert actual == {fact: f"{said}\n" for fact, said in refusals.items()}
    assert newest(job) == before


def test_a_crew_row_is_withdrawn_with_the_right_one(job: Yard) -> None:
    """The grade that was typed wrongly is put right, and labour cost with it."""
    load_sheets(job, f"{SHEET_HEAD}A1,2026-03-10,8,DECK,\n")
    right = "worker_id,name,trade,grade,active_from\nA1,Ada Brunt,carpenter,apprentice,2026-01-01\n"
    withdraw(job, named(job, "crew", worker_id="A1"), right=right)
    asked = ("performance", "--job", JOB, "--status-date", "2026-03-18", "--in", "cost")

    assert job.json(*asked)["rows"][0]["ac"] == 8 * 18


def withdrawn_unseen(yard: Yard, **columns: object) -> None:
    """Append a withdrawal past every check, as no command does."""
    writer = Holder("Tester", "test")
    with open_book(yard.book, writer=writer) as book, batch(book, Writing("T", "test")) as made:
        made.append("withdrawal", {name: [value] for name, value in columns.items()})


def test_hours_of_a_worker_without_a_crew_row_stay_in_the_job(job: Yard) -> None:
    """No hour leaves actual cost for want of a crew row; the cost is undefined, and says why."""
    load_sheets(job, f"{SHEET_HEAD}A1,2026-03-10,8,DECK,\n")
    number, row = named(job, "crew", worker_id="A1").split(":")[1].split(".")
    withdrawn_unseen(job, table_name="crew", fact_batch=int(number), fact_row=int(row))
    asked = ("performance", "--job", JOB, "--status-date", "2026-03-18")
    cost = job.json(*asked, "--in", "cost")

    assert job.json(*asked)["rows"][0]["ac"] == 8
    assert [each["ac"] for each in job.json(*asked, "--by", "trade")["rows"] if each["ac"]] == [8]
    assert "worker A1 is not in the crew, so has no rate on 2026-03-10" in str(cost["undefined"])


def test_a_withdrawal_of_nothing_fails_the_check(job: Yard) -> None:
    """What a withdrawal names was there before it, and is withdrawn once."""
    withdrawn_unseen(job, table_name="rate", fact_batch=99, fact_row=1)
    said = job.run("check", ok=False).stderr

    assert said == f"withdrawal: batch {newest(job)} row 1 withdraws a fact that did not count\n"


@pytest.mark.slow
def test_both_a_stop_and_its_approval_are_withdrawn_at_once(job: Yard) -> None:
    """Facts that rest on each other are withdrawn by one command; the change is open again."""
    history(job)
    rows = table(job, "change_event")
    withdraw(job, *(row["id"] for row in rows))

    assert "Q1" not in known(job)
    assert differences(job) == {}
    job.run("check")


REPORT = ("report", "variations", "--job", JOB, "--status-date")


def titles(yard: Yard, day: str, *before: object) -> list[str]:
    """Return the titles of the changes on the owner's statement of a day."""
    import json

    out = yard.folder / "variations.json"
    yard.run(*before, *REPORT, day, "--out", out)
    return [row["title"] for row in json.loads(out.read_text(encoding="utf-8"))["changes"]]


@pytest.mark.slow
def test_a_change_that_was_sent_is_reworded_from_the_next_statement_on(job: Yard) -> None:
    """Statements of earlier dates, and those remade by their known-at, keep what was sent."""
    load(job, "charge-rates", "trade,effective_from,charge_per_hour\ncarpenter,2026-01-01,50\n")
    request(job, "Q1")
    price(job, "Q1,1,carpenter,12")
    tell(job, "Q1,submitted,2026-03-05", "Q1,approved,2026-03-09")
    number = newest(job)
    head = "change,title,requested_by,requested_on,change_basis\n"
    said = load(job, "changes", f"{head}Q1,A longer ladder,The owner,2026-03-02,fixed_price\n")
    today = job.rows(job.run("history", "--format", "csv").stdout)[-1]["recorded_at"][:10]

    assert said.splitlines()[-1] == (
        f"changes.csv: Q1 was approved: statements from {today} on show the new wording; earlier "
        "ones, or those remade with --known-at, keep the old"
    )
    assert titles(job, "2026-03-27") == ["Something else"]
    assert titles(job, today) == ["A longer ladder"]
    assert titles(job, today, "--known-at", number) == ["Something else"]


@pytest.mark.slow
def test_an_approved_price_keeps_the_charge_rate_it_rests_on(job: Yard) -> None:
    """Withdrawing the rate would move what was approved: it is refused, with the changes named."""
    job.run("load", "charge-rates", "--job", JOB, SAMPLE / "charge-rates.csv")
    request(job, "Q1")
    price(job, "Q1,1,carpenter,12")
    tell(job, "Q1,submitted,2026-03-05", "Q1,approved,2026-03-09")
    rate = named(job, "charge_rate", trade="carpenter")

    assert withdraw(job, rate, ok=False) == (
        f"{rate}: approved prices use it: Q1; what was approved stays as approved; load the right "
        "rate from its first day\n"
    )
    withdraw(job, named(job, "charge_rate", trade="labourer"))


@pytest.mark.slow
def test_a_crew_row_stays_while_a_reversed_entry_may_stand_again(job: Yard) -> None:
    """Undoing the reversal would leave hours without a trade."""
    load_sheets(job, f"{SHEET_HEAD}A1,2026-03-10,8,DECK,\n")
    entry = job.rows(job.run("entries", "--format", "csv").stdout)[0]["entry"]
    job.run("reverse", "entry", entry, *WHY)
    crew = named(job, "crew", worker_id="A1")

    assert withdraw(job, crew, ok=False).startswith(f"{crew}: worker A1 has 1 entry (8.00 h, ")


@pytest.mark.slow
def test_lines_that_stand_are_not_given_again_with_the_right_one(job: Yard) -> None:
    """The whole file with one line put right would double the others."""
    request(job, "Q1")
    price(job, "Q1,1,carpenter,12", "Q1,1,labourer,4")
    wrong = named(job, "change_line", trade="carpenter")
    head = "change,revision,price_kind,description,trade,hours\n"
    standing = next(row for row in table(job, "change_line") if row["trade"] == "labourer")
    said = standing["description"]
    right = f"{head}Q1,1,labour,{said},carpenter,14\nQ1,1,labour,{said},labourer,4\n"

    assert withdraw(job, wrong, right=right, ok=False) == (
        f'right.csv: line "{said}" is already there; give only the right lines, or withdraw '
        "all lines of the revision\n"
    )
    withdraw(job, wrong, right=right[: right.rindex("Q1")])
