"""A line without hours is known by its start, finish and break."""

from tests.conftest import Yard

CREW = "worker_id,name,trade,grade\nA1,Ada Brunt,joiner,lead\n"
HEAD = "worker_id,date,start,finish,break_minutes,booking_code\n"


def test_half_days_of_twelve_hours_are_read_by_a_layout(yard: Yard) -> None:
    """7:30 am to 4 p.m. is 8.5 hours; 12 pm is noon and 12 am midnight.

    13 pm is no time, and whether 4:30 beside 8 am is of the morning nobody can tell.
    """
    yard.run("load", "crew", yard.write("crew.csv", CREW))
    layout = yard.write("twelve.toml", '[columns]\nstart = "from"\nfinish = "to"\n')
    times = {
        ("7:30 AM", "4 p.m."): "8.5000",
        ("6.15am", "12 pm"): "5.7500",
        ("12 pm", "12:30PM"): "0.5000",
        ("10:00 pm", "12 am"): "2.0000",
        ("12:20 a.m.", "7 A.M."): "6.6667",
        ("7 am", "16:00"): "9.0000",
        ("7 am", "13 pm"): None,
        ("8 am", "4:30"): None,
        ("1:00", "4:30 pm"): None,
    }
    head = "worker_id,date,from,to,booking_code\n"
    rows = [f"A1,2026-03-{d:02d},{a},{b},X\n" for d, (a, b) in enumerate(times, start=2)]
    path = yard.write("sheets.csv", head + "".join(rows))
    yard.run("load", "sheets", "--layout", layout, path)
    booked = yard.rows(yard.run("entries", "--format", "csv").stdout)

    assert [row["hours"] for row in booked] == [hours for hours in times.values() if hours]
    assert [(row["line"], row["message"]) for row in yard.json("held")] == [
        (8, 'finish "13 pm" is not a valid time of day; write it as 16:00'),
        (9, 'times "8 am" and "4:30": only one has am or pm; write both alike'),
        (10, 'times "1:00" and "4:30 pm": only one has am or pm; write both alike'),
    ]


def test_equal_hours_at_other_times_are_two_lines(yard: Yard) -> None:
    """A morning and an afternoon of four hours each, in two files, are both booked."""
    yard.run("load", "crew", yard.write("crew.csv", CREW))
    morning = yard.write("morning.csv", HEAD + "A1,2026-03-02,07:00,11:00,,X\n")
    later = yard.write("afternoon.csv", HEAD + "A1,2026-03-02,12:00,16:00,,X\n")
    yard.run("load", "sheets", morning)
    counts = yard.json("load", "sheets", later)

    assert counts["files"][0]["booked"] == 1
    assert counts["booked_hours"] == 4
    assert yard.json("load", "sheets", morning)["files"][0]["already_booked"] == 1
