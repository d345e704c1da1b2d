"""A layout proposed for a file: what it shows, what it leaves open, and that it can be used."""

import tomllib
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from tests._stage import JOB, held, table
from tests.conftest import Yard, slow_beyond
from tests.tables._workbooks import xlsx

FILES = Path(__file__).parents[1] / "tables" / "files"


def proposed(yard: Yard, path: Path) -> tuple[dict, list[str]]:
    """Return the layout that is proposed, and the lines said beside it."""
    yard.folder.mkdir(exist_ok=True)
    outcome = yard.run("guess", "layout", path)
    return tomllib.loads(outcome.stdout), outcome.stderr.splitlines()


def doubts(said: list[str]) -> list[str]:
    return [line.removeprefix("unclear: ") for line in said if line.startswith("unclear: ")]


EITHER = (
    'date_order: 03/04/2026 may have the day or the month first; add date_order = "dmy" or "mdy"'
)


@pytest.mark.slow
def test_the_date_named_is_one_that_is_ambiguous(stage: Yard) -> None:
    """Beside dates that begin with the year, the one that does not is named."""
    rows = "worker_id,date,hours,booking_code\nA1,2026-04-01,8,DECK\nA1,03/04/2026,8,DECK\n"
    _, said = proposed(stage, stage.write("mixed.csv", rows))

    assert EITHER in doubts(said)


def test_an_ambiguous_date_is_not_guessed(stage: Yard) -> None:
    """03/04/2026 leaves the order out, is said, and its lines are shown as they would be: held."""
    layout, said = proposed(stage, FILES / "either-order.csv")

    assert "date_order" not in layout
    assert doubts(said) == [EITHER]
    assert 'date "03/04/2026" is not a valid date in the order ymd' in said[1]


def test_heads_are_known_with_points_and_below_a_title(stage: Yard) -> None:
    """ "Clock No." and "Job code" are worker and code; am and pm are read in the preview."""
    text = "Week of the slip;;;;;\n\nClock No.;Day;In;Out;Job code;What\n"
    path = stage.write("slip.csv", text + "A1;13/03/2026;7:00 AM;3:30 PM;DECK;planks\n")
    layout, said = proposed(stage, path)

    assert layout["columns"] == {
        "worker_id": "Clock No.",
        "date": "Day",
        "start": "In",
        "finish": "Out",
        "booking_code": "Job code",
        "note": "What",
    }
    assert said[1].split() == ["4", "A1", "2026-03-13", "8.50", "DECK"]
    assert doubts(said) == []


def test_a_refused_file_names_what_its_nearest_row_lacks(stage: Yard) -> None:
    """Below a title the row with most of the heads is named, not the title."""
    layout = stage.write("slip.toml", '[columns]\nworker_id = "hand"\nbooking_code = "code"\n')
    path = stage.write("slip.csv", "Our week\n\nhand,date,hours,task\nA1,2026-03-13,8,DECK\n")
    said = stage.run("load", "sheets", "--layout", layout, path, ok=False).stderr

    assert said == (
        "slip.csv: no row has the heads of layout slip; missing: code; "
        "the nearest head is hand, date, hours, task\n"
    )


ORDERS = [
    (["03/04/2026", "13/04/2026"], "dmy", []),
    (["03/04/2026", "04/13/2026"], "mdy", []),
    (["13/04/2026", "04/13/2026"], None, ["13/04/2026"]),
    (["2026-04-03"], None, []),
    (["3.4.26", "31.1.26"], "dmy", []),
]


@pytest.mark.parametrize(("days", "order", "open_days"), slow_beyond(2, ORDERS))
def test_the_order_of_day_and_month_is_what_the_dates_show(
    stage: Yard, days: list[str], order: str | None, open_days: list[str]
) -> None:
    """A number above 12 tells the order; two that disagree tell none; ISO needs none."""
    rows = "".join(f"A1,{day},8,DECK\n" for day in days)
    path = stage.write("week.csv", f"worker_id,date,hours,booking_code\n{rows}")
    layout, said = proposed(stage, path)

    assert layout.get("date_order") == order
    assert [line.split()[1] for line in doubts(said)] == open_days


def test_ten_lines_are_shown_as_they_would_be_read(stage: Yard) -> None:
    """The preview has ten lines with worker, day, hours and code, and what is wrong with one."""
    days = "".join(f"A1;{day}.03.2026;7,5;DECK\n" for day in range(1, 15))
    path = stage.write("week.csv", f"hand;day;hours;code\n{days}")
    layout, said = proposed(stage, path)

    assert layout == {
        "delimiter": ";",
        "shape": "long",
        "date_order": "dmy",
        "decimal_mark": ",",
        "columns": {"worker_id": "hand", "date": "day", "hours": "hours", "booking_code": "code"},
    }
    assert said[0].split() == ["line", "worker", "id", "day", "hours", "booking", "code"]
    assert said[1].split() == ["2", "A1", "2026-03-01", "7.50", "DECK"]
    assert [line.split()[0] for line in said[1:]] == [str(line) for line in range(2, 12)]


def test_a_proposal_reads_the_file_it_is_for(stage: Yard) -> None:
    """What is proposed for a sheet of one person and week books it, once the order is put in."""
    outcome = stage.run("guess", "layout", FILES / "person-week.csv")
    layout = stage.write("ours.toml", 'date_order = "dmy"\n' + outcome.stdout)
    stage.run("load", "sheets", "--job", JOB, "--layout", layout, FILES / "person-week.csv")
    hours = sorted(Decimal(row["ms"]) / 3_600_000 for row in table(stage, "entry"))

    assert tomllib.loads(outcome.stdout)["block"] == {
        "worker_id": "Hand",
        "week_starting": "Week from",
    }
    assert hours == [Decimal("7.5"), 8, 8, Decimal("8.25")]
    assert held(stage) == []


def test_a_workbook_with_a_tab_for_each_worker_is_seen(stage: Yard) -> None:
    """Where no column tells the worker, the tab's name is taken, and said."""
    line = (date(2026, 3, 2), Decimal("7.5"), "DECK")
    head = ("Day", "Hours", "Code")
    path = xlsx(stage.folder / "book.xlsx", {"A1": [head, line], "B2": [head, line]})
    layout, said = proposed(stage, path)

    assert layout["tab"] == "worker_id"
    assert "worker_id has no column or label; taken from the tabs: A1" in doubts(said)
    assert said[1].split() == ["2", "A1", "2026-03-02", "7.50", "DECK"]


def test_what_is_not_known_is_said(stage: Yard) -> None:
    """Columns kept as evidence, marks for no hours, and a missing code are named."""
    path = stage.write("week.csv", "hand,weather,date,hours\nA1,wet,2026-03-02,-\n")
    layout, said = proposed(stage, path)

    assert layout["evidence"] == ["weather"]
    assert doubts(said) == [
        "columns kept as evidence only: weather",
        "blanks: - is taken for no hours",
        "booking_code: no column looks like it; "
        "name one of hand, weather, date, hours in [columns]",
        "with this layout the file is refused: week.csv: no row has the heads of layout week; "
        "missing: booking_code; the nearest head is hand, weather, date, hours",
    ]


def test_half_past_seven_as_7_30_is_asked(stage: Yard) -> None:
    """Where all hours end in minutes, hours and minutes may be meant, and that is said."""
    rows = "A1,2026-03-02,7.30,DECK\nA1,2026-03-03,7.45,DECK\n"
    path = stage.write("week.csv", f"worker_id,date,hours,booking_code\n{rows}")
    layout, said = proposed(stage, path)

    assert "duration" not in layout
    assert doubts(said) == ['duration: 7.30 may be hours and minutes; then add duration = "h.mm"']


ENCODINGS = [
    ("utf-8.csv", None),
    ("utf-16-le-marked.csv", None),
    ("utf-16-le.csv", "utf-16-le"),
    ("utf-16-be.csv", "utf-16-be"),
    ("windows-1252.csv", "windows-1252"),
]


@pytest.mark.parametrize(("name", "encoding"), ENCODINGS)
def test_the_encoding_is_named_where_the_file_does_not_say_it(
    stage: Yard, name: str, encoding: str | None
) -> None:
    """UTF-8 and marked UTF-16 need no key; another is named, Windows-1252 as not sure."""
    layout, said = proposed(stage, FILES / name)

    assert layout.get("encoding") == encoding
    assert any(line.startswith("encoding:") for line in doubts(said)) == (
        encoding == "windows-1252"
    )


def test_a_file_without_a_head_is_refused(stage: Yard) -> None:
    """Where no row looks like a head nothing is proposed."""
    path = stage.write("week.csv", "A1,2026-03-02,8,DECK\n")
    said = stage.run("guess", "layout", path, ok=False).stderr

    assert said == (
        "week.csv: no row looks like the head of a table; write a layout by hand: "
        "[columns] names the heads, sample_data/layouts has examples\n"
    )
