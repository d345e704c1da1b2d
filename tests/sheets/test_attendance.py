"""Times of an attendance clock: loaded whole or not at all, and compared with what is booked."""

from datetime import time

import openpyxl
import pytest

from tests._stage import batches, table
from tests.conftest import Yard, slow_beyond
from tests.sheets._doubts import doubts, messages, sheets

HEAD = "worker_id,date,clock_in,clock_out,break_minutes\n"
# Ada's Monday by the clock: 5 h and 4 h less a break of 30 min, 8.5 h.
MONDAY = "A1,2026-03-02,07:00,12:00,\nA1,2026-03-02,12:30,16:30,30\n"


def clock(stage: Yard, rows: str, *, ok: bool = True, name: str = "clock.csv") -> list[str]:
    """Load clocked times and return the lines that were said."""
    path = stage.write(name, HEAD + rows)
    return stage.run("load", "attendance", path, ok=ok).stderr.splitlines()


def times(stage: Yard) -> list[tuple[str, ...]]:
    head = ("worker_id", "day", "clock_in", "clock_out", "ms")
    return sorted(tuple(row[name] for name in head) for row in table(stage, "attendance"))


def test_several_times_of_a_day_and_past_midnight_are_kept_to_the_second(stage: Yard) -> None:
    """Out not after in is the next day; the break is taken off."""
    clock(stage, MONDAY + "b2,2026-03-02,22:00:10,06:00,\nB2,2026-03-03,7:00,24:00,60\n")

    assert times(stage) == [
        ("A1", "2026-03-02", "07:00", "12:00", "18000000"),
        ("A1", "2026-03-02", "12:30", "16:30", "12600000"),
        ("B2", "2026-03-02", "22:00:10", "06:00", "28790000"),
        ("B2", "2026-03-03", "07:00", "24:00", "57600000"),
    ]
    assert stage.run("check").exit_code == 0


def test_a_file_loaded_again_adds_nothing(stage: Yard) -> None:
    """The same days with the same times, in any order, leave the book as it was."""
    first = clock(stage, MONDAY)
    before = batches(stage)
    second = clock(stage, "".join(reversed(MONDAY.splitlines(keepends=True))))

    assert first[0] == "clock.csv: attendance, worker-days: 1 new, 0 changed, 0 unchanged"
    assert second[0] == "clock.csv: attendance, worker-days: 0 new, 0 changed, 1 unchanged"
    assert batches(stage) == before


def test_a_day_loaded_with_other_times_takes_the_place_of_that_day(stage: Yard) -> None:
    """What was and what is now is shown; days that the file has not stay."""
    clock(stage, MONDAY + "A1,2026-03-03,07:00,12:00,\n")
    said = clock(stage, "A1,2026-03-02,07:05,16:30,45\n")

    assert said[:2] == [
        "clock.csv: attendance, worker-days: 0 new, 1 changed, 0 unchanged",
        "clock.csv: worker A1 on 2026-03-02: 07:00 to 12:00, 12:30 to 16:30 less 30 min -> "
        "07:05 to 16:30 less 45 min",
    ]
    assert [row[1:4] for row in times(stage)] == [
        ("2026-03-02", "07:05", "16:30"),
        ("2026-03-03", "07:00", "12:00"),
    ]


def test_every_fault_is_said_with_its_line_and_nothing_is_loaded(stage: Yard) -> None:
    """Times that are none, overlaps, a break longer than the time, blanks: all at once."""
    rows = (
        "A1,2026-03-02,07:00,12:00,\n"
        "A1,2026-03-02,11:59,15:00,\n"
        "B2,2026-03-02,7.5,15:00,\n"
        "B2,2026-03-33,07:00,15:00,\n"
        "B2,2026-03-04,07:00,07:30,31\n"
        ",2026-03-04,07:00,07:30,\n"
        "C3,2026-03-04,22:00,06:00,\n"
        "C3,2026-03-05,05:00,12:00,\n"
    )
    said = clock(stage, rows, ok=False)

    assert said == [
        "clock.csv:3: the times of worker A1 overlap those on line 2",
        'clock.csv:4: clock_in "7.5" is not a valid time of day; write it as 07:30 or 15:45',
        'clock.csv:5: date "2026-03-33" is not a valid date; correct it',
        "clock.csv:6: break_minutes 31 is longer than the time clocked",
        "clock.csv:7: worker_id is blank; fill it in",
        "clock.csv:9: the times of worker C3 overlap those on line 8",
        "6 faults; nothing was loaded",
    ]
    assert times(stage) == []


def test_times_that_touch_do_not_overlap(stage: Yard) -> None:
    """Out and in again at the same minute are two times."""
    clock(stage, "A1,2026-03-02,07:00,12:00,\nA1,2026-03-02,12:00,15:00,\n")

    assert len(times(stage)) == 2


def test_a_day_in_two_files_of_one_command_is_refused_unless_alike(stage: Yard) -> None:
    """One command is one batch, in which a day can be said once."""
    one = stage.write("one.csv", HEAD + MONDAY)
    two = stage.write("two.csv", HEAD + "A1,2026-03-02,17:00,18:00,\n")
    said = stage.run("load", "attendance", one, two, ok=False).stderr
    again = stage.write("again.csv", HEAD + MONDAY)
    stage.run("load", "attendance", one, again)

    assert said.splitlines() == [
        "two.csv:2: worker A1 on 2026-03-02 is in another file of this command, with other times; "
        "put them into one file",
        "1 fault; nothing was loaded",
    ]
    assert len(times(stage)) == 2


def test_a_workbook_with_time_cells_is_read(stage: Yard) -> None:
    """A tab with cells of dates and times of day says the same as a CSV file."""
    workbook = openpyxl.Workbook()
    workbook.active.append(["worker_id", "date", "clock_in", "clock_out"])
    workbook.active.append(["A1", "2026-03-02", time(7, 0), time(15, 30)])
    path = stage.folder / "clock.xlsx"
    workbook.save(path)
    stage.run("load", "attendance", path)

    assert times(stage) == [("A1", "2026-03-02", "07:00", "15:30", "30600000")]


def test_workers_that_the_crew_has_not_are_named(stage: Yard) -> None:
    """The clock may know others; they are kept and named."""
    said = clock(stage, MONDAY + "Z9,2026-03-02,07:00,12:00,\n")

    assert "clock.csv: workers not in the crew: Z9" in said
    assert len(times(stage)) == 3


# Booked hours of Ada's Monday, of 8.5 h on the clock, and whether they are apart by over 15 min.
@pytest.mark.parametrize(
    ("hours", "apart"),
    slow_beyond(2, [("8.25", False), ("8.24", True), ("8.75", False), ("8.76", True)]),
)
def test_booked_and_clocked_are_apart_by_more_than_is_let_pass(
    stage: Yard, hours: str, apart: bool
) -> None:
    """A quarter of an hour either way is let pass, a little more is a doubt."""
    clock(stage, MONDAY)
    sheets(stage, f"hours={hours}")
    message = f"worker A1 has {hours} h booked on 2026-03-02, but 8.50 h clocked"

    assert messages(stage, "attendance") == ([message] if apart else [])


def test_what_is_let_pass_is_set_by_the_yard(stage: Yard) -> None:
    """With 5 minutes, 8.25 h beside 8.5 h are a doubt."""
    settings = "[doubts]\nattendance_minutes = 5\n"
    stage.run("load", "settings", stage.write("doubts.toml", settings))
    clock(stage, MONDAY)
    sheets(stage, "hours=8.25")

    assert len(doubts(stage, "--kind", "attendance")) == 1


def test_days_of_one_side_only_are_doubted_while_the_worker_is_on_the_clock(stage: Yard) -> None:
    """Clocked and not booked, booked and not clocked in between; never who is not on the clock."""
    clock(stage, MONDAY + "A1,2026-03-04,07:00,15:00,\n")
    days = ("date=2026-03-03", "date=2026-03-04 hours=8", "date=2026-03-05", "worker_id=B2")
    sheets(stage, *days)

    assert sorted(map(str, messages(stage, "attendance"))) == [
        "worker A1 has 0.00 h booked on 2026-03-02, but 8.50 h clocked",
        "worker A1 has 4.00 h booked on 2026-03-03, but nothing clocked",
    ]


def test_all_sheets_of_a_day_are_compared_and_leave_is_not(stage: Yard) -> None:
    """5 and 3.5 h of two sheets are the clock's 8.5 h; leave that day is not work."""
    away = stage.write("away.toml", '[absence]\nLEAVE = "leave"\n')
    stage.run("load", "settings", away)
    clock(stage, MONDAY)
    sheets(stage, "hours=5", "sheet=S2 hours=3.5", "hours=4 booking_code=LEAVE")

    assert messages(stage, "attendance") == []


def test_hours_always_below_the_times_of_the_sheet_are_doubted(stage: Yard) -> None:
    """Without a clock the sheet's own times are it: 10 minutes each of five days, 0.83 h."""
    days = [f"date=2026-03-0{day} start=07:00 finish=15:10 hours=8" for day in range(2, 7)]
    sheets(stage, *days)

    assert messages(stage, "clock_rounding") == [
        "worker A1 has 0.83 h less booked than clocked in 2026-03, a little on each of 5 days "
        "and never the other way"
    ]


def test_the_load_says_how_many_days_are_apart(stage: Yard) -> None:
    """Days of the file that are apart from what is booked are counted, whichever came first."""
    sheets(stage, "hours=4", "date=2026-03-03 hours=5")
    said = clock(stage, MONDAY + "A1,2026-03-03,07:00,12:00,\n")

    assert said[-1] == (
        "clock.csv: 1 worker-day differs from what is booked, "
        "see `fairhours doubts --kind attendance`"
    )


@pytest.mark.slow
def test_a_day_that_was_settled_comes_back_when_the_clock_says_otherwise(stage: Yard) -> None:
    """Settled is one statement of the clock beside these entries, no other."""
    clock(stage, MONDAY)
    sheets(stage, "hours=4")
    one = doubts(stage, "--kind", "attendance")[0]["doubt"]
    stage.run("settle", "doubt", one, "--reason", "left early, forgot the card")
    settled = messages(stage, "attendance")
    clock(stage, "A1,2026-03-02,07:00,17:00,\n")

    assert settled == []
    assert len(messages(stage, "attendance")) == 1
