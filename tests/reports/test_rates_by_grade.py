"""Labour is charged by its grade's own rate, else by its trade's."""

import json
from datetime import date
from pathlib import Path

import pytest

from ledger.domain.pricing import ChargeRate, Labour, NoChargeRate, charge_on
from tests._stage import SAMPLE
from tests.conftest import Yard

RATES = """
    trade,grade,effective_from,charge_per_hour
    carpenter,,2026-01-01,60.00
    carpenter,lead,2026-01-01,72.00
    labourer,,2026-01-01,40.00
"""
LINES = """
    change,price_kind,description,trade,grade,hours
    CR1,labour,Scribing,carpenter,Lead,10
    CR1,labour,Fixing,carpenter,apprentice,10
    CR1,labour,Planing,carpenter,,10
"""
CHANGES = """
    change,title,requested_by,requested_on,change_basis
    CR1,Ladder,Jonna,2026-03-09,fixed_price
"""
EVENTS = """
    change,event,date,person
    CR1,submitted,2026-03-12,Ada
"""


def test_a_labour_line_is_charged_at_the_rate_of_its_grade(yard: Yard) -> None:
    """The owner reads the grade's own rate; a grade without one has its trade's."""
    yard.run("load", "job", SAMPLE / "job.toml")
    yard.run("load", "estimate", "--job", "STAGE", SAMPLE / "estimate.csv")
    yard.run("load", "milestones", "--job", "STAGE", SAMPLE / "milestones.csv")
    yard.run("freeze", "--job", "STAGE", "--on", "2026-02-23")
    for thing, text in {
        "charge-rates": RATES,
        "changes": CHANGES,
        "change-lines": LINES,
        "change-events": EVENTS,
    }.items():
        yard.run("load", thing, "--job", "STAGE", yard.write(f"{thing}.csv", text))
    out: Path = yard.folder / "page.json"
    words = ("--job", "STAGE", "--status-date", "2026-03-20", "--out", out)
    yard.run("report", "variations", *words)
    details = json.loads(out.read_text(encoding="utf-8"))["details"]
    lines = [line for each in details for line in each["lines"]]

    # 10 h x 72, 60 and 60
    shown = [
        tuple(line[name] for name in ("trade", "grade", "unit_price", "amount")) for line in lines
    ]
    assert shown == [
        ("carpenter", "lead", "72.0000", "720.00"),
        ("carpenter", "apprentice", "60.0000", "600.00"),
        ("carpenter", "", "60.0000", "600.00"),
    ]


KNOWN: dict[Labour, list[ChargeRate]] = {
    ("carpenter", None): [ChargeRate(date(2026, 1, 1), 600_000, batch=3)],
    ("carpenter", "lead"): [ChargeRate(date(2026, 3, 1), 720_000, batch=7)],
    ("joiner", "lead"): [ChargeRate(date(2026, 1, 1), 800_000, batch=3)],
}
LEAD: Labour = ("carpenter", "lead")
CASES = [
    (LEAD, date(2026, 3, 1), None, 720_000),
    (LEAD, date(2026, 2, 28), None, 600_000),  # the lead's own begins later
    (LEAD, date(2026, 3, 1), 7, 720_000),
    (LEAD, date(2026, 3, 1), 5, 600_000),  # offered before the lead's own was recorded
    (LEAD, date(2026, 3, 1), 2, 720_000),  # offered before any was: a gap is filled
    (("carpenter", "apprentice"), date(2026, 3, 1), None, 600_000),
    (("carpenter", None), date(2026, 3, 1), None, 600_000),
]


@pytest.mark.parametrize(("labour", "day", "offered", "rate"), CASES)
def test_the_grades_own_rate_counts_before_the_trades(
    labour: tuple[str, str | None], day: date, offered: int | None, rate: int
) -> None:
    """The grade's own rate counts from its day, and not on what was offered before it was known."""
    assert charge_on(KNOWN, labour, day, offered) == rate


def test_a_trade_without_a_rate_of_its_own_is_not_charged_at_a_grades() -> None:
    """A rate of one grade says nothing of the whole trade."""
    with pytest.raises(NoChargeRate):
        charge_on(KNOWN, ("joiner", None), date(2026, 3, 1))


@pytest.mark.slow
def test_daywork_within_a_graded_estimate_has_nothing_to_sign(yard: Yard) -> None:
    """Hours worked are set against the estimate of their trade, whatever grade it names."""
    for thing, name in (("job", "job.toml"), ("crew", "crew.csv")):
        yard.run("load", thing, SAMPLE / name)
    for thing in ("estimate", "milestones"):
        yard.run("load", thing, "--job", "STAGE", SAMPLE / f"{thing}.csv")
    yard.run("freeze", "--job", "STAGE", "--on", "2026-02-23")
    for thing, text in {
        "charge-rates": RATES,
        "changes": CHANGES.replace("fixed_price", "daywork"),
        "change-lines": "change,price_kind,description,trade,grade,hours\n"
        "CR1,labour,Scribing,carpenter,lead,10\n",
        "change-events": EVENTS + "    CR1,approved,2026-03-13,Jonna\n",
        "sheets": "sheet,worker_id,date,hours,booking_code\nS1,A1,2026-03-16,6,CR1\n",
    }.items():
        yard.run("load", thing, "--job", "STAGE", yard.write(f"{thing}.csv", text))
    out = yard.folder / "page.json"
    words = ("--job", "STAGE", "--status-date", "2026-03-20", "--out", out)
    yard.run("report", "variations", *words)

    # 6 h of the 10 h that the owner was told of.
    assert json.loads(out.read_text(encoding="utf-8"))["open_matters"] == []
