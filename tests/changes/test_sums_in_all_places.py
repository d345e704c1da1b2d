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


def on_statement(yard: Yard, day: date) -> dict[str, Decimal]:
    out = Path(yard.folder, "statement.json")
    asked = ("report", "variations", "--job", JOB, "--status-date", day, "--out", out)
    yard.run(*asked)
    page: Any = json.loads(out.read_text(encoding="utf-8"), parse_float=Decimal)
    return {row["step"]: Decimal(str(row["amount"])) for row in page["sums"]}


def check_sums(yard: Yard, day: date) -> None:
    """The account, the overrun in charge and the statement have the sums of the changes."""
    of_job = ("--job", JOB)
    changes = yard.json("changes", *of_job, "--status-date", day)
    account = yard.json("account", *of_job, "--to", day)
    overrun = yard.json("overrun", *of_job, "--status-date", day, "--in", "charge")
    steps = {row["step"]: row["amount"] for row in overrun["steps"]}
    statement = on_statement(yard, day)
    final = "anticipated_final_sum"

    assert changes["undefined"].get("sums") is None
    assert {n: account[n] for n in (*SUMS, final)} == {n: changes[n] for n in (*SUMS, final)}
    assert steps | {"omissions": -steps["omissions"]} == {
        name.replace("omitted", "omissions"): changes[name]
        for name in (*SUMS[:4], "daywork_unsigned", "instructed_at_latest_price", final)
    }
    assert sum(steps.values()) == 2 * steps[final]
    assert (overrun["adjusted_sum"], overrun["submitted"]) == (
        changes["adjusted_sum"],
        changes["submitted"],
    )
    for row in overrun["steps"][1:-1]:
        assert sum(each["amount"] for each in row["changes"]) == row["amount"]
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
