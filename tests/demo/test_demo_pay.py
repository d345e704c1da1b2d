"""The demo yard's pay: its differences are those of the files, and the round trip signs all off."""

import csv
import shutil
from collections import defaultdict
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from ledger.domain.pay import REASONS
from tests.conftest import Yard
from tests.demo import _pay, _replay
from tests.demo._reckon_files import MS_AN_HOUR, Files, day_of
from tests.demo._reckon_schedule import loads_of
from tests.demo._reckon_sheets import Sheets

pytestmark = pytest.mark.slow

README = (_replay.SAMPLE / "README.md").read_text(encoding="utf-8")
KINDS = {
    **dict.fromkeys(("leave", "sick", "public_holiday"), "paid_not_worked"),
    "overtime_premium": "premium_only",
}
# Worker, the last day of the month, and the kind of pay.
Key = tuple[str, str, str]


def differences() -> dict[Key, Fraction]:
    """Return hours paid less hours booked, reckoned from the files alone; no zeros."""
    files = Files(loads_of(_replay.SAMPLE))
    away = {code.upper() for code in files.settings["absence"]}
    found: defaultdict[Key, Fraction] = defaultdict(Fraction)
    for month, (first, last, _) in _pay.MONTHS.items():
        with (_replay.SAMPLE / f"yard/payroll-{month}.csv").open(encoding="utf-8") as file:
            for row in csv.DictReader(file):
                kind = KINDS.get(row["pay_class"], "worked")
                found[row["worker_id"], str(last), kind] += Fraction(row["hours"])
        for line in Sheets(files).lines:
            day = None if line.held else day_of(line.row["date"].strip())
            if day and first <= day <= last:
                code = line.row["booking_code"].strip().upper()
                kind = "paid_not_worked" if code in away else "worked"
                found[line.row["worker_id"].strip(), str(last), kind] -= Fraction(
                    line.ms, MS_AN_HOUR
                )
    return {key: hours for key, hours in found.items() if hours}


def expected() -> dict[Key, tuple[str, str]]:
    """Return the difference and the reason of each row, as the sample's page has them."""
    table = README.partition("## What was paid")[2].partition("\n## ")[0]
    cells = [[cell.strip() for cell in line.split("|")[1:-1]] for line in table.splitlines()]
    rows = (row for row in cells if len(row) == 6 and row[0].isdigit())
    return {(who, end, kind): (hours, reason) for who, end, kind, hours, reason, _ in rows}


def reconciled(yard: Yard) -> list[dict[str, Any]]:
    """Return the rows of both months."""
    return [
        row
        for first, last, _ in _pay.MONTHS.values()
        for row in yard.json("reconciliation", "--from", first, "--to", last, "--exact")["rows"]
    ]


def key_of(row: dict[str, Any]) -> Key:
    return row["worker_id"], row["period_end"], row["kind"]


def test_exactly_the_differences_of_the_files_are_found(demo_book: Yard, tmp_path: Path) -> None:
    """Each has its reason, every reason occurs, and signing off with a reason settles the rest."""
    found = {key_of(row): row for row in reconciled(demo_book)}
    apart = {
        key: Fraction(int(row["exact"]["difference_ms"]["ms"]), MS_AN_HOUR)
        for key, row in found.items()
        if row["difference_hours"]
    }
    reasons = {
        key: ", ".join(each["reason"] for each in found[key]["reasons"]) or "unexplained"
        for key in apart
    }
    own = Yard(tmp_path)
    shutil.copy(demo_book.book, own.book)
    days = [(first, last) for first, last, _ in _pay.MONTHS.values()]
    for first, last in days:
        asked = ("sign", "off", "--from", first, "--to", last, "--reason", "cleared with payroll")
        own.run("--recorded-at", f"2026-11-05T{first:%m}:00:00+00:00", *asked)
    after = reconciled(own)

    assert apart == differences()
    assert {key: Fraction(hours) for key, (hours, _) in expected().items()} == apart
    assert {key: reason for key, (_, reason) in expected().items()} == reasons
    assert {*reasons.values()} == {*REASONS, "unexplained"} - {"attendance"}
    assert {key for key, row in found.items() if not row["settled"]} == {
        key for key, reason in reasons.items() if reason in ("unexplained", "unpaid")
    }
    assert all(row["settled"] and row["signed_by"] for row in after)
