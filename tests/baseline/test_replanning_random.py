"""Whatever baseline changes bring, what is earned and booked to date stays."""

import contextlib
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests._stage import JOB, SAMPLE, load_sheets, prepare, table
from tests.baseline._replans import by_package, deck, under
from tests.conftest import Yard
from tests.inputs._moves import HOUR, measure, with_contingency
from tests.inputs._rederived import differences

FIRST = date(2026, 3, 9)
CHANGE = st.fixed_dictionaries(
    {
        "day": st.integers(0, 18),
        "hours": st.integers(-9, 9),
        "technique": st.sampled_from(
            ["units_complete", "percent_complete", "level_of_effort", "fixed_formula"]
        ),
        "quantity": st.integers(20, 60),
        "finish": st.integers(20, 40),
        "measured": st.integers(0, 40),
        # Without a day off the calendar stays, with packages or without them.
        "days_off": st.lists(st.integers(0, 30), max_size=4, unique=True),
        "is_replanned": st.booleans(),
    }
)


@pytest.mark.slow
@pytest.mark.parametrize("examples", [5])
def test_what_is_earned_and_booked_stays_whatever_is_changed(
    examples: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """After any baseline changes EV and AC of the change's day and of every day before it stay.

    So does what was planned, but for hours added on the day itself. Worked out again from the
    facts alone, budgets and plans are as they were posted. The control accounts with what is
    undistributed are the baseline (PMB), which with contingency is the contract budget base.
    """

    @settings(
        max_examples=examples,
        deadline=None,
        suppress_health_check=list(HealthCheck),
        derandomize=True,
    )
    @given(st.lists(CHANGE, min_size=1, max_size=2))
    def run(changes: list[dict[str, Any]]) -> None:
        yard = Yard(tmp_path_factory.mktemp("random"))
        yard.copy_made_by(_under_way)
        base = _budget_base(yard)
        for number, change in enumerate(sorted(changes, key=lambda each: each["day"]), start=1):
            taken.append(_changed(yard, f"N{number}", change))
        yard.run("check")
        assert differences(yard) == {}
        assert _budget_base(yard) == base
        calendars.append(len(table(yard, "replanned_calendar")))

    taken: list[bool] = []
    calendars: list[int] = []
    run()

    assert sum(taken) > len(taken) / 3
    assert sum(calendars) > 1


def _under_way(yard: Yard) -> None:
    prepare(yard)
    with_contingency(yard)
    head = "worker_id,date,hours,booking_code,note\n"
    load_sheets(yard, head + "".join(f"A1,2026-03-{day},9,DECK,\n" for day in (10, 11, 19)))


def _changed(yard: Yard, name: str, change: dict[str, Any]) -> bool:
    """Measure the deck and change its baseline; return whether the change is taken.

    EV and AC to date are the same before and after. What was planned by then stays too: more may
    be planned on the day, and more hours than are planned after it do not go. Hours that only cover
    what is over do not come.
    """
    day = FIRST + timedelta(days=change["day"])
    facts = {"quantity_done": str(change["measured"]), "percent": str(change["measured"])}
    measure(yard, "DECK", str(day), **facts)
    seen = [day, day - timedelta(days=1), day - timedelta(days=4)]
    before = [_earned(yard, each) for each in seen]
    planned = [_planned(yard, each) for each in seen]
    budgeted, _, earned, booked = by_package(yard, str(day))["DECK"]
    later = budgeted - planned[0]
    budget = Decimal(
        sum(int(r["ms"]) for r in table(yard, "budget_posting") if r["part"] == "DECK")
    )
    rows = deck(
        technique=change["technique"],
        quantity=str(change["quantity"]),
        budget_hours=str(budget / HOUR + change["hours"]),
        planned_finish=str(FIRST + timedelta(days=change["finish"])),
        start_share="0.25",
    )
    if change["is_replanned"]:
        under(yard, name, rows)
    if change["days_off"]:
        _calendar(yard, name, change["days_off"])
    hours = change["hours"]
    moves = [("DECK", "carpenter", hours), ("contingency", "", -hours)]
    text = "name,date,person,reference,work_package,trade,hours\n" + "".join(
        f"{name},{day},Ada Brunt,minutes,{part},{trade},{ms}\n" for part, trade, ms in moves
    )
    path = yard.write("changes.csv", text)
    # Refused when it takes earned hours, or adds to what is complete.
    with contextlib.suppress(AssertionError):
        yard.run("load", "baseline-changes", "--job", JOB, path)
    assert [_earned(yard, each) for each in seen] == before
    assert [_planned(yard, each) for each in seen[1:]] == planned[1:]
    assert _planned(yard, day) >= planned[0]
    is_taken = any(each["name"] == name for each in table(yard, "baseline_change"))
    assert not (is_taken and -hours > later)
    assert not (is_taken and hours > 0 and booked > earned and not change["is_replanned"])
    return is_taken


def _calendar(yard: Yard, name: str, days_off: list[int]) -> None:
    """Load the job with days off under a baseline change."""
    days = ", ".join(str(FIRST + timedelta(days=day)) for day in days_off)
    text = (SAMPLE / "job.toml").read_text(encoding="utf-8")
    path = yard.write("job.toml", text.replace("days_off = []", f"days_off = [{days}]"))
    yard.run("load", "job", "--baseline-change", name, path)


def _budget_base(yard: Yard) -> Decimal:
    """Return all that is budgeted; the rows of the control accounts add to the baseline."""
    asked = ("performance", "--job", JOB, "--status-date", str(FIRST + timedelta(days=60)))
    whole = {row["key"]: row["bac"] for row in yard.json(*asked)["rows"]}
    accounts = {
        row["key"]: row["bac"] for row in yard.json(*asked, "--by", "control-account")["rows"]
    }

    assert len(accounts) > len(whole)
    assert sum(accounts.values()) - accounts.get("contingency", 0) == whole[JOB]
    return Decimal(sum(int(row["ms"]) for row in table(yard, "budget_posting")))


def _earned(yard: Yard, day: date) -> dict[str, tuple[Decimal, ...]]:
    return {key: figures[2:] for key, figures in by_package(yard, str(day)).items()}


def _planned(yard: Yard, day: date) -> Decimal:
    return by_package(yard, str(day))["DECK"][1]
