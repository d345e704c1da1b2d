"""An order of somebody not listed, and days decided by themselves, as the owner reads them."""

import json
import re
from typing import Any

import pytest

from tests._stage import JOB, SAMPLE, load
from tests.conftest import Yard
from tests.inputs._moves import freeze, price, request

DAY = "2026-03-20"
HEAD = "change,event,date,person,days_granted,document\n"


@pytest.fixture
def job(stage: Yard) -> Yard:
    """The sample's job with Jonna alone to act for the owner, and changes Q1 and Q2 of 8 h."""
    card = (SAMPLE / "job.toml").read_text(encoding="utf-8")
    listed = '\n[[authority]]\nperson = "Jonna Merrick"\n'
    stage.run("load", "job", stage.write("job.toml", card + listed))
    load(stage, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(stage)
    request(stage, "Q1", "Q2")
    price(stage, "Q1,1,carpenter,8", "Q2,1,carpenter,8")
    load(stage, "change-events", f"{HEAD}Q1,instructed,2026-03-11,Yoris <b>Petty</b>,,\n")
    return stage


def made(yard: Yard, ending: str) -> str:
    out = yard.folder / f"statement.{ending}"
    yard.run("report", "variations", "--job", JOB, "--status-date", DAY, "--out", out)
    return out.read_text(encoding="utf-8")


def of(view: Any, change: str, part: str = "changes") -> Any:
    return next(each for each in view[part] if each["change"] == change)


def test_the_owner_reads_who_gave_an_order_that_awaits_confirmation(job: Yard) -> None:
    """It is listed and an open matter, in no sum, and not called the order of the owner."""
    view = json.loads(made(job, "json"))
    page = re.sub(r"\s+", " ", made(job, "html"))
    sums = {row["step"]: row["amount"] for row in view["sums"]}
    matter = of(view, "Q1", "open_matters")

    assert "instruction received from Yoris &lt;b&gt;Petty&lt;/b&gt;, confirmation awaited" in page
    assert (matter["matter"], matter["since"]) == ("confirmation_awaited", "2026-03-11")
    assert "You gave the order" not in page
    assert sums["instructed_at_latest_price"] == "0.00"


def test_once_confirmed_the_order_is_the_owners(job: Yard) -> None:
    """From its confirmation it counts, and the history has both days."""
    confirm = ("confirm", "instruction", "Q1", "--job", JOB, "--person", "Jonna Merrick")
    job.run(*confirm, "--date", "2026-03-13")
    view = json.loads(made(job, "json"))
    history = of(view, "Q1", "details")["history"]

    assert of(view, "Q1")["instruction"] == "instructed"
    assert of(view, "Q1", "open_matters")["matter"] == "no_price"
    assert [(each["day"], each["event"]) for each in history] == [
        ("2026-03-02", "requested"),
        ("2026-03-11", "instruction_received"),
        ("2026-03-13", "confirmed"),
    ]


def test_days_asked_for_with_an_approved_price_stay_open(job: Yard) -> None:
    """An approval that says nothing of the days grants none and refuses none."""
    events = "change,event,date,person,reference,days_requested\n"
    events += "Q1,submitted,2026-03-10,Ada Brunt,,6\nQ1,approved,2026-03-11,Jonna Merrick,letter,\n"
    load(job, "change-events", events)
    view, page = json.loads(made(job, "json")), re.sub(r"\s+", " ", made(job, "html"))

    assert (of(view, "Q1")["days"], of(view, "Q1")["days_open"]) == (None, True)
    assert "6 requested, not decided" in page


def test_days_decided_by_themselves_are_shown_as_granted(job: Yard) -> None:
    """A request without a price can have its days decided; a notice stands in its history."""
    rows = "Q2,time_decided,2026-03-12,Jonna Merrick,4,\nQ2,notified,2026-03-13,Ada,,letter 9\n"
    load(job, "change-events", HEAD + rows)
    view = json.loads(made(job, "json"))
    page = re.sub(r"\s+", " ", made(job, "html"))

    assert (of(view, "Q2")["days"], of(view, "Q2")["days_decided"]) == (4, True)
    assert "Days decided, 4 days granted" in page
    assert "Notice sent to you" in page
    assert "4 granted" in page
