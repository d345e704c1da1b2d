"""A number is never lost and never given twice, whoever dies or issues at the same time."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.billing._job import claimed
from tests.conftest import Yard
from tests.documents._killed import POINTS, points
from tests.documents._office import Office

ROOT = Path(__file__).resolve().parents[2]
TRIALS = 50
ISSUE = """
import sys
from typer.testing import CliRunner
from ledger.cli.program import app
book, name = sys.argv[1:]
for number in range(4):
    words = ("issue", "quotation", "--job", "STAGE", "CR2", "--out", f"{book}.{name}{number}.html")
    result = CliRunner().invoke(app, ["--book", book, "--wait", "60", *words])
    assert result.exit_code == 0, result.stderr
"""


def ended(*command: str) -> list[list[str]]:
    """Return what a program that is killed again and again says: the point, and what ended it."""
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    return [line.split() for line in done.stdout.splitlines()]


def expected(count: int) -> list[str]:
    return [f"STAGE-Q-{number:03}" for number in range(1, count + 1)]


@pytest.mark.slow
def test_no_number_is_lost_or_doubled_when_the_program_is_killed(office: Office) -> None:
    """Killed 50 times between number and bytes, only what was committed is there, in one line.

    Of the points at which it dies only the last is after the commit.
    """
    command = [sys.executable, "-m", "tests.documents._killed", str(office.book), str(TRIALS)]
    trials = ended(*command, "quotation")
    committed = sum(1 for point, _ in trials if point == "after")

    assert [point for point, _ in trials] == [POINTS[n % len(POINTS)] for n in range(TRIALS)]
    assert {signal for _, signal in trials} == {"9"}
    assert committed == TRIALS // len(POINTS)
    assert office.numbers() == expected(committed)
    office.run("check")


@pytest.mark.slow
def test_no_invoice_is_lost_or_issued_twice_when_the_program_is_killed(yard: Yard) -> None:
    """Killed 50 times between drafting and issuing, its number and lines are there or not at all.

    Only the last trial dies after the commit.
    """
    job = claimed(yard, "10000.00")
    job.claim_to("2026-02-27", "base 50")
    command = (sys.executable, "-m", "tests.documents._killed", str(yard.book))
    trials = ended(*command, str(TRIALS), "invoice")

    assert [tuple(each) for each in trials] == [(each, "9") for each in points(TRIALS, "invoice")]
    assert {point for point, _ in trials} == {*POINTS}
    assert job.amounts() == [("INV-0001", 5000, 6050)]
    yard.run("check")


@pytest.mark.slow
def test_two_who_issue_at_once_have_different_numbers(office: Office) -> None:
    """Two processes that issue four documents each give eight numbers, each page its own."""
    command = [sys.executable, "-c", ISSUE, str(office.book)]
    both = [subprocess.Popen([*command, name], cwd=ROOT) for name in ("a", "b")]
    codes = [process.wait(timeout=300) for process in both]
    pages = [path.read_text(encoding="utf-8") for path in office.folder.glob("book.duckdb.*.html")]
    numbers = expected(8)

    assert codes == [0, 0]
    assert office.numbers() == numbers
    assert sorted(next(n for n in numbers if n in page) for page in pages) == numbers
    office.run("check")
