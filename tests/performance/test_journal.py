"""The labour journal: jobs, overhead and absence against labour, by posting period."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.domain.journal import Kind, WorkedTime, journal_lines
from tests._stage import JOB, SHEET_HEAD, load_sheets
from tests.conftest import Yard

SETTINGS = """
[overhead]
TIDY = "clean_up"

[absence]
HOL = "annual_leave"

[accounts]
work_in_progress = "1410"
labour_recovered = "5900"
leave_in_rate = "{0}"
"""
MARCH_8 = ("close", "period", "--to", "2026-03-08")


def begun(yard: Yard) -> Yard:
    """A week of a lead carpenter at 36.00: 8 h on a job, 2 h overhead, 8 h leave; then closed."""
    yard.run("load", "settings", yard.write("more.toml", SETTINGS.format("no")))
    lines = ("A1,2026-03-03,8,DECK,", "A1,2026-03-04,2,TIDY,", "A1,2026-03-05,8,HOL,")
    load_sheets(yard, SHEET_HEAD + "\n".join(lines) + "\n", "first.csv")
    yard.run(*MARCH_8)
    return yard


def lines(yard: Yard, *words: str) -> list[tuple[Any, ...]]:
    journal = yard.json("journal", *words)
    assert journal["debit"] == journal["credit"]
    names = ("account", "job", "is_late", "hours", "debit", "credit")
    return [tuple(each[name] for name in names) for each in journal["lines"]]


def test_a_journal_debits_jobs_overhead_and_absence_and_credits_labour(stage: Yard) -> None:
    """8 h, 2 h and 8 h at 36.00 are 288, 72 and 288, against 648 of labour recovered."""
    begun(stage)

    assert lines(stage, "--to", "2026-03-08") == [
        ("1410", JOB, False, 8, 288, 0),
        ("overhead", None, False, 2, 72, 0),
        ("absence", None, False, 8, 288, 0),
        ("5900", None, False, 18, 0, 648),
    ]


@pytest.mark.slow
def test_late_hours_are_in_the_period_in_which_they_were_recorded(stage: Yard) -> None:
    """5 h late and a reversal are marked in the open period; the closed one is as it was."""
    begun(stage)
    closed = lines(stage, "--to", "2026-03-08")
    more = "A1,2026-03-06,5,DECK,\nB2,2026-03-10,4,DECK,\n"
    load_sheets(stage, SHEET_HEAD + more, "late.csv")
    entry = next(e for e in stage.json("entries", "--worker", "A1") if e["hours"] == 2)["entry"]
    stage.run("reverse", "entry", entry, "--reason", "not theirs")

    assert lines(stage, "--to", "2026-03-15") == [
        ("1410", JOB, False, 4, 72, 0),
        ("1410", JOB, True, 5, 180, 0),
        ("overhead", None, True, -2, 0, 72),
        ("5900", None, False, 7, 0, 180),
    ]
    assert lines(stage) == lines(stage, "--to", "2026-03-15")
    assert lines(stage, "--to", "2026-03-08") == closed


@pytest.mark.slow
def test_absence_is_nil_where_the_rate_holds_the_leave(stage: Yard) -> None:
    """Its hours are listed, at no cost."""
    begun(stage)
    stage.run("load", "settings", stage.write("more.toml", SETTINGS.format("yes")))
    load_sheets(stage, f"{SHEET_HEAD}A1,2026-03-09,8,HOL,\n", "later.csv")

    assert lines(stage) == [
        ("absence", None, False, 8, 0, 0),
        ("5900", None, False, 8, 0, 0),
    ]


@pytest.mark.slow
def test_a_journal_that_cannot_be_made_says_why(stage: Yard) -> None:
    """With nothing booked, within a closed period, and without a rate."""
    empty = stage.run("journal", ok=False).stderr
    begun(stage)
    within = stage.run("journal", "--to", "2026-03-04", ok=False).stderr
    crew = "worker_id,name,trade,grade\nZ1,New,rigger,\n"
    stage.run("load", "crew", stage.write("crew.csv", crew))
    load_sheets(stage, f"{SHEET_HEAD}Z1,2026-03-09,8,DECK,\n", "z.csv")
    unrated = stage.run("journal", ok=False).stderr

    assert empty == "nothing is booked yet; there is no journal\n"
    assert within == "2026-03-04 is within a closed period; give its last day, 2026-03-08\n"
    assert (
        unrated == "worker Z1 has no rate on 2026-03-09; `fairhours load rates`, then try again\n"
    )


KINDS: tuple[Kind, ...] = ("work_in_progress", "overhead", "absence", "untagged")
WORKED = st.builds(
    WorkedTime,
    st.sampled_from(KINDS),
    st.just(None),
    st.just(None),
    st.booleans(),
    st.integers(-(10**9), 10**9),
    st.integers(-(10**18), 10**18),
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(WORKED), st.sampled_from([0, 2, 3]), st.booleans())
def test_debits_equal_credits_to_the_last_digit(
    worked: list[WorkedTime], places: int, leave_in_rate: bool
) -> None:
    """Whatever was worked, in any currency; no line has both sides, none is below nothing."""
    accounts = dict.fromkeys((*map(str, KINDS), "labour_recovered"), "A")
    found = journal_lines(worked, accounts, places, leave_in_rate=leave_in_rate)

    assert sum((each.debit - each.credit for each in found), Decimal(0)) == 0
    assert all(each.debit >= 0 and each.credit >= 0 for each in found)
    assert not any(each.debit and each.credit for each in found)
    assert not any(each.debit.is_signed() or each.credit.is_signed() for each in found)
    assert not any(
        each.debit or each.credit for each in found if leave_in_rate and each.kind == "absence"
    )
