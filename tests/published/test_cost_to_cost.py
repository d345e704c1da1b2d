"""C10: work in progress by cost to cost, through the commands."""

from decimal import Decimal
from typing import Any

import pytest

from tests.billing._job import ClaimedJob, claimed, owner
from tests.conftest import Yard

DAY = "2026-02-27"
HEAD = "date,cost_kind,amount,forecast_remaining,uninstalled\n"
PROGRESS = f"work_package,date,percent,finished\nP1,{DAY},100,{DAY}\n"


def half_worked(yard: Yard, contract_sum: str, *costs: str) -> ClaimedJob:
    """Return a job of which one of two packages is done: labour of 5,000 spent, 5,000 to come."""
    job = claimed(yard, contract_sum, rates="50")
    job.work(*(f"2026-02-{day:02},10,P1," for day in range(2, 12)))
    job.load("progress", PROGRESS)
    job.load("job-costs", HEAD + "".join(f"{row}\n" for row in costs))
    return job


def shown(job: ClaimedJob, to: str = DAY) -> Any:
    return job.yard.json("work-in-progress", "--job", job.job, "--to", to)


@pytest.mark.slow
def test_c10_cost_to_cost_and_under_billed(yard: Yard) -> None:
    """Of 15,000,000, 7,200,000 spent and 4,800,000 to come: 60 %, 9,000,000 earned, 1,800,000
    profit; of 6,600,000 billed, 2,400,000 under.

    Source: a course solution [S]; under-billed is reckoned [C]. Of labour 5,000 is spent and
    5,000 to come.
    """
    job = half_worked(yard, "15000000.00", f"{DAY},subcontract,7195000.00,4795000.00,")
    job.percents(f"base,{DAY},,6600000,")
    job.issue(DAY)
    job.bill(1, DAY)
    found = shown(job)

    assert (found["cost_to_date"], found["cost_to_come"]) == (7_200_000, 4_800_000)
    assert found["percent_complete"] == 60
    assert (found["revenue_to_date"], found["profit_to_date"]) == (9_000_000, 1_800_000)
    assert (found["billed_to_date"], found["under_billed"]) == (6_600_000, 2_400_000)
    assert found["over_billed"] == 0


@pytest.mark.slow
def test_c10_materials_not_built_in_earn_their_cost(yard: Yard) -> None:
    """Of 5,000,000 at a cost of 4,000,000, of it 1,500,000 not built in, and 500,000 spent beside
    it: 20 %, 2,200,000 earned, 200,000 profit.

    Source: IFRS 15, illustrative example 19 (part of the inputs from memory [M]); reckoned [C].
    """
    job = half_worked(
        yard,
        "5000000.00",
        f"{DAY},material,1500000.00,0,1500000.00",
        f"{DAY},subcontract,495000.00,1995000.00,",
    )
    found = shown(job)

    assert (found["cost_total"], found["uninstalled"]) == (4_000_000, 1_500_000)
    assert found["percent_complete"] == 20
    assert (found["revenue_to_date"], found["profit_to_date"]) == (2_200_000, 200_000)


@pytest.mark.slow
def test_an_extra_not_approved_raises_no_revenue(yard: Yard) -> None:
    """Instructed at an open price it takes its cost off the profit; approved it moves the price."""
    job = half_worked(yard, "20000.00", f"{DAY},other,0,0,")
    before = shown(job)
    job.change("X", "1,lot,4000", events=("X,instructed,2026-01-13",))
    job.work("2026-02-16,8,X,")
    unapproved = shown(job)
    job.events("X,approved,2026-02-20")
    approved = shown(job)

    earned = ("adjusted_sum", "cost_to_date", "cost_total", "percent_complete", "revenue_to_date")
    assert [unapproved[name] for name in earned] == [before[name] for name in earned]
    assert unapproved["unapproved_cost"] == 8 * 50
    assert unapproved["profit_to_date"] == before["profit_to_date"] - 8 * 50
    assert (approved["adjusted_sum"], approved["unapproved_cost"]) == (24_000, 0)


@pytest.mark.slow
def test_an_expected_loss_is_taken_at_once(yard: Yard) -> None:
    """Half done at 5,000 of a cost of 10,000 and a price of 8,000 the whole loss of 2,000 stands.

    Source: IAS 37.66; ASC 605-35-25-45. Half of it is in what is earned: 4,000 less 5,000.
    """
    found = shown(half_worked(yard, "8000.00", f"{DAY},other,0,0,"))

    assert (found["revenue_to_date"], found["cost_to_date"]) == (4_000, 5_000)
    assert found["expected_loss_to_come"] == 1_000
    assert found["profit_to_date"] == found["expected_profit"] == Decimal(-2_000)


@pytest.mark.slow
def test_work_in_progress_needs_costs_and_a_price(yard: Yard) -> None:
    """Without job-costs, and with more not built in than spent, it is refused."""
    job = half_worked(yard, "8000.00", f"{DAY},material,100,0,200")
    before = job.yard.run(
        "work-in-progress", "--job", job.job, "--to", "2026-02-26", ok=False
    ).stderr
    above = job.yard.run("work-in-progress", "--job", job.job, "--to", DAY, ok=False).stderr

    assert before.startswith(
        "job CLAIM: no costs beside its hours are recorded by 2026-02-26; "
        "`fairhours load job-costs` first"
    )
    assert above.startswith(
        "job CLAIM: 200.00 of material is stated as not installed by 2026-02-27"
    )


@pytest.mark.slow
@pytest.mark.parametrize(
    ("terms", "said"),
    [
        ('contract_basis = "time_charge"', "job CLAIM: is paid by the hour"),
        (owner(invoice='currency = "NOK"'), "job CLAIM: is billed in NOK and its costs are in EUR"),
    ],
)
def test_work_in_progress_is_of_a_price_in_the_currency_of_its_cost(
    yard: Yard, terms: str, said: str
) -> None:
    """By the hour, or billed in another currency, nothing is set against the cost."""
    claimed(yard, "8000.00", terms)
    refused = yard.run("work-in-progress", "--job", "CLAIM", "--to", DAY, ok=False).stderr

    assert refused.startswith(said)
