"""C8: a final account, through the commands."""

from typing import Any

import pytest

from tests.billing._job import ClaimedJob, claimed
from tests.conftest import Yard

DAY = "2026-03-27"
LIGHTS = '[[provisional_sums]]\nname = "Lights"\namount = "9000.00"\n'
AGREE = ("--person", "Owner", "--reference", "letter of 27 March", "--date", DAY)


def priced(yard: Yard) -> None:
    """Make the job of the example: instructions, two drawings, and loss and expense."""
    job = claimed(yard, "5000000.00", LIGHTS)
    job.change("I1", "1,lot,16500")
    job.change("D1", "1,lot,7300", "-1,lot,4850")
    job.change("D2", "-1,lot,983")
    job.change("L1", "1,lot,10000")


def shown(yard: Yard, *more: str) -> Any:
    return yard.json("final-account", "--job", "CLAIM", "--to", DAY, *more)


def agree(yard: Yard, *more: str, ok: bool = True) -> str:
    return yard.run("agree", "final-account", "--job", "CLAIM", *AGREE, *more, ok=ok).stderr


@pytest.mark.slow
def test_c8_a_final_account(yard: Yard) -> None:
    """Contract sum 5,000,000.00, provisional sums -9,000.00, instructions 16,500.00, drawings
    1,467.00, loss and expense 10,000.00: 5,018,967.00. One drawing omits 4,850.00, adds 7,300.00.

    Source: RICS guidance, "Example structure for a final account", table 6 [S].
    """
    yard.copy_made_by(priced)
    found = shown(yard)
    said = agree(yard)

    assert found["original_sum"] == 5_000_000
    assert [(each["name"], each["unspent"]) for each in found["provisional_sums"]] == [
        ("Lights", 9_000)
    ]
    assert [(e["change"], e["approved"], e["omitted"]) for e in found["changes"]] == [
        ("D1", 7_300, 4_850),
        ("D2", 0, 983),
        ("I1", 16_500, 0),
        ("L1", 10_000, 0),
    ]
    assert (found["final_sum"], found["open"]) == (5_018_967, [])
    total = "5 018 967.00".replace(" ", "\N{NO-BREAK SPACE}")
    assert said == f"CLAIM: final account agreed on 2026-03-27 at {total}\n"


@pytest.mark.slow
def test_a_final_account_waits_for_what_is_open(yard: Yard) -> None:
    """An open request, unsigned daywork and open time are named, until settled or reserved."""
    yard.copy_made_by(priced)
    job = ClaimedJob(yard)
    job.change("Q1", "1,lot,700", events=("Q1,submitted,2026-01-13",))
    job.change("W1", "labour,craft,1", basis="daywork")
    job.work("2026-02-02,3,W1,")
    asked = "change,event,date,person,reference,days_requested\n"
    days = "T1,submitted,2026-01-13,Owner,letter,4\nT1,approved,2026-01-14,Owner,letter,\n"
    job.change("T1", "1,lot,10", events=("T1,priced,2026-01-12",))
    job.load("change-events", asked + days)
    refused = agree(yard, ok=False)
    unknown = agree(yard, "--reserve", "L1", ok=False)
    job.sign("S1", "W1", "2026-02-02", "2026-02-02")
    job.events("W1,complete,2026-02-03")
    said = agree(yard, "--reserve", "q1", "--reserve", "T1")

    assert refused.splitlines() == [
        "job CLAIM: the final account on 2026-03-27 has open matters; settle them or reserve them "
        "by name",
        "Q1: not agreed, 700.00",
        "T1: days requested or left open are not decided",
        "W1: daywork of 150.00 is not signed",
    ]
    assert '"L1" has nothing open; open: Q1, T1, W1' in unknown
    assert said.endswith("at 5\N{NO-BREAK SPACE}019\N{NO-BREAK SPACE}127.00; reserved: Q1, T1\n")
    assert yard.json("account", "--job", "CLAIM", "--to", DAY)["final_account"] == {
        "agreed_on": DAY,
        "final_sum": 5_019_127,
        "person": "Owner",
        "reference": "letter of 27 March",
        "reserved": ["Q1", "T1"],
    }


@pytest.mark.slow
def test_an_agreed_final_account_is_fixed(yard: Yard) -> None:
    """What would move its sum is refused, what was reserved is not; withdrawn it is open again."""
    yard.copy_made_by(priced)
    job = ClaimedJob(yard)
    job.change("Q1", "1,lot,700", events=("Q1,submitted,2026-01-13",))
    job.change("Q2", "1,lot,90", events=("Q2,priced,2026-01-13",))
    # Approved after the day of the agreement: open on it, so it is reserved.
    job.change("F1", "1,lot,40", events=("F1,approved,2026-04-20",))
    agree(yard, "--reserve", "Q1", "--reserve", "Q2", "--reserve", "F1")
    again = agree(yard, ok=False)
    job.events("Q1,approved,2026-04-02")
    job.work("2026-02-02,3,P1,")
    late = f"change,title,requested_by,requested_on,change_basis\nN1,More,Owner,{DAY},fixed_price\n"
    job.load("changes", late)
    head = "change,price_kind,description,quantity,unit,unit_price\n"
    job.load("change-lines", f"{head}N1,material,Rail,1,lot,55\n")
    events = "change,event,date,person,reference\nN1,approved,2026-04-03,Owner,letter\n"
    moved = job.load("change-events", events, ok=False)
    [fact] = [row["id"] for row in job.shown("final_account")]
    yard.run("withdraw", "fact", fact, "--reason", "agreed anew")
    job.load("change-events", events)

    assert again.startswith(
        "job CLAIM: its final account was agreed on 2026-03-27; to agree another"
    )
    assert moved.startswith(
        "job CLAIM: its final account was agreed on 2026-03-27 at 5018967.00; this would move it "
        "by 55.00;"
    )
    assert shown(yard, "--to", "2026-04-30")["final_sum"] == 5_018_967 + 700 + 55 + 40


@pytest.mark.slow
def test_what_is_reserved_may_spend_a_provisional_sum(yard: Yard) -> None:
    """Lights of 700, reserved and approved later, leave 700 less unspent: no sum agreed moves."""
    yard.copy_made_by(priced)
    job = ClaimedJob(yard)
    job.change("Q1", "1,lot,700,,Lights", events=("Q1,submitted,2026-01-13",))
    agree(yard, "--reserve", "Q1")
    job.events("Q1,approved,2026-04-02")
    found = yard.json("final-account", "--job", "CLAIM", "--to", "2026-04-03")

    assert [each["unspent"] for each in found["provisional_sums"]] == [8_300]
    assert found["final_sum"] == 5_018_967 + 700


@pytest.mark.slow
def test_a_final_account_is_signed_by_somebody(yard: Yard) -> None:
    """It names who agreed it and by which letter."""
    yard.copy_made_by(priced)
    said = yard.run("agree", "final-account", "--job", "CLAIM", ok=False).stderr

    assert said.startswith("job CLAIM: who agreed the final account, and by which letter?")


@pytest.mark.slow
def test_a_final_account_is_issued_to_be_signed(yard: Yard) -> None:
    """The page has every change, what is omitted and the final sum; agreed, none is issued."""
    yard.copy_made_by(priced)
    out = yard.folder / "final.html"
    words = ("issue", "final-account", "--job", "CLAIM", "--to", DAY, "--out", out)
    ClaimedJob(yard).change("Q1", "1,lot,700", events=("Q1,priced,2026-01-13",))
    waiting = yard.run(*words, ok=False).stderr
    said = yard.run(*words, "--reserve", "Q1").stderr
    page = out.read_text(encoding="utf-8").replace("\N{NO-BREAK SPACE}", " ")
    agree(yard, "--reserve", "Q1")
    after = yard.run(*words, ok=False).stderr

    assert "Q1: not agreed, 700.00" in waiting
    assert said.startswith("CLAIM-FA-001: final account of CLAIM")
    assert [text for text in ("Lights", "Change D1", "5 018 967.00") if text not in page] == []
    # What was priced and not sent to the owner is not on the owner's page.
    assert "700.00" not in page
    assert after.startswith("job CLAIM: its final account was agreed on 2026-03-27")
