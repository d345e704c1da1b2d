"""The sums of a job are the same wherever they stand: changes, account, overrun, statement."""

import json
import random
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.billing._job import claimed
from tests.conftest import Yard
from tests.performance._random_books import DAYS, JOB, RandomBook, Row

SUMS = ("original_sum", "approved", "omitted", "daywork_movement", "adjusted_sum")
ASKED_ON = (date(2026, 3, 15), date(2026, 3, 25), date(2026, 4, 12))
RATES = """
    trade,effective_from,charge_per_hour
    carpenter,2026-01-01,61.35
    labourer,2026-01-01,44.10
    """
SHEETS = "daywork_sheet,change,from,to,agreed_on,mark,person\n"
# How the steps of the owner's statement are named, and those of the list of changes.
ON_STATEMENT = {
    "contract_sum": "original_sum",
    "adjusted_contract_sum": "adjusted_sum",
    "daywork_unsigned": "daywork_unsigned",
    "time_beyond_estimate": "time_beyond_estimate",
    "anticipated_final_sum": "anticipated_final_sum",
    "submitted_not_added": "submitted",
}


class PricedBook(RandomBook):
    """A random book whose every line has a trade, so that all of it has a price."""

    def lines(self) -> list[Row]:
        return [{**row, "trade": row["trade"] or "labourer"} for row in super().lines()]

    def price(self) -> None:
        """Load charge rates, and sign some of the daywork."""
        job = ("--job", JOB)
        self.yard.run("load", "charge-rates", *job, self.yard.write("charges.csv", RATES))
        first, last = sorted(self.dice.sample(DAYS, 2))
        text = f"{SHEETS}W1,V10,{first},{last},{last},agreed,An owner\n"
        self.yard.run("load", "daywork-sheets", *job, self.yard.write("signed.csv", text))


def on_statement(yard: Yard, day: date, job: str) -> dict[str, Decimal]:
    out = Path(yard.folder, "statement.json")
    asked = ("report", "variations", "--job", job, "--status-date", day, "--out", out)
    yard.run(*asked)
    page: Any = json.loads(out.read_text(encoding="utf-8"), parse_float=Decimal)
    return {row["step"]: Decimal(str(row["amount"])) for row in page["sums"]}


def check_sums(yard: Yard, day: date, job: str = JOB) -> None:
    """The account, the overrun in charge and the statement have the sums of the changes."""
    of_job = ("--job", job)
    changes = yard.json("changes", *of_job, "--status-date", day)
    account = yard.json("account", *of_job, "--to", day)
    overrun = yard.json("overrun", *of_job, "--status-date", day, "--in", "charge")
    steps = {row["step"]: row["amount"] for row in overrun["steps"]}
    statement = on_statement(yard, day, job)
    beyond, final = "time_beyond_estimate", "anticipated_final_sum"

    assert changes["undefined"].get("sums") is None
    shared = (*SUMS, beyond, final)
    assert {name: account[name] for name in shared} == {name: changes[name] for name in shared}
    # What is claimed of a closed day is as known now, late hours too.
    assert account["value_to_date"] <= account[final] or day <= ASKED_ON[0]
    assert steps | {"omissions": -steps["omissions"]} == {
        name.replace("omitted", "omissions"): changes[name]
        for name in (*SUMS[:4], "daywork_unsigned", beyond, "instructed_at_latest_price", final)
    }
    assert sum(steps.values()) == 2 * steps[final]
    assert (overrun["adjusted_sum"], overrun["submitted"]) == (
        changes["adjusted_sum"],
        changes["submitted"],
    )
    for row in overrun["steps"][1:-1]:
        if row["step"] == beyond:  # Of base time, no change moves it.
            continue
        parts = [*row["changes"], *row["unspent"]]
        assert sum(each["amount"] for each in parts) == row["amount"]
    # The owner's page has what is instructed at the price that was sent; from the second day on
    # all of it was sent.
    sent = statement["instructed_at_latest_price"]
    if day == ASKED_ON[0]:
        changes[final] += sent - changes["instructed_at_latest_price"]
    assert {name: statement[name] for name in ON_STATEMENT} == {
        name: changes[own] for name, own in ON_STATEMENT.items()
    }


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
def test_sums_are_the_same_in_all_places(yard: Yard, seed: int) -> None:
    """Whatever the book, the closed period among its days: the same figure in every place."""
    book = PricedBook(yard, random.Random(seed))
    book.build()
    book.price()
    yard.run("close", "period", "--to", ASKED_ON[0])
    late = "change,event,date,person\nV9,approved,2026-03-12,An owner\n"
    yard.run("load", "change-events", "--job", JOB, yard.write("late.csv", late))
    for day in ASKED_ON:
        check_sums(yard, day)


@pytest.mark.slow
def test_time_beyond_the_estimate_is_in_the_anticipated_final_sum_in_all_places(
    yard: Yard,
) -> None:
    """A job paid by the hour comes to its base time, once that is more than what is left of it."""
    job = claimed(yard, "1000.00", f'contract_basis = "time_charge"\n{LIGHTS}')
    job.change("V1", "1,lot,500", "-1,lot,40")
    lights = "L1,Lights,Owner,2026-01-12,fixed_price\n"
    job.load("changes", "change,title,requested_by,requested_on,change_basis\n" + lights)
    job.load("change-lines", SPENDS.format("L1", 350))
    job.events("L1,approved,2026-01-13")
    job.percents("V1,2026-02-02,100,,", "L1,2026-02-02,100,,")
    job.work("2026-02-02,1,P1,", "2026-02-03,7,P2,", "2026-02-04,2,P2,own")
    amounts = {}
    for day in (date(2026, 2, 2), date(2026, 2, 27)):
        check_sums(yard, day, job.job)
        account = yard.json("account", "--job", job.job, "--to", day)
        names = ("time_beyond_estimate", "adjusted_sum", "anticipated_final_sum", "value_to_date")
        amounts[day.day] = [account[name] for name in names]
    shown = [
        yard.run("status", "--job", job.job, "--status-date", day).stdout
        for day in ("2026-02-02", "2026-02-27")
    ]

    # 1000 + 500 - 40 + 350 - 350. The estimate of base time is 1000 - 900 - 40 = 60: an hour at 50
    # is within it, 8 h are 400. Of 900 for lights 550 are left: 1800 - 550 are claimable.
    assert amounts == {2: [0, 1_460, 1_460, 900], 27: [340, 1_460, 1_800, 1_250]}
    assert "time beyond the estimate" not in shown[0]
    assert "time beyond the estimate 340.00, in the anticipated final sum\n" in shown[1]


@pytest.mark.slow
def test_time_agreed_as_the_contract_sum_settles_a_job_paid_by_the_hour(yard: Yard) -> None:
    """Its final account is open until a baseline change makes base time the contract sum."""
    job = claimed(yard, "300.00", 'contract_basis = "time_charge"')
    job.work("2026-02-03,7,P2,")
    of_job = ("--job", job.job)
    person = ("--person", "Owner", "--reference", "letter", "--date", FINAL_DAY)
    said = yard.run("agree", "final-account", *of_job, *person, ok=False).stderr
    head = "name,date,person,reference,work_package,trade,hours,contract_sum\n"
    rows = "T,2026-02-19,Owner,letter,P1,craft,5,350\nT,2026-02-19,Owner,letter,P2,craft,-5,\n"
    job.load("baseline-changes", head + rows)
    yard.run("agree", "final-account", *of_job, *person)
    check_sums(yard, date(2026, 2, 27), job.job)
    account = yard.json("account", *of_job, "--to", "2026-02-27")

    # 7 h at 50 are 350, against 300.
    assert "base time: comes to 50.00 against its estimate; adjust the contract sum" in said
    assert [account[name] for name in ("adjusted_sum", "time_beyond_estimate")] == [350, 0]
    assert account["anticipated_final_sum"] == account["value_to_date"] == 350


@pytest.mark.slow
def test_base_time_without_a_charge_rate_keeps_the_final_account_open(yard: Yard) -> None:
    """A rigger's hours, that nobody has a rate for, are no part of a sum agreed unseen."""
    job = claimed(yard, "300.00", 'contract_basis = "time_charge"')
    crew = yard.write("crew.csv", "worker_id,name,trade\nA2,Bo,rigger\n")
    yard.run("load", "crew", crew)
    job.work("2026-02-03,6,P2,")
    rigged = yard.write("rigged.csv", "worker_id,date,hours,booking_code\nA2,2026-02-03,3,P2\n")
    yard.run("load", "sheets", "--job", job.job, rigged)
    asked = ("agree", "final-account", "--job", job.job, "--date", FINAL_DAY)
    person = ("--person", "Owner", "--reference", "letter")
    said = yard.run(*asked, *person, ok=False).stderr
    yard.run(*asked, *person, "--reserve", "base time")

    assert "base time: hours worked have no charge rate" in said


@pytest.mark.slow
def test_overrun_in_charge_opens_each_step_to_changes(yard: Yard) -> None:
    """Each step names the changes that move it, and the steps add to the last."""
    job = claimed(yard, "10000.00")
    job.change("V1", "1,lot,500", "-1,lot,120")
    job.change("V2", "1,lot,80", events=("V2,instructed,2026-01-13",))
    words = ("overrun", "--job", job.job, "--status-date", "2026-02-27", "--in", "charge")
    found = yard.json(*words)

    assert [
        (row["step"], row["amount"], [each["change"] for each in row["changes"]])
        for row in found["steps"]
        if row["amount"]
    ] == [
        ("original_sum", 10_000, []),
        ("approved", 500, ["V1"]),
        ("omissions", -120, ["V1"]),
        ("instructed_at_latest_price", 80, ["V2"]),
        ("anticipated_final_sum", 10_460, []),
    ]


FINAL_DAY = "2026-02-20"
SPENDS = (
    "change,price_kind,description,quantity,unit,unit_price,provisional_sum\n"
    "{0},material,Lamps,1,lot,{1},Lights\n"
)
LIGHTS = '[[provisional_sums]]\nname = "Lights"\namount = "900.00"\n'


@pytest.mark.slow
def test_sums_unspent_are_omitted_in_all_places_once_the_final_account_is_agreed(
    yard: Yard,
) -> None:
    """Of 900.00 a change spends 350.00; 550.00 are omitted everywhere from the agreement on.

    What was reserved finds nothing left of the sum, so that nothing is omitted twice.
    """
    job = claimed(yard, "10000.00", LIGHTS)
    job.change("V1", "1,lot,500", "-1,lot,120")
    for code, price, event in (("L1", 350, "approved"), ("L2", 80, "submitted")):
        row = f"{code},Lights,Owner,2026-01-12,fixed_price\n"
        job.load("changes", "change,title,requested_by,requested_on,change_basis\n" + row)
        job.load("change-lines", SPENDS.format(code, price))
        job.events(f"{code},{event},2026-01-13")
    job.events("L2,instructed,2026-01-14")
    of_job, day = ("--job", job.job), date(2026, 2, 27)
    before = yard.json("account", *of_job, "--to", day)
    agreed = ("--person", "Owner", "--reference", "letter", "--date", FINAL_DAY, "--reserve", "L2")
    yard.run("agree", "final-account", *of_job, *agreed)
    account = yard.json("account", *of_job, "--to", day)
    final = yard.json("final-account", *of_job, "--to", day)
    overrun = yard.json("overrun", *of_job, "--status-date", day, "--in", "charge")
    statement = yard.folder / "statement.html"
    yard.run("report", "variations", *of_job, "--status-date", day, "--out", statement)
    job.percents(f"base,{FINAL_DAY},100,,")
    job.issue(FINAL_DAY)
    check_sums(yard, day, job.job)
    check_sums(yard, date(2026, 2, 19), job.job)

    # 10,000 + 500 - 120 + 350 - 350; then 550 less. L2 adds 80 once nothing is left of the sum.
    assert (before["omitted"], before["adjusted_sum"]) == (470, 10_380)
    assert before["anticipated_final_sum"] == 10_380
    assert (account["omitted"], account["adjusted_sum"]) == (1_020, 9_830)
    assert account["anticipated_final_sum"] == 9_910
    assert final["final_sum"] == account["adjusted_sum"]
    assert "Provisional sums not spent" in job.page(FINAL_DAY)
    assert overrun["steps"][2]["unspent"] == [{"provisional_sum": "Lights", "amount": -550}]
    assert "Of it \u2212550.00 EUR of provisional sums" in statement.read_text(encoding="utf-8")
