"""How far the forecasts of the demo yard's jobs were out, at every tenth week."""

from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import pytest

from ledger.domain.allocation import to_places
from ledger.performance.basis import Scope
from ledger.performance.forecast_range import forecast_range
from ledger.performance.measure import Measured, row_of
from ledger.store.book import Book, open_book
from tests.conftest import Yard

pytestmark = pytest.mark.slow

MANUAL = Path(__file__).parents[2] / "ledger" / "manual" / "earned-value.md"
# The first Monday, the weeks, and the day on which the last figures are of.
JOBS = {
    "FERRY": (date(2026, 1, 12), (10, 20, 30, 40), date(2026, 11, 1)),
    "SEDGE": (date(2026, 1, 19), (10, 20), date(2026, 6, 28)),
}
HEAD = ["job", "week", "earned, %", "forecast", "low", "high"]


def errors(book: Book, job: str) -> Iterator[list[str]]:
    """Yield a row of the manual's table for each tenth week of a job."""
    monday, weeks, last = JOBS[job]
    final = Measured(book, job, Scope(last, original=True)).eac
    for week in weeks:
        end = monday + timedelta(days=7 * week - 1)
        then = book.known_by(book.last_by(end + timedelta(days=2)))
        measured = Measured(then, job, Scope(end, original=True))
        told = forecast_range(measured)
        assert told is not None
        assert told.spread is not None
        earned = row_of(list(measured.cells.values())).figures["percent_complete"]
        ends = (told.eac, told.spread.low, told.spread.high)
        out = [Fraction(amount * 100, final) - 100 for amount in ends]
        yield [job, str(week), *(str(to_places(each or 0, 1)) for each in (earned, *out))]


def test_the_manual_says_how_far_forecasts_were_out(demo_book: Yard) -> None:
    """The errors at every tenth week, by the book as it was then, are those of the manual."""
    with open_book(demo_book.book) as book:
        rows = [row for job in JOBS for row in errors(book, job)]
    table = MANUAL.read_text(encoding="utf-8").split("<!-- back-test -->\n")[1].split("\n\n")[0]
    printed = [[cell.strip() for cell in line.strip("|").split("|")] for line in table.split("\n")]

    assert printed[0] == HEAD
    assert printed[2:] == rows
