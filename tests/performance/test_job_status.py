"""One screen of a job: each figure is that of the command that opens it, and it fits."""

import io
import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from ledger.cli.colour import coloured_for
from ledger.cli.status_screen import screen_of
from ledger.commands.access import ReadAccess
from ledger.commands.status import status as status_of
from ledger.performance.job_status import OverBudget, ToDo
from tests._stage import JOB, SAMPLE, load
from tests.conftest import Yard
from tests.inputs._moves import freeze, price, request, tell
from tests.test_small_sample import build

DAY = "2026-03-20"
SUMS = (
    *("original_sum", "approved", "omitted", "daywork_movement", "adjusted_sum"),
    *("daywork_unsigned", "time_beyond_estimate", "instructed_at_latest_price"),
    *("anticipated_final_sum", "submitted"),
)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """The whole sample; to be read only."""
    return build(Yard(tmp_path_factory.mktemp("built")))


@pytest.fixture(scope="module")
def status(built: Yard) -> Any:
    return built.json("status", "--job", JOB, "--status-date", DAY)


def test_money_and_what_to_do_are_those_of_the_list(built: Yard, status: Any) -> None:
    """Sums, exposure, states and what needs attention are as `changes` has them."""
    listed = built.json("changes", "--job", JOB, "--status-date", DAY)
    states = [row["price_state"] for row in listed["changes"]]
    waiting = {(kind, row["change"]) for row in listed["changes"] for kind in row["attention"]}

    assert {name: status["money"][name] for name in SUMS} == {name: listed[name] for name in SUMS}
    assert status["money"]["exposure_value"] == sum(
        row["exposure_value"] for row in listed["changes"]
    )
    assert status["hours"]["exposure_hours"] == listed["exposure_hours"]
    counted = {row["price_state"]: row["count"] for row in status["changes"]}
    assert counted == {state: states.count(state) for state in states}
    assert {(e["what"], code) for e in status["to_do"] for code in e["changes"]} == waiting


def test_hours_and_time_are_those_of_performance_and_overrun(built: Yard, status: Any) -> None:
    """Budget, booked, anticipated, indices, earned schedule and finish stand there too."""
    words = ("--job", JOB, "--status-date", DAY)
    known = built.json("performance", *words)
    overrun = built.json("overrun", *words)
    steps = {row["step"]: row["amount"] for row in overrun["steps"]}
    [row] = known["rows"]
    hours, time = status["hours"], status["time"]
    left = next(each["bac"] for each in known["outside"] if each["key"] == "contingency")

    assert hours["original_budget"] == steps["original_budget"]
    assert hours["budget"] == row["bac"] + left
    assert hours["job_booked"] == known["job_booked"]
    assert hours["anticipated_final"] == known["anticipated_final"] == steps["anticipated_final"]
    assert (hours["cpi"], hours["spi"]) == (row["cpi"], row["spi"])
    assert {name: time[name] for name in ("earned_schedule", "actual_time", "forecast_finish")} == {
        name: known["time"][name] for name in ("earned_schedule", "actual_time", "forecast_finish")
    }
    assert hours["incomplete"] == known["incomplete"]["is"]


def test_the_largest_are_what_ends_furthest_over(built: Yard, status: Any) -> None:
    """Places by -VAC, and changes not approved by all they will take; no more than five."""
    words = ("--job", JOB, "--status-date", DAY)
    rows = built.json("performance", *words, "--by", "work-package")["rows"]
    listed = built.json("changes", *words)["changes"]
    over = {row["key"]: -row["vac"] for row in rows}
    over |= {
        row["change"]: row["hours_anticipated"]
        for row in listed
        if row["price_state"] != "approved"
    }
    largest = sorted((amount for amount in over.values() if amount > 0), reverse=True)[:5]

    assert [each["hours"] for each in status["largest"]] == largest
    assert all(over[each["key"]] == each["hours"] for each in status["largest"])


@pytest.mark.parametrize("columns", ["80", "140"])
def test_the_screen_fits(built: Yard, monkeypatch: pytest.MonkeyPatch, columns: str) -> None:
    """It is one screen of 80 columns and 24 lines with the prompt, on wider terminals too."""
    monkeypatch.setenv("COLUMNS", columns)
    shown = built.run("status", "--job", JOB, "--status-date", DAY).stdout.splitlines()

    assert len(shown) < 24
    assert max(map(len, shown)) <= 80
    assert shown[0].startswith(f"{JOB}, ")


@pytest.mark.parametrize(
    "words",
    [
        ("performance", "--job", JOB, "--status-date", DAY),
        ("performance", "--job", JOB, "--status-date", DAY, "--by", "work-package"),
        ("overrun", "--job", JOB, "--status-date", DAY),
        ("changes", "--job", JOB, "--status-date", DAY),
        ("account", "--job", JOB, "--to", DAY),
        ("claimable", "--job", JOB, "--to", DAY),
        ("final-account", "--job", JOB),
        ("hours", "--from", "2026-03-01", "--to", DAY),
        ("reconciliation", "--from", "2026-03-01", "--to", DAY),
        ("sendings",),
        ("documents",),
        ("untagged",),
        ("help",),
    ],
    ids=" ".join,
)
def test_no_screen_is_wider_than_the_terminal(
    built: Yard, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    """Tables and sentences fit; only keys of a file, which are typed, have underscores."""
    monkeypatch.setenv("COLUMNS", "80")
    lines = built.run(*words).stdout.splitlines()
    joined = set(re.findall("[a-z]+_[a-z_]+", "\n".join(lines)))

    assert max(map(len, lines)) <= 80
    assert joined - {"completion_date"} == set()


@pytest.mark.parametrize("amount", ["1480000.00", "990000000000.00"])
def test_large_sums_fit_the_screen(built: Yard, amount: str) -> None:
    """Sums of millions with daywork of hundreds of thousands leave the screen at 80 columns."""
    known = status_of(ReadAccess(Path(built.book)), JOB, None).status
    assert known.changes.sums is not None
    large, tenth = Decimal(amount), Decimal(amount[:-4] + ".00")
    sums = replace(known.changes.sums, original=large, daywork_movement=tenth, submitted=tenth)
    shown = screen_of(replace(known, changes=replace(known.changes, sums=sums)))

    assert max(map(len, str(shown).splitlines())) <= 80


@pytest.mark.parametrize("job", ["FERRY", "FERRY-REFIT-2026-LOT-B"])
def test_a_full_yard_fits_the_screen(built: Yard, job: str) -> None:
    """With long codes and sums, all states of a price and much to do it is one screen still."""
    known = status_of(ReadAccess(Path(built.book)), JOB, None).status
    assert known.changes.sums is not None
    sums = replace(
        known.changes.sums,
        original=Decimal("1559291.00"),
        approved=Decimal("79882.00"),
        omitted=Decimal("14440.00"),
        daywork_movement=Decimal("4794.25"),
    )
    codes = tuple(f"{job}-CR{number}" for number in range(1, 6))
    due = date(2026, 10, 2)
    to_do = (
        *(ToDo(kind, 821, 99_000_000_000) for kind in ("held", "untagged", "unmeasured")),
        *(ToDo("doubts", 130), ToDo("to_notify", 12, 462_600_000, due=due)),
        *(ToDo(kind, 5, None, codes, due) for kind in ("over_agreed_hours", "decision_overdue")),
        *(ToDo("decision_waiting", 1, None, (code,), due) for code in codes),
    )
    changes = replace(
        known.changes,
        job=job,
        sums=sums,
        completion=replace(known.changes.completion, moved_to=date(2026, 12, 7), days_granted=116),
    )
    largest = tuple(
        OverBudget(f"CR{n}", "Winch drum from the old ferry " * 3, 10**12) for n in range(5)
    )
    full = replace(known, title="Cable ferry " * 9, changes=changes, largest=largest, to_do=to_do)
    shown = screen_of(full).splitlines()

    assert len(shown) < 24
    assert max(map(len, shown)) <= 80
    assert "1\N{NO-BREAK SPACE}559\N{NO-BREAK SPACE}291.00" in shown[1]
    assert " more: " in shown[-1]
    assert shown[-1].count("`") == 2


@pytest.mark.slow
def test_a_full_screen_says_how_many_more_there_are(stage: Yard) -> None:
    """With more to do than there is room for, the last line names the rest and opens it."""
    load(stage, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(stage)
    names = [f"Q{n}" for n in range(1, 10)]
    request(stage, *names)
    price(stage, *(f"{name},1,carpenter,5" for name in names))
    events = [
        *("Q1,submitted,2026-03-03,1,2026-03-05", "Q2,submitted,2026-03-03,1,2026-03-22"),
        *("Q3,disputed,2026-03-04", "Q4,counter_offer,2026-03-04", "Q5,priced,2026-03-04,1,,yes"),
        *("Q6,instructed,2026-03-05", "Q7,priced,2026-03-04", "Q8,approved,2026-03-06"),
    ]
    tell(stage, "Q3,submitted,2026-03-03", "Q4,submitted,2026-03-03", "Q5,submitted,2026-03-05")
    tell(stage, *events)
    sheet = "worker_id,date,hours,booking_code\nA1,2026-03-10,8,Q8\nA1,2026-03-11,8,Q9\n"
    stage.run("load", "sheets", "--job", JOB, stage.write("s.csv", sheet))
    known = stage.json("status", "--job", JOB, "--status-date", DAY)
    shown = stage.run("status", "--job", JOB, "--status-date", DAY).stdout.splitlines()
    of_changes = [each for each in known["to_do"] if each["changes"]]
    named = [each for each in of_changes if any(each["changes"][0] in line for line in shown[-9:])]

    assert len(shown) <= 24
    assert of_changes[0] == {
        "what": "over_agreed_hours",
        "count": 1,
        "hours": None,
        "changes": ["Q8"],
        "due": None,
    }
    assert len(named) <= len(of_changes)
    # 8 h on Q9, which nobody ordered, at 60.00.
    assert known["money"]["exposure_value"] == Decimal(480)


def test_the_exception_alone_is_in_colour(built: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is marked stands in words without colour, and NO_COLOR leaves all of it plain."""

    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    known = status_of(ReadAccess(Path(built.book)), JOB, None).status
    screen = screen_of(known)
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    coloured = coloured_for(Terminal(), screen)
    monkeypatch.setenv("NO_COLOR", "1")
    plain = coloured_for(Terminal(), screen)

    assert "\x1b[" in coloured
    assert plain == str(screen)


def test_before_any_hours_the_screen_says_what_there_is(stage: Yard) -> None:
    """A job with one request: no hours, nothing to measure, one request to price."""
    request(stage, "Q1")
    known = stage.json("status", "--job", JOB)

    assert known["hours"]["job_booked"] == 0
    assert known["changes"] == [{"price_state": "requested", "count": 1}]
    assert known["undefined"]["cpi"]
    assert stage.run("status", "--job", JOB).stdout.splitlines()[-1].startswith("to do")
