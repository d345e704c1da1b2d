"""Of any book and any payroll, paid is booked and the difference, and no hour is lost."""

from collections import defaultdict
from datetime import date, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.conftest import Yard, slow_case
from tests.payroll._paid import begin, paid, reconciled, sheets

MONDAY = date(2026, 3, 2)
CODES = ("SHOP", "LEAVE", "NOWHERE")
CLASSES = ("normal", "leave", "overtime_premium", "travel", "allowance")
# Periods that cut weeks and cover April's first days too; some days are in none.
PERIODS = ((0, 6), (7, 9), (10, 20), (24, 30))
ENTRIES = st.lists(
    st.tuples(
        st.sampled_from(("H1", "H2", "S1", "G1", "G2")),
        st.integers(0, 29),
        st.integers(1, 12 * 60),
        st.sampled_from(CODES),
        st.sampled_from(("", "overtime_premium", "travel")),
    ),
    min_size=1,
    max_size=25,
)
PAID = st.lists(
    st.tuples(
        st.sampled_from(("H1", "H2", "S1")),
        st.sampled_from(PERIODS),
        st.sampled_from(CLASSES),
        st.integers(-600, 4800),
    ),
    max_size=12,
    unique_by=lambda row: row[:3],
)


def day(number: int) -> date:
    return MONDAY + timedelta(days=number)


def clock(minutes: int) -> str:
    sign = "-" if minutes < 0 else ""
    return f"{sign}{abs(minutes) // 60}:{abs(minutes) % 60:02}"


@pytest.mark.slow
@pytest.mark.parametrize("examples", [slow_case(10)])
def test_paid_is_booked_and_the_difference(
    tmp_path_factory: pytest.TempPathFactory, examples: int
) -> None:
    """Row by row and in all, to the ms; ranges that follow each other show each hour once."""

    @settings(max_examples=examples, deadline=None, suppress_health_check=list(HealthCheck))
    @given(entries=ENTRIES, lines=PAID, late=ENTRIES)
    def holds(entries: list, lines: list, late: list) -> None:
        yard = Yard(tmp_path_factory.mktemp("random"))
        yard.copy_made_by(begin)
        rows = [
            [f"{who},{day(n)},{clock(m)},{code},,{cls}" for who, n, m, code, cls in part]
            for part in (entries, late)
        ]
        sheets(yard, *rows[0])
        if lines:
            paid(yard, *(f"{w},{day(a)},{day(b)},{c},{clock(m)}" for w, (a, b), c, m in lines))
        sheets(yard, *rows[1], name="late.csv")
        found = [
            *yard.json("reconciliation", "--from", day(0), "--to", day(30), "--exact")["rows"],
        ]
        for row in found:
            exact = {name: each["ms"] for name, each in row["exact"].items()}
            assert exact["paid_ms"] == exact["booked_ms"] + exact["difference_ms"]
            owed = {"unpaid", "late_sheet", "missing_sheet"} & {
                each["reason"] for each in row["reasons"]
            }
            assert row["settled"] or row["unexplained_hours"] or owed
        kept = yard.json("show", "entry")
        assert sum(row["exact"]["booked_ms"]["ms"] for row in found) == sum(
            each["ms"] for each in kept
        )
        by_worker: dict[str, int] = defaultdict(int)
        for who, _, _, minutes in lines:
            by_worker[who] += minutes * 60_000
        assert {
            who: sum(r["exact"]["paid_ms"]["ms"] for r in found if r["worker_id"] == who)
            for who in by_worker
            if who != "S1"
        } == {who: ms for who, ms in by_worker.items() if who != "S1"}

    holds()


def test_a_range_shows_each_period_that_ends_in_it(yard: Yard) -> None:
    """A period that goes beyond the range stands in the next."""
    yard.copy_made_by(begin)
    sheets(yard, "H1,2026-03-30,8,SHOP")
    paid(yard, "H1,2026-03-28,2026-04-03,normal,8")
    march = [row for row in reconciled(yard)["rows"] if row["worker_id"] == "H1"]
    april = [
        row["booked_hours"]
        for row in reconciled(yard, "2026-04-01", "2026-04-30")["rows"]
        if row["worker_id"] == "H1"
    ]

    assert (march, april) == ([], [8])
