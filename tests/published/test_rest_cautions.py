"""P6: working time and rest, as cautions beside `hours`.

Source: Directive 2003/88/EC [S]: art. 3 11 h of daily rest, art. 4 a break after 6 h, art. 5 24 h
of weekly rest, art. 6 48 h a week on average. Days and hours are ours.
"""

import pytest

from tests.conftest import Yard
from tests.payroll._paid import begin, sheets

SHEET = "worker_id,date,start,finish,break_minutes,booking_code\n"


def cautions(yard: Yard, *words: str) -> list[tuple[str, ...]]:
    """Return each caution with its worker, its days and the hours worked in them."""
    found = yard.json("hours", *words)["cautions"]
    names = ("caution", "worker_id", "from", "to", "hours")
    return [tuple(str(each[name]) for name in names) for each in found]


def clocked(yard: Yard, *rows: str) -> None:
    """Book rows of worker, date, start, finish and break."""
    text = SHEET + "".join(f"{row},SHOP\n" for row in rows)
    yard.run("load", "sheets", yard.write("clocked.csv", text))


@pytest.mark.slow
def test_what_is_within_the_limits_raises_no_caution(yard: Yard) -> None:
    """48 h a week on average, 13 h on a day, 6 h unbroken and six days running are let pass."""
    yard.copy_made_by(begin)
    # 54 h and 42 h in two weeks, and a day of 16 h that was reversed.
    days = dict.fromkeys(range(2, 8), "9") | {9: "13", 10: "13", 11: "13", 12: "3"}
    sheets(yard, *(f"H1,2026-03-{day:02},{each},SHOP" for day, each in days.items()))
    sheets(yard, "H1,2026-03-13,16,SHOP", name="more.csv")
    yard.run("reverse", "file", "more.csv", "--reason", "not theirs")
    clocked(yard, "H2,2026-03-02,06:00,12:00,", "H2,2026-03-02,13:00,19:00,")
    clocked(yard, "H2,2026-03-03,06:00,14:00,30")

    assert cautions(yard) == []
    assert "rest in a day" not in yard.run("hours").stdout


@pytest.mark.slow
def test_each_limit_raises_its_caution_once_passed(yard: Yard) -> None:
    """Worker and days are named, with the hours in them; of one job alone nothing is said."""
    yard.copy_made_by(begin)
    # 2 x 48 h and a minute, the longest of them above 24 - 11 h, and seven days running.
    days = {2: "8", 3: "8", 4: "8", 5: "8", 6: "8", 7: "4", 8: "4", 9: "13:01", 11: "13", 12: "13"}
    sheets(yard, *(f"H1,2026-03-{day:02},{each},SHOP" for day, each in days.items()))
    sheets(yard, "H1,2026-03-13,9,SHOP", name="more.csv")
    # 19:01 to 06:00 is a minute short of 11 h.
    clocked(yard, "H2,2026-03-02,12:00,19:01,30", "H2,2026-03-03,06:00,12:01,")
    shown = yard.run("hours").stdout

    assert cautions(yard) == [
        ("break", "H2", "2026-03-03", "2026-03-03", "6.0167"),
        ("daily_rest", "H1", "2026-03-09", "2026-03-09", "13.0167"),
        ("daily_rest", "H2", "2026-03-02", "2026-03-03", "12.5333"),
        ("week_average", "H1", "2026-03-02", "2026-03-13", "96.0167"),
        ("weekly_rest", "H1", "2026-03-02", "2026-03-09", "61.0167"),
    ]
    assert "less than 11 h of rest in a day: worker H1, 2026-03-09, 13.02 h, and 1 more\n" in shown
    assert cautions(yard, "--from", "2026-03-10") == []
