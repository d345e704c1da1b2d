"""The sample's fortnight: its differences are those that its files come to, and no others."""

import csv
import shlex
from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import Yard

SAMPLE = Path(__file__).resolve().parents[2] / "sample_data" / "payday"
README = (SAMPLE / "README.md").read_text(encoding="utf-8")
ASKED = ("--from", "2026-03-02", "--to", "2026-03-31")
KINDS = {
    **dict.fromkeys(("normal", "travel", "paid_break", "call_out_minimum"), "worked"),
    "leave": "paid_not_worked",
    "overtime_premium": "premium_only",
    "dirty_work": "allowance",
}
# Who, the last day of the period, and the kind of pay.
Key = tuple[str, str, str]


def rows(*names: str) -> Iterator[dict[str, str]]:
    for name in names:
        with (SAMPLE / name).open(encoding="utf-8") as file:
            yield from csv.DictReader(file)


def hours(text: str) -> Fraction:
    """Return hours written as 7.5 or 7:50."""
    whole, colon, minutes = text.partition(":")
    return Fraction(whole) + (Fraction(int(minutes), 60) if colon else 0)


def differences() -> dict[Key, Fraction]:
    """Return hours paid less hours booked, reckoned from the files alone; no zeros."""
    crew = {row["worker_id"]: row for row in rows("crew.csv")}
    paid: defaultdict[Key, Fraction] = defaultdict(Fraction)
    periods: dict[str, list[tuple[str, str]]] = {}
    for row in rows("payroll-week-10.csv", "payroll-week-11.csv", "supplier-hours.csv"):
        who = row.get("worker_id") or row["supplier"]
        kind = KINDS[row.get("pay_class", "normal")]
        paid[who, row["period_end"], kind] += hours(row["hours"])
        periods.setdefault(who, []).append((row["period_start"], row["period_end"]))
    for row in rows("sheets-week-10.csv", "sheets-late.csv", "sheets-week-11.csv"):
        who = row["worker_id"]
        charged = crew[who]["supplier"]
        who = charged if charged in periods else who
        kind = KINDS[row["pay_class"]]
        kind = "paid_not_worked" if row["booking_code"] == "LEAVE" else kind
        own = [end for start, end in periods.get(who, []) if start <= row["date"] <= end]
        paid[who, own[0] if own else ASKED[3], kind] -= hours(row["hours"])
    for who, row in crew.items():
        if row["employment"] == "salaried":
            _add_contract(paid, who, row)
    return {key: value for key, value in paid.items() if value}


def _add_contract(paid: dict[Key, Fraction], who: str, row: dict[str, str]) -> None:
    """Add the hours of a contract; absence that is booked is paid out of them."""
    day, last, weekdays = date.fromisoformat(ASKED[1]), row["active_to"] or ASKED[3], 0
    while str(day) <= last:
        weekdays += day.isoweekday() <= 5
        day += timedelta(days=1)
    away = -paid[who, ASKED[3], "paid_not_worked"]
    paid[who, ASKED[3], "paid_not_worked"] += away
    contract = Fraction(row["contract_hours_per_week"]) * weekdays / 5
    paid[who, ASKED[3], "worked"] += contract - away


def expected_reasons() -> dict[Key, str]:
    """Return the reason of each difference, as the sample's page has them."""
    table = README.partition("## What to expect")[2]
    cells = [[cell.strip() for cell in line.split("|")[1:-1]] for line in table.splitlines()]
    found = (row for row in cells if len(row) == 6 and row[0].isdigit())
    return {(who, end, kind): reason for who, end, kind, _, reason, _ in found}


def build(yard: Yard) -> None:
    """Load the sample by the commands of its page."""
    block = README.partition("```sh\n")[2].partition("```")[0]
    for _, *words in map(shlex.split, block.splitlines()):
        files = [str(SAMPLE / w) if w.endswith((".csv", ".toml")) else w for w in words]
        if words != ["new"]:
            yard.run(*files)


def key_of(row: Any) -> Key:
    return row["worker_id"] or row["supplier"], row["period_end"], row["kind"]


@pytest.mark.slow
def test_exactly_the_differences_of_the_files_are_found(yard: Yard) -> None:
    """Every difference is found with its reason, nothing else is, and all can be signed off."""
    yard.copy_made_by(build)
    found = yard.json("reconciliation", *ASKED, "--exact")["rows"]
    apart = {
        key_of(row): Fraction(int(row["exact"]["difference_ms"]["ms"]), 3_600_000)
        for row in found
        if row["difference_hours"]
    }
    reasons = {
        key_of(row): ", ".join(each["reason"] for each in row["reasons"])
        or ("allowance" if row["settled"] else "unexplained")
        for row in found
        if row["difference_hours"]
    }
    yard.run("sign", "off", *ASKED, "--reason", "cleared with payroll")
    after = yard.json("reconciliation", *ASKED)["rows"]

    assert apart == differences()
    assert reasons == expected_reasons()
    assert {reason for row in found for reason in (e["reason"] for e in row["reasons"])} == {
        *("rounding", "leave", "late_sheet", "other_job", "premium_hours", "missing_sheet"),
        *("banked_hours", "call_out_minimum", "travel", "paid_break", "period_cut", "unpaid"),
    }
    assert sum(not row["settled"] for row in found) == 6
    assert all(row["settled"] and row["signed_by"] == "Tester" for row in after)
