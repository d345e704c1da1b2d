"""Every paper of a change says the same of its days: statement, order, request, quotation."""

from datetime import date

import pytest

from ledger.commands.access import ReadAccess
from ledger.reports.owner.build import build
from ledger.reports.owner.job_tables import waits_for
from tests._stage import JOB, SAMPLE, load
from tests.conftest import Yard
from tests.inputs._moves import freeze, price
from tests.reports._papers import on_papers, on_statement

DAY = date(2026, 3, 20)
REQUESTS = "change,title,requested_by,requested_on,change_basis,days_requested\n"
EVENTS = "change,event,date,person,reference,days_requested,days_granted\n"
# Of each change: days of its request, days of the price sent, what follows; what the statement
# says, and what the other papers say.
CASES = {
    "Q1": ("4", "", "", "time reserved", "Time reserved, effect on completion not settled"),
    "Q2": ("", "4", "", "4 requested", "4 days, added to the completion date"),
    "Q3": ("4", "0", "", "none requested", "No days, the completion date stays"),
    "Q4": (
        "4",
        "",
        "approved,",
        "time reserved",
        "Time reserved, effect on completion not settled",
    ),
    "Q5": (
        *("", "6", "approved,", "6 requested, not decided"),
        "Time reserved, 6 requested, not decided",
    ),
    "Q6": ("", "6", "approved,4", "4 granted", "4 days, added to the completion date"),
    "Q7": ("", "6", "approved,0", "none granted", "No days, the completion date stays"),
    "Q8": ("", "0", "approved,", "none requested", "No days, the completion date stays"),
    "Q9": ("", "5", "time_decided,2", "2 granted", "2 days, added to the completion date"),
}


@pytest.fixture
def sent(stage: Yard) -> Yard:
    """The sample's job with a change for each case, its price sent on 10 March."""
    load(stage, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(stage)
    requests, events = REQUESTS, EVENTS
    for code, (asked, with_price, then, *_) in CASES.items():
        requests += f"{code},Something else,The owner,2026-03-02,fixed_price,{asked}\n"
        events += f"{code},submitted,2026-03-10,Ada Brunt,,{with_price},\n"
        event, _, granted = then.partition(",")
        events += f"{code},{event},2026-03-12,Jonna Merrick,letter,,{granted}\n" if event else ""
    load(stage, "changes", requests)
    price(stage, *(f"{code},1,carpenter,8" for code in CASES))
    load(stage, "change-events", events)
    return stage


def test_every_paper_of_a_change_says_the_same_of_its_days(sent: Yard) -> None:
    """Blank leaves days open, 0 is none; those of an approval are open until they are decided."""
    with ReadAccess(sent.book).reading() as book:
        stated = on_statement(book, JOB, DAY)
        papers = {code: set(on_papers(book, JOB, code, DAY)) for code in CASES}
        waits = waits_for(build(book, JOB, DAY))

    assert stated == {code: statement for code, (*_, statement, _) in CASES.items()}
    assert [code for code, what in waits.items() if what == "days"] == ["Q5"]
    assert papers == {code: {paper} for code, (*_, paper) in CASES.items()}
