"""Days far from the yard's time, and days with a time of day."""

from datetime import UTC, date, datetime, timedelta

import openpyxl
import pytest

from tests._stage import SHEET_HEAD, held, load_sheets, table
from tests.conftest import Yard

OUT = 'date "{}" is before 1990 or more than ten years ahead; correct it'
NO_DAY = 'date "{}" is not a valid date; write it as 2026-05-31'


def in_ten_years(days: int) -> str:
    """Return the day ten years after today, and so many days later."""
    today = datetime.now(UTC).date()
    leap = (today.month, today.day) == (2, 29)
    ahead = today.replace(year=today.year + 10, day=28 if leap else today.day)
    return (ahead + timedelta(days)).isoformat()


def test_a_day_out_of_range_is_held(stage: Yard) -> None:
    """Days before 1990 or over ten years after the day of the load are held; others are booked."""
    out = ["0000-01-01", "0001-01-01", "1989-12-31", in_ten_years(2), "9999-12-31"]
    within = ["1990-01-01", in_ten_years(-1)]
    lines = "".join(f"A1,{day},8,DECK,\n" for day in [*out, *within])
    load_sheets(stage, SHEET_HEAD + lines)

    actual = [(row["reason"], row["message"]) for row in held(stage)]
    assert actual == [("date_out_of_range", OUT.format(day)) for day in out]
    assert [row["day"] for row in table(stage, "entry")] == within


@pytest.mark.slow
def test_a_day_out_of_range_is_put_right_by_a_day_alone(stage: Yard) -> None:
    """A held day is what a correction without a field's name is of."""
    load_sheets(stage, SHEET_HEAD + "A1,2926-03-02,8,DECK,\n")
    row = stage.json("held")[0]
    line = f"{row['held_line']},2026-03-02,slip of the pen\n"
    stage.run("load", "held", stage.write("right.csv", f"held_line,correction,why\n{line}"))

    assert [row["day"] for row in table(stage, "entry")] == ["2026-03-02"]
    assert held(stage) == []


# What is written, and whether it is a day.
TIMES = {
    "2026-03-02 00:00:00": True,
    "2026-03-02T00:00": True,
    "2026-03-02T00:00:00.000": True,
    "2026-03-02 07:30": False,
    "2026-03-02T00:00:01": False,
    "2026-03-02T00:00:00Z": False,
}


@pytest.mark.parametrize("by_layout", [False, True])
def test_midnight_is_the_day_on_sheets(stage: Yard, by_layout: bool) -> None:
    """A day with its midnight is that day, by our own heads and by a layout; other times are held.

    A line with the midnight is the same as one without.
    """
    words = []
    if by_layout:
        layout = 'shape = "long"\n[columns]\nworker_id = "worker_id"\ndate = "date"\n'
        layout += 'hours = "hours"\nbooking_code = "booking_code"\n'
        words = ["--layout", str(stage.write("ours.toml", layout))]
    lines = "".join(f"A1,{day},{place},DECK,\n" for place, day in enumerate(TIMES, start=1))
    counts = load_sheets(stage, SHEET_HEAD + lines, "week.csv", *words)
    again = load_sheets(stage, SHEET_HEAD + "A1,2026-03-02,1,DECK,\n", "again.csv", *words)

    assert (counts["booked"], counts["held"]) == (3, 3)
    assert {row["reason"] for row in held(stage)} == {"date_unreadable"}
    assert again["already_booked"] == 1


def test_midnight_is_the_day_in_small_files(stage: Yard) -> None:
    """A small file takes the midnight of a day, from CSV and workbook alike; other times not."""
    head = "worker_id,name,trade,grade,active_from\n"
    good = stage.write("crew.csv", f"{head}D4,Dora,hull,1,2026-03-02 00:00:00\n")
    bad = stage.write("bad.csv", f"{head}E5,Edda,hull,1,2026-03-02 07:30\n")
    book = openpyxl.Workbook()
    book.active.append(head.strip().split(","))
    book.active.append(["F6", "Finn", "hull", "1", datetime.fromisoformat("2026-03-02T00:00")])
    book.save(stage.folder / "crew.xlsx")
    stage.run("load", "crew", good)
    stage.run("load", "crew", stage.folder / "crew.xlsx")
    said = stage.run("load", "crew", bad, ok=False).stderr
    days = {row["worker_id"]: row["active_from"] for row in table(stage, "crew")}

    assert (days["D4"], days["F6"]) == ("2026-03-02", "2026-03-02")
    assert said.startswith(
        'bad.csv:2: active_from "2026-03-02 07:30" is not a date; write it as 2026-05-31'
    )


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01"])
def test_a_fact_of_no_yard_time_is_refused(stage: Yard, day: str) -> None:
    """Dates of small files are those of 1900 to 2199; an open end is left blank."""
    head = "worker_id,name,trade,grade,active_to\n"
    said = stage.run(
        "load", "crew", stage.write("crew.csv", f"{head}D4,Dora,hull,1,{day}\n"), ok=False
    ).stderr

    assert said.splitlines()[0] == (
        f'crew.csv:2: active_to "{day}" is outside the years 1900 to 2199; correct it, or leave an '
        "open end blank"
    )


@pytest.mark.slow
def test_what_was_known_at_the_ends_of_the_calendar(stage: Yard) -> None:
    """In any zone the last day of the calendar is after every batch."""
    for zone in ("Pacific/Kiritimati", "Pacific/Pago_Pago"):
        stage.run("load", "settings", stage.write("zone.toml", f'[yard]\nzone = "{zone}"\n'))
        shown = stage.run("--known-at", date.max.isoformat(), "history").stdout
        refused = stage.run("--known-at", date.min.isoformat(), "history", ok=False).stderr

        assert shown == stage.run("history").stdout
        assert refused.startswith('--known-at "0001-01-01": the book was begun later, at ')
