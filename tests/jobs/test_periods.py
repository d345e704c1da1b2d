"""Periods are closed, their figures stay, and what comes late is in the next one's own."""

from decimal import Decimal
from typing import Any

import pytest

from tests._stage import JOB, SHEET_HEAD, booked, held, load, load_sheets, places_by_entry
from tests.conftest import Yard
from tests.inputs._moves import freeze, measure

MARCH_8, MARCH_15 = "2026-03-08", "2026-03-15"
RULE = "rule,priority,booked_to,booking_code\n"


def begun(yard: Yard) -> Yard:
    """Return the sample's job with a measurement, two entries and a line under an unknown code."""
    freeze(yard)
    measure(yard, "DECK", "2026-03-06", quantity_done="4")
    first = ("A1,2026-03-03,8,DECK,", "A1,2026-03-04,6,DECK,", "A1,2026-03-05,2,DOCK,")
    load_sheets(yard, SHEET_HEAD + "\n".join(first) + "\n", "first.csv")
    return yard


def closed(yard: Yard, *days: str) -> Yard:
    for day in days:
        yard.run("close", "period", "--to", day)
    return yard


def late_sheet(yard: Yard, line: str = "A1,2026-03-06,5,DECK,", name: str = "late.csv") -> None:
    load_sheets(yard, f"{SHEET_HEAD}{line}\n", name)


def performance(yard: Yard, day: str, *before: str) -> Any:
    words = (*before, "performance", "--job", JOB, "--status-date", day)
    return yard.json(*words)


def last_batch(yard: Yard) -> int:
    return len(yard.rows(yard.run("history", "--format", "csv").stdout))


def told(yard: Yard, *words: str) -> list[tuple[Any, ...]]:
    """Return of each period its end and the hours booked: cumulative, own, late."""
    return [
        (each["period_to"], *(each[name]["booked"] for name in ("cumulative", "own", "late")))
        for each in yard.json("periods", *words)["periods"]
    ]


@pytest.mark.slow
def test_a_closed_figure_stays_and_shows_the_stamp_of_the_closing(stage: Yard) -> None:
    """A status date inside a closed period is read as it was known when that was closed."""
    begun(stage)
    number = last_batch(stage)
    before = performance(stage, MARCH_8)
    closed(stage, MARCH_8)
    late_sheet(stage)
    measure(stage, "DECK", "2026-03-06", quantity_done="12")
    after = performance(stage, MARCH_8)
    shown = stage.run("performance", "--job", JOB, "--status-date", "2026-03-05")

    assert after == before | {"closed_to": MARCH_8}
    assert after["known_at"]["sequence"] == number
    assert shown.stderr.splitlines()[0] == (
        f"closed to {MARCH_8}: as known then, record stamp {number}; "
        "`fairhours periods` lists late adjustments"
    )
    assert performance(stage, "2026-03-09")["rows"][0]["ac"] == 21


def test_known_at_goes_before_the_closing(stage: Yard) -> None:
    """With --known-at a closed period is shown as known at that batch, and not called closed."""
    closed(begun(stage), MARCH_8)
    late_sheet(stage)
    now = last_batch(stage)
    actual = stage.json("--known-at", now, "performance", "--job", JOB, "--status-date", MARCH_8)

    assert (actual["rows"][0]["ac"], actual["closed_to"]) == (21, None)
    assert actual["known_at"]["sequence"] == now


@pytest.mark.slow
def test_every_figure_of_a_closed_period_is_the_closed_one(stage: Yard) -> None:
    """The overrun, the owner's statement and the sheets missing are read at the closing too."""
    begun(stage)
    load(stage, "charge-rates", "trade,effective_from,charge_per_hour\ncarpenter,2026-01-01,50\n")
    number = last_batch(stage)
    words = ("overrun", "--job", JOB, "--status-date", MARCH_8)
    asked = ("missing", "--job", JOB, "--status-date", MARCH_8)
    before = stage.json(*words), stage.json(*asked)
    closed(stage, MARCH_8)
    late_sheet(stage, "B2,2026-03-06,5,DECK,")
    out = stage.folder / "v.json"
    said = stage.run(
        "report", "variations", "--job", JOB, "--status-date", MARCH_8, "--out", out
    ).stderr

    assert stage.json(*words) == before[0] | {"closed_to": MARCH_8}
    assert stage.json(*asked) == before[1]
    assert said == (f"{out}: {JOB} on {MARCH_8}, record stamp {number}, as closed to {MARCH_8}\n")


@pytest.mark.slow
def test_what_comes_late_is_in_the_next_periods_own_figure(stage: Yard) -> None:
    """Own is cumulative less cumulative as closed, so it holds the late adjustments."""
    closed(begun(stage), MARCH_8)
    late_sheet(stage)
    late_sheet(stage, "A1,2026-03-10,4,DECK,", "second.csv")
    closed(stage, MARCH_15)
    late_sheet(stage, "A1,2026-03-02,1,DECK,", "third.csv")
    late_sheet(stage, "A1,2026-03-18,7,DECK,", "fourth.csv")

    assert (
        told(stage, "--job", JOB)
        == told(stage)
        == [
            (MARCH_8, 16, 16, 0),
            (MARCH_15, 25, 9, 5),  # 5 late and 4 of the period
            ("2026-03-18", 33, 8, 1),
        ]
    )


@pytest.mark.slow
def test_late_adjustments_are_listed(stage: Yard) -> None:
    """Late sheets, reversals with their true dates, and measurements are listed one by one."""
    closed(begun(stage), MARCH_8)
    late_sheet(stage)
    entry = stage.json("entries", "--day", "2026-03-03")[0]["entry"]
    stage.run("reverse", "entry", entry, "--reason", "twice")
    measure(stage, "DECK", "2026-03-06", quantity_done="12")
    measure(stage, "DECK", "2026-03-12", quantity_done="16")
    [_, period] = stage.json("periods", "--job", JOB)["periods"]
    late = [
        (fact["kind"], fact["part"], fact["day"], fact["hours"])
        for fact in period["late_adjustments"]
    ]
    listed = stage.rows(stage.run("periods", "--late", "--format", "csv").stdout)

    assert late == [
        ("booked", "DECK", "2026-03-06", 5),
        ("booked", "DECK", "2026-03-03", -8),
        ("measured", "DECK", "2026-03-06", None),
    ]
    assert period["late"]["ac"] == period["late"]["booked"] == -3
    assert period["late"]["ev"] == 16  # 12 - 4 of 40 boards in 80 h
    assert [row["hours"] for row in listed] == ["5.0000", "-8.0000", ""]


@pytest.mark.slow
def test_codes_and_rules_leave_entries_of_a_closed_period_where_they_are(stage: Yard) -> None:
    """What is in the book when its period is closed stays and is listed; the rest still moves."""
    closed(begun(stage), MARCH_8)
    late_sheet(stage, "A1,2026-03-06,5,DOCK,")
    late_sheet(stage, "A1,2026-03-10,3,DOCK,", "second.csv")
    before = places_by_entry(stage)
    rules = stage.write("rules.csv", f"{RULE}R1,1,RAIL,DOCK\n")
    said = stage.run("load", "rules", rules).stderr
    moved = {entry for entry, place in places_by_entry(stage).items() if place != before[entry]}
    days = {row["entry"]: row["day"] for row in stage.json("entries")}
    stays = stage.json("kept")
    kept, entry, how = said.splitlines()[-3:]

    assert {days[".".join(each)] for each in moved} == {"2026-03-06", "2026-03-10"}
    assert kept == "1 entry of a closed period not moved; see `fairhours kept`"
    assert entry.endswith(f"A1 on 2026-03-05, {JOB} untagged -> {JOB} RAIL, 2.00 h")
    assert how == "--with-closed moves them, as late adjustments"
    assert [(row["day"], row["hours"], row["from_place"], row["to_place"]) for row in stays] == [
        ("2026-03-05", Decimal(2), f"{JOB} untagged", f"{JOB} RAIL")
    ]
    assert booked(stage)[JOB, "RAIL", "", ""] == 8 * 3_600_000
    stage.run("check")


@pytest.mark.slow
def test_a_period_reopened_moves_again_until_closed_anew(stage: Yard) -> None:
    """Reopening lets figures be as known now; closing again keeps what is known then."""
    closed(begun(stage), MARCH_8)
    late_sheet(stage)
    stage.run("reopen", "period", "--to", MARCH_8, "--reason", "a sheet was left out")
    reopened = performance(stage, MARCH_8)
    closed(stage, MARCH_8)
    late_sheet(stage, "A1,2026-03-06,1,RAIL,", "second.csv")

    assert (reopened["rows"][0]["ac"], reopened["closed_to"]) == (21, None)
    assert performance(stage, MARCH_8)["rows"][0]["ac"] == 21
    assert told(stage) == [(MARCH_8, 21, 21, 0), (MARCH_8, 22, 1, 1)]


@pytest.mark.slow
def test_what_stayed_moves_when_its_period_is_reopened(stage: Yard) -> None:
    """Reopening posts what codes and rules would have moved, in the same batch."""
    closed(begun(stage), MARCH_8)
    stage.run("load", "rules", stage.write("rules.csv", f"{RULE}R1,1,RAIL,DOCK\n"))
    words = ("reopen", "period", "--to", MARCH_8, "--reason", "two weeks in one")
    said = stage.run(*words).stderr

    # The two hours are taken from where they stood and put to the package.
    assert said.splitlines()[1:] == [
        "1 entry moved, 2.00 h:",
        "  STAGE untagged -> STAGE RAIL: 2.00 h",
    ]
    assert booked(stage)[JOB, "RAIL", "", ""] == 2 * 3_600_000
    assert stage.json("kept") == []
    stage.run("check")


def test_periods_are_closed_forward_and_reopened_backward(stage: Yard) -> None:
    """A day closed already, another than the last and a blank reason are refused."""
    begun(stage)
    none = stage.run("reopen", "period", "--to", MARCH_8, "--reason", "x", ok=False)
    closed(stage, MARCH_8, MARCH_15)
    again = stage.run("close", "period", "--to", MARCH_8, ok=False)
    first = stage.run("reopen", "period", "--to", MARCH_8, "--reason", "x", ok=False)
    blank = stage.run("reopen", "period", "--to", MARCH_15, "--reason", " ", ok=False)

    assert none.stderr == "no period is closed\n"
    assert again.stderr == (
        f"--to {MARCH_8}: is already closed; the last closed period ends on {MARCH_15}\n"
    )
    assert first.stderr == (
        f"--to {MARCH_8}: only the last closed period can be reopened, it ends on {MARCH_15}\n"
    )
    assert blank.stderr == "--reason: give the reason in words\n"


def test_a_day_is_closed_once_it_has_come_where_the_yard_is(yard: Yard) -> None:
    """A period is not closed before its last day; which day it is the yard's own clock says."""
    yard.new("--recorded-at", "2026-03-02T08:00:00+00:00", rehearsal=True)
    yard.write("settings.toml", '[yard]\nname = "Ostra"\nzone = "Europe/Helsinki"\n')
    settings = ("load", "settings", yard.folder / "settings.toml")
    yard.run("--recorded-at", "2026-03-02T09:00:00+00:00", *settings)
    words = ("close", "period", "--to", MARCH_8)
    # Two hours ahead of UTC: 23:59 on the Saturday, then midnight.
    early = yard.run("--recorded-at", "2026-03-07T21:59:00+00:00", *words, ok=False)
    on_the_day = yard.run("--recorded-at", "2026-03-07T22:00:00+00:00", *words)

    assert early.stderr == (
        f"--to {MARCH_8}: is in the future; close a period when its sheets are in\n"
    )
    assert on_the_day.stderr.splitlines()[-1] == (
        f"closed to {MARCH_8}: its figures are those known at batch 2"
    )


@pytest.mark.slow
def test_a_job_that_came_after_the_closing_is_said_so(stage: Yard) -> None:
    """A job that the book did not have at the closing has no closed figure, and is refused."""
    closed(begun(stage), MARCH_8)
    card = (stage.folder / "pier.toml").as_posix()
    stage.write(
        "pier.toml",
        """
        [job]
        code = "PIER"
        title = "Pier"
        owner = "Board"
        contract_sum = "1.00"
        contract_date = 2026-03-01
        planned_start = 2026-03-02
        planned_finish = 2026-03-27
        """,
    )
    stage.run("load", "job", card)
    words = ("performance", "--job", "PIER", "--status-date", MARCH_8)
    outcome = stage.run(*words, ok=False)

    assert outcome.stderr == (
        f"job PIER: was not in the book when the period to {MARCH_8} was closed; "
        f"as known now: --known-at {last_batch(stage)}\n"
    )
    assert held(stage) == []


@pytest.mark.slow
def test_own_figures_shown_add_up_to_the_cumulative(stage: Yard) -> None:
    """On screen a period's own figure is what the cumulative ones as shown differ by."""
    begun(stage)
    late_sheet(stage, "A1,2026-03-06,0:10,DECK,")
    closed(stage, MARCH_8)
    late_sheet(stage, "A1,2026-03-10,0:10,DECK,", "second.csv")
    shown = stage.run("periods", "--job", JOB).stdout.splitlines()
    booked = [line.split()[-3:] for line in shown if " booked " in line]

    # 16 h 10 and 16 h 20 are 16.17 and 16.33; ten minutes more are shown as 0.16.
    assert booked == [["16.17", "16.17", "0.00"], ["16.33", "0.16", "0.00"]]
