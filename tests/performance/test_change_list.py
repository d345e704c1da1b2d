"""The list of changes says what the owner's statement and the overrun say, and shows one change."""

import json
from decimal import Decimal
from typing import Any

import pytest

from tests._stage import JOB, SAMPLE, load
from tests.conftest import Yard, slow_beyond
from tests.inputs._moves import freeze, price, request, tell
from tests.test_small_sample import build

# Each sum of the list with the statement's own; omissions stand there below zero.
SUMS = {
    "original_sum": "contract_sum",
    "approved": "approved_variations",
    "omitted": "omissions",
    "daywork_movement": "daywork_against_estimate",
    "adjusted_sum": "adjusted_contract_sum",
    "daywork_unsigned": "daywork_unsigned",
    "time_beyond_estimate": "time_beyond_estimate",
    "instructed_at_latest_price": "instructed_at_latest_price",
    "anticipated_final_sum": "anticipated_final_sum",
    "submitted": "submitted_not_added",
}


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """The whole sample; to be read only."""
    return build(Yard(tmp_path_factory.mktemp("built")))


def listed(yard: Yard, day: str) -> Any:
    return yard.json("changes", "--job", JOB, "--status-date", day)


def statement(yard: Yard, day: str) -> Any:
    out = yard.folder / f"statement-{day}.json"
    yard.run("report", "variations", "--job", JOB, "--status-date", day, "--out", out)
    return json.loads(out.read_text(encoding="utf-8"), parse_float=Decimal)


def compare(yard: Yard, day: str) -> None:
    """Assert that the list, the statement and the overrun of a day have the same figures."""
    known, page = listed(yard, day), statement(yard, day)
    of_page = {row["step"]: Decimal(str(row["amount"])) for row in page["sums"]}
    of_list = {SUMS[name]: known[name] for name in SUMS}
    of_list["omissions"] = -of_list["omissions"]
    prices = {row["change"]: row["price"] for row in page["changes"]}
    overrun = yard.json("overrun", "--job", JOB, "--status-date", day)
    steps = {row["step"]: row["amount"] for row in overrun["steps"]}
    changes = known["changes"]
    rest = [row["hours_anticipated"] for row in changes if row["price_state"] != "approved"]

    assert of_list == of_page
    assert {row["change"]: row["price"] for row in changes if row["change"] in prices} == {
        change: None if amount is None else Decimal(str(amount))
        for change, amount in prices.items()
    }
    assert sum(rest) == steps["unapproved_changes"]


# Before any price, with one sent, with one approved and one instructed, at the end.
DAYS = ["2026-03-20", "2026-03-10", "2026-03-13", "2026-03-17", "2026-04-20"]


@pytest.mark.slow
@pytest.mark.parametrize("day", slow_beyond(2, DAYS))
def test_the_list_has_the_figures_of_statement_and_overrun(built: Yard, day: str) -> None:
    """Each sum and price is the statement's, the hours of open changes are the overrun's."""
    compare(built, day)


def test_daywork_and_days_are_listed_as_the_statement_has_them(stage: Yard) -> None:
    """Daywork over its estimate, a value agreed, an order without a price: the same sums."""
    load(stage, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(stage)
    request(stage, "DW1", "DW2", basis="daywork")
    request(stage, "Q1", "Q2")
    price(stage, "DW1,1,carpenter,4", "DW2,1,carpenter,4", "Q2,1,carpenter,5")
    tell(stage, "DW1,approved,2026-03-09", "DW2,approved,2026-03-09", "Q1,instructed,2026-03-10")
    tell(stage, "Q2,submitted,2026-03-10,1,2026-03-16", "Q2,instructed,2026-03-11")
    agree = ("agree", "value", "DW2", "--job", JOB, "--amount", "300", "--person", "Jonna")
    stage.run(*agree, "--date", "2026-03-19")
    rows = "A1,2026-03-10,7,DW1\nA1,2026-03-11,5,DW2\nA1,2026-03-12,2,Q1\n"
    sheet = stage.write("s.csv", f"worker_id,date,hours,booking_code\n{rows}")
    stage.run("load", "sheets", "--job", JOB, sheet)
    compare(stage, "2026-03-20")
    known = listed(stage, "2026-03-20")
    attention = {row["change"]: row["attention"] for row in known["changes"]}

    # 3 h over the estimate at 60.00; 300.00 agreed against 240.00; 5 h instructed at 60.00.
    assert known["daywork_unsigned"] == 180
    assert known["daywork_movement"] == 60
    assert known["instructed_at_latest_price"] == 300
    assert attention == {
        "DW1": ["daywork_unsigned", "approval_without_reference"],
        "DW2": ["approval_without_reference"],
        "Q1": ["instruction_unwritten", "instructed_unpriced"],
        "Q2": ["instruction_unwritten", "instructed_price_open", "price_lapsed"],
    }


# Five days after Friday 27 March, as working days (Mondays to Fridays) or as any days.
COMPLETION = [("working", "2026-04-03"), ("calendar", "2026-04-01")]


@pytest.mark.slow
@pytest.mark.parametrize(("days", "moved"), COMPLETION)
def test_the_completion_date_moves_by_days_granted_alone(
    stage: Yard, days: str, moved: str
) -> None:
    """Days asked for move nothing; five granted do, and of one change the last decision holds.

    The owner's page has both dates.
    """
    card = (SAMPLE / "job.toml").read_text(encoding="utf-8")
    more = f'[job]\ncompletion_date = 2026-03-27\ndays = "{days}"\n'
    stage.run("load", "job", stage.write("job.toml", card.replace("[job]\n", more, 1)))
    load(stage, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(stage)
    request(stage, "Q1", "Q2")
    price(stage, "Q1,1,carpenter,5")
    events = "change,event,date,person,days_requested,days_granted\n"
    events += "Q1,submitted,2026-03-04,Ada,8,\nQ2,time_decided,2026-03-05,Jonna,,2\n"
    events += "Q1,time_decided,2026-03-10,Jonna,,9\nQ1,time_decided,2026-03-12,Jonna,,3\n"
    load(stage, "change-events", events)
    dates = [listed(stage, day)["completion_date"] for day in ("2026-03-04", "2026-03-13")]
    page = statement(stage, "2026-03-13")["completion"]
    performance = stage.json("performance", "--job", JOB, "--status-date", "2026-03-13")

    assert dates == ["2026-03-27", moved]
    assert performance["time"]["days_granted"] == 5
    assert page == {"original": "2026-03-27", "days_granted": 5, "revised": moved}


def test_a_row_says_where_the_change_stands(built: Yard) -> None:
    """CR1 is approved: 12 + 4 - 10 h; CR2 is instructed and its price sent."""
    rows = {row["change"]: row for row in listed(built, "2026-03-20")["changes"]}
    names = ("price_state", "instruction", "work", "revision", "hours_priced", "days_requested")

    assert [rows["CR1"][name] for name in names] == ["approved", "none", "in_work", 1, 6, None]
    assert [rows["CR2"][name] for name in names] == [
        "submitted",
        "instructed",
        "in_work",
        1,
        8,
        None,
    ]


def test_without_a_rate_a_price_is_not_defined_and_the_rest_is(stage: Yard) -> None:
    """The reason names change, trade and day; hours are told all the same."""
    freeze(stage)
    request(stage, "Q1")
    price(stage, "Q1,1,carpenter,5")
    tell(stage, "Q1,submitted,2026-03-10")
    known = listed(stage, "2026-03-12")

    assert (known["changes"][0]["price"], known["changes"][0]["hours_priced"]) == (None, 5)
    assert (known["adjusted_sum"], known["original_sum"]) == (None, 20000)
    assert known["undefined"] == {
        "Q1.price": "Q1: carpenter has no charge rate on 2026-03-10",
        "sums": "Q1: carpenter has no charge rate on 2026-03-10",
        "completion_date": "the job has no completion_date",
    }


def test_a_request_entered_today_is_listed(stage: Yard) -> None:
    """Before any sheet, and before the freeze, the day is that of the newest change."""
    request(stage, "Q1")

    assert stage.json("changes", "--job", JOB)["status_date"] == "2026-03-02"


WIDTH = 80


def test_the_table_fits_a_terminal(built: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    """On 80 columns the main columns stand, what needs attention below, and the sums."""
    monkeypatch.setenv("COLUMNS", str(WIDTH))
    shown = built.run("changes", "--job", JOB, "--status-date", "2026-03-20").stdout.splitlines()

    assert max(map(len, shown)) <= WIDTH
    assert " ".join(shown[0].split()) == "change title state price booked h final h"
    assert "to look into  what, worst first" in shown
    risk = "CR2           instructed price open; days not stated; exposure 5.00 h"
    assert risk in shown

    assert "completion date: - (the job has no completion_date)" in shown


def test_one_change_is_shown_with_its_life(built: Yard) -> None:
    """Its events by the day, its prices line by line, its hours by week and trade."""
    words = ("show", "change", "cr1", "--job", JOB, "--status-date", "2026-03-20")
    shown = built.json(*words)
    text = built.run(*words).stdout
    [revision] = shown["prices"]

    assert [(row["day"], row["event"]) for row in shown["life"]] == [
        ("2026-03-09", "requested"),
        ("2026-03-11", "priced"),
        ("2026-03-12", "submitted"),
        ("2026-03-16", "approved"),
    ]
    assert sum(row["hours"] for row in shown["weeks"]) == shown["hours_booked"]
    assert sum(line["amount"] for line in revision["lines"]) == revision["price"] == shown["price"]
    assert "letter of 16 March" in text
    assert "time booked by week" in text


def test_only_hours_beyond_those_added_are_over_what_was_agreed(stage: Yard) -> None:
    """An omission without work is not over; 5 h on the 4 h that a substitution adds are.

    So are 5 h on the 4 h of work that is ordered and not approved.
    """
    freeze(stage)
    request(stage, "Q1", "Q2", "Q3")
    price(stage, "Q1,1,carpenter,-4,FRAME", "Q2,1,carpenter,4", "Q2,1,carpenter,-10,FRAME")
    price(stage, "Q3,1,carpenter,4")
    tell(stage, "Q1,approved,2026-03-04", "Q2,approved,2026-03-04", "Q3,instructed,2026-03-04")
    rows = "worker_id,date,hours,booking_code\nA1,2026-03-10,5,Q2\nB2,2026-03-10,5,Q3\n"
    stage.run("load", "sheets", "--job", JOB, stage.write("s.csv", rows))
    attention = {row["change"]: row["attention"] for row in listed(stage, "2026-03-20")["changes"]}

    assert attention["Q1"] == ["approval_without_reference"]
    assert set(attention["Q2"]) == {"over_agreed_hours", "approval_without_reference"}
    unwritten, unpriced = "instruction_unwritten", "instructed_price_open"
    assert set(attention["Q3"]) == {"over_agreed_hours", unwritten, unpriced}
