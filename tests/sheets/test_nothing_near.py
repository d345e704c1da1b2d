"""A file is compared with the book only where the book has lines of its workers and days."""

import pytest

from ledger.store.book import Book
from tests.conftest import Yard
from tests.sheets._doubts import sheets

CHANGE_HEAD = "change,title,requested_by,requested_on,change_basis\n"
CHANGES = f"{CHANGE_HEAD}Q1,Rail,The owner,2026-03-02,daywork\n"
CREW = "worker_id,name,trade,grade,active_from\nZ9,Zoe Nine,carpenter,skilled,2026-01-01\n"


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The queries that are staged from now on."""
    names: list[str] = []
    stage_as = Book.stage

    def noted(book: Book, name: str, query: str, **inputs: object) -> int:
        names.append(query)
        return stage_as(book, name, query, **inputs)

    monkeypatch.setattr(Book, "stage", noted)
    return names


@pytest.mark.parametrize(
    ("other", "is_compared"),
    [
        ("worker_id=B2", False),
        ("date=2026-03-03", False),
        # A line that is held may be of any day.
        ("date=2026-02-30", False),
        ("sheet=S2 hours=3", True),
    ],
)
def test_lines_with_nothing_near_are_not_compared(
    stage: Yard, asked: list[str], other: str, is_compared: bool
) -> None:
    """Another worker, or another day, has nothing to compare with; the same day has."""
    sheets(stage, "hours=4")
    del asked[:]
    sheets(stage, other, name="other.csv")

    assert ("sheets/lines_had" in asked) == is_compared


@pytest.mark.parametrize(
    ("other", "is_any"),
    [("hours=3", False), ("hours=4", False), ("hours=4 start=07:00 finish=11:00", True)],
)
def test_a_line_of_other_work_raises_no_question(
    stage: Yard, asked: list[str], other: str, is_any: bool
) -> None:
    """Questions are sought where the same hours and work stand on both sides, and are not equal."""
    sheets(stage, "hours=4 sheet=S2")
    del asked[:]
    sheets(stage, f"{other} sheet=S2", name="other.csv")

    assert ("sheets/lines_questioned" in asked) == is_any


def test_a_held_line_of_the_worker_is_near_whatever_its_day(stage: Yard, asked: list[str]) -> None:
    """A line held for its date is found again, though no day of the book is near it."""
    sheets(stage, "date=2026-02-30")
    del asked[:]
    said = sheets(stage, "date=2026-02-30", "date=2026-03-05", name="again.csv")

    assert "sheets/lines_had" in asked
    assert "1 line held or rejected earlier" in said


def test_a_day_between_days_of_the_book_is_not_near(stage: Yard, asked: list[str]) -> None:
    """Only the same day of a worker is compared, not all days from the first to the last."""
    sheets(stage, "date=2026-03-02", "date=2026-03-06")
    del asked[:]
    sheets(stage, "date=2026-03-03", "date=2026-03-05", name="other.csv")

    assert "sheets/lines_had" not in asked


def test_held_lines_are_read_again_when_the_crew_changes(stage: Yard, asked: list[str]) -> None:
    """Nothing else that is loaded changes how a line reads."""
    sheets(stage, "hours=x", "worker_id=Z9 hours=4")
    del asked[:]
    stage.run("load", "changes", "--job", "STAGE", stage.write("changes.csv", CHANGES))

    assert "sheets/held_lines" not in asked

    stage.run("load", "crew", stage.write("crew.csv", CREW))

    assert "sheets/held_lines" in asked
    assert [each["reason"] for each in stage.json("held")] == ["hours_unreadable"]


def test_files_of_one_command_are_compared_with_each_other(stage: Yard) -> None:
    """The second file of a command finds the lines that the first one booked, and held."""
    head = "sheet,worker_id,date,hours,booking_code\n"
    lines = "S1,A1,2026-03-02,4,DECK\nS1,A1,2026-03-03,x,DECK\n"
    first = stage.write("first.csv", head + lines)
    second = stage.write("second.csv", head + lines + "S1,B2,2026-03-02,4,DECK\n")
    files = stage.json("load", "sheets", first, second)["files"]

    assert [
        (each["booked"], each["held"], each["already_booked"], each["already_held"])
        for each in files
    ] == [(1, 1, 0, 0), (1, 0, 1, 1)]
