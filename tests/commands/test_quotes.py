"""Quotes of changes: what they would cost, be charged at, take and delay; nothing is written."""

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests._stage import JOB, SAMPLE, batches, load, load_sheets
from tests.conftest import Yard
from tests.inputs._moves import freeze

HEAD = "price_kind,description,trade,hours,quantity,unit_price,work_package,addition_percent\n"
OAK = (
    f"{HEAD}labour,Bench,carpenter,20,,,,\nlabour,Less deck,carpenter,-10,,,DECK,\n"
    "material,Oak,,,10,45.00,,15\n"
)
LARCH = OAK.replace("45.00", "30.00").replace(",20,", ",14,")
DAY = ("--status-date", "2026-03-29")
KEY_DATE = '\n[[key_dates]]\nname = "Deck laid"\ndate = 2026-04-03\npackages = ["DECK"]\n'


def quoted(yard: Yard, *words: object) -> Any:
    """Return quotes as JSON."""
    return yard.json("quote", "change", "--job", JOB, *words)


def files(yard: Yard, **texts: str) -> list[object]:
    """Return the options that name files of lines, written from their texts."""
    paths: list[Path] = [yard.write(f"{name}.csv", text) for name, text in texts.items()]
    return [word for path in paths for word in ("--lines", path)]


@pytest.fixture
def job(stage: Yard) -> Yard:
    """The sample's job, frozen, with charge rates, a key date and 16 h of a carpenter a week."""
    card = (SAMPLE / "job.toml").read_text(encoding="utf-8")
    stage.run("load", "job", stage.write("job.toml", f"{card}{KEY_DATE}"))
    load(stage, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(stage)
    days = (2, 3, 9, 10, 16, 17, 23, 24)
    rows = "".join(f"A1,2026-03-{day:02},8,DECK,\n" for day in days)
    load_sheets(stage, f"worker_id,date,hours,booking_code,note\n{rows}")
    return stage


def test_two_quotes_stand_side_by_side_and_write_nothing(job: Yard) -> None:
    """Lines of two files: cost, charge, margin, mark-up, hours, people, days and key dates."""
    before = batches(job)
    oak, larch = quoted(job, *files(job, oak=OAK, larch=LARCH), *DAY)["quotes"]

    # 20 h - 10 h at 60.00, 10 x 45.00 with 15 %; cost 10 h at 30.00 and 450.00.
    assert (oak["price"], oak["cost"]) == (Decimal("1117.50"), Decimal("750.00"))
    # 367.50 is 32.89 % of the price and 49.00 % of the cost.
    assert (oak["margin"], oak["margin_percent_of_price"], oak["mark_up_percent_on_cost"]) == (
        *(Decimal("367.50"), Decimal("32.89"), Decimal("49.00")),
    )
    # 10 h priced 600.00 cost 300.00.
    assert oak["profit_omitted"] == 300
    assert larch["price"] == Decimal("585.00")
    assert oak["hours"] == [
        {
            "trade": "carpenter",
            "added_hours": 20,
            "omitted_hours": 10,
            "people": 1,
            "hours_a_week": 16,
            "weeks": Decimal("0.625000"),
        }
    ]
    # 0.625 weeks of 5 days are 3.125 days, so 4 after Sunday 29 March.
    assert (oak["days"], oak["finish_before"], oak["finish"]) == (4, "2026-03-29", "2026-04-02")
    # 80 h of DECK to go; a week of 16 h until Friday; 20 h more and 10 h of DECK less.
    assert oak["key_dates"] == [
        {
            "name": "Deck laid",
            "date": "2026-04-03",
            "hours_to_go": 80,
            "hours_added": 10,
            "hours_at_this_pace": 16,
            "short_hours": 64,
            "short_hours_with_change": 74,
        }
    ]
    assert batches(job) == before


def test_a_saturday_of_half_the_crew_is_half_a_day(stage: Yard) -> None:
    """A week of five days and a half: pace, days, finish and what a key date reaches go by it."""
    card = (SAMPLE / "job.toml").read_text(encoding="utf-8")
    five = 'working_week = ["mon", "tue", "wed", "thu", "fri"]'
    week = "working_week = {mon = 1, tue = 1, wed = 1, thu = 1, fri = 1, sat = 0.5}"
    reach = KEY_DATE.replace("2026-04-03", "2026-04-04")
    stage.run("load", "job", stage.write("job.toml", f"{card.replace(five, week)}{reach}"))
    load(stage, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(stage)
    days = (2, 3, 9, 10, 16, 17, 23, 24)
    rows = "".join(f"A1,2026-03-{day:02},8,DECK,\n" for day in days)
    load_sheets(stage, f"worker_id,date,hours,booking_code,note\n{rows}")
    [oak] = quoted(stage, *files(stage, oak=OAK.replace(",20,", ",26,")), *DAY)["quotes"]

    # 16 h net at 16 h a week: a week of 5.5 days, so 6: to Saturday 5.5 of them, so to Monday.
    assert (oak["days"], oak["finish"]) == (6, "2026-04-06")
    # Until that Saturday 5.5 of 5.5 days of 16 h.
    assert oak["key_dates"][0]["hours_at_this_pace"] == 16


@pytest.mark.slow
def test_the_table_names_margin_and_mark_up_apart_and_its_rule(job: Yard) -> None:
    """The table says what is an estimate, by which rule, and what goes with an omission."""
    words = ("quote", "change", "--job", JOB, *files(job, oak=OAK), *DAY)
    out = " ".join(job.run(*words).stdout.split())

    assert "margin, % of price 32.89 mark-up, % on cost 49.00" in out
    assert (
        "oak.csv: the hours it takes out are priced 300.00 above their cost; that profit goes "
        "with them "
    ) in out
    assert "finish at the present pace, an estimate " in out
    assert "means of the four weeks 2026-03-02 to 2026-03-29, booked to this job" in out


@pytest.mark.slow
def test_a_change_is_quoted_at_its_own_price(job: Yard) -> None:
    """A priced change beside another set of lines for it; an approved one takes no more days."""
    load(job, "changes", "change,title,requested_by,requested_on,change_basis\n"
                         "CR1,Bench,Jonna,2026-03-09,fixed_price\n")  # fmt: skip
    load(job, "change-lines", f"change,{OAK}".replace("\nl", "\nCR1,l").replace("\nm", "\nCR1,m"))
    own, larch = quoted(job, "CR1", *files(job, larch=LARCH), *DAY)["quotes"]

    assert (own["quote"], own["price"], own["days"]) == ("CR1", Decimal("1117.50"), 4)
    assert (larch["change"], larch["price"]) == ("CR1", Decimal("585.00"))

    event = "change,event,date,person,reference\nCR1,approved,2026-03-20,Jonna,letter\n"
    load(job, "change-events", event)
    taken_out = f"{HEAD}labour,Less deck,carpenter,-10,,,DECK,\n"
    approved, less = quoted(job, "CR1", *files(job, less=taken_out), *DAY)["quotes"]
    assert (less["margin"], less["margin_percent_of_price"]) == (-300, None)
    assert less["undefined"] == {
        "margin_percent_of_price": "the price is not above 0",
        "mark_up_percent_on_cost": "the cost is not above 0",
    }
    assert (approved["in_forecast"], approved["days"]) == (True, 0)


@pytest.mark.slow
def test_what_is_not_known_is_said(job: Yard) -> None:
    """A trade without a cost rate, a charge rate or anybody there leaves its figure undefined."""
    lines = f"{HEAD}labour,Paint,painter,8,,,,\n"
    quote = quoted(job, *files(job, paint=lines), *DAY)["quotes"][0]

    assert (quote["price"], quote["cost"], quote["margin"], quote["days"]) == (None,) * 4
    assert quote["undefined"] == {
        "price": "painter has no charge rate on 2026-03-29",
        "cost": "painter has no cost rate on 2026-03-29",
        "days": "no hours of painter booked from 2026-03-02 to 2026-03-29",
    }


@pytest.mark.slow
def test_only_what_can_be_quoted_is(job: Yard) -> None:
    """Nothing named, a change without lines and a file of two changes are refused."""
    load(job, "changes", "change,title,requested_by,requested_on,change_basis\n"
                         "CR1,Bench,Jonna,2026-03-09,fixed_price\n")  # fmt: skip
    two = "change,price_kind,trade,hours\nA,labour,carpenter,1\nB,labour,carpenter,1\n"

    def said(*words: object) -> str:
        return job.run("quote", "change", "--job", JOB, *words, ok=False).stderr

    assert said() == "job STAGE: name a change, or give a file of price lines by --lines\n"
    assert said("CR1") == "job STAGE: CR1 has no price lines; give a file of them by --lines\n"
    assert said("CR9").startswith('job STAGE: there is no change "CR9"')
    assert said(*files(job, two=two)).splitlines()[0] == (
        "two.csv:3: another change than above; a quote is of one"
    )


def test_a_day_without_a_working_day_before_it_takes_the_week_of_the_job(job: Yard) -> None:
    """Before the calendar begins a week has as many days as the job's working week."""
    early = ("--status-date", "2024-12-31")

    [quote] = quoted(job, *files(job, oak=OAK), *early)["quotes"]

    # Nobody booked in these weeks: no hours are reached by then, and no days are known.
    assert [each["hours_at_this_pace"] for each in quote["key_dates"]] == [0]
    assert quote["days"] is None
