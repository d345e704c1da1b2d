"""A line without hours is known by its start, finish and break."""

from tests.conftest import Yard

CREW = "worker_id,name,trade,grade\nA1,Ada Brunt,joiner,lead\n"
HEAD = "worker_id,date,start,finish,break_minutes,booking_code\n"


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
