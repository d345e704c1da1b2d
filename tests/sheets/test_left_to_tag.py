"""What is left to tag: listed, handed out as a workbook and taken back; and how much is tagged."""

from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest

from tests._stage import JOB, SHEET_HEAD, booked, load, load_sheets, table
from tests.conftest import Yard, slow_beyond
from tests.sheets.test_hand_tags import entry_of, tag
from tests.sheets.test_places import HOUR, line, load_rules, rule

UNTAGGED = (JOB, "untagged", "", "")


def left_over(yard: Yard) -> Yard:
    """Book hours under unknown codes, hours that rules disagree about, and hours in order."""
    load_rules(
        yard,
        rule("one", 5, "RAIL", note_contains="bench"),
        rule("two", 5, "FRAME", booking_code="DECK", note_contains="bench"),
    )
    lines = line("SHED", hours="2") + line("SHED", hours="1", worker="B2") + line("", hours="4")
    load_sheets(yard, SHEET_HEAD + lines + line("DECK", "bench", "5") + line("DECK", "", "7"))
    return yard


def test_what_is_left_to_tag_is_listed_with_the_most_hours_first(stage: Yard) -> None:
    """By code, each with why; hours that belong somewhere are not listed."""
    answer = left_over(stage).json("untagged")
    rows = [(row["why"], row["code"], row["hours"], row["workers"]) for row in answer["rows"]]

    assert rows == [
        ("rules_disagree", "DECK", 5, 1),
        ("unknown_code", None, 4, 1),
        ("unknown_code", "SHED", 3, 2),
    ]
    assert (answer["untagged_hours"], answer["doubtful_hours"]) == (12, 0)
    by_worker = stage.rows(stage.run("untagged", "--by", "worker", "--format", "csv").stdout)
    assert [(row["why"], row["worker"], row["hours"]) for row in by_worker] == [
        ("unknown_code", "A1", "6.0000"),
        ("rules_disagree", "A1", "5.0000"),
        ("unknown_code", "B2", "1.0000"),
    ]


@pytest.mark.slow
def test_hours_with_a_doubt_about_their_place_are_listed_too(stage: Yard) -> None:
    """Time on a package that was finished before is doubtful until the doubt is settled."""
    load_sheets(stage, SHEET_HEAD + line("DECK"))
    head = "work_package,date,finished,percent\n"
    load(stage, "progress", head + "DECK,2026-02-27,2026-02-27,100\n")
    doubtful = stage.json("untagged")["rows"]
    share = stage.json("tagging")["weeks"]
    stage.run(
        "settle",
        "doubt",
        stage.json("doubts", "--kind", "package_finished")["doubts"][0]["doubt"],
        "--reason",
        "snagging",
    )

    assert [(row["why"], row["code"], row["hours"]) for row in doubtful] == [
        ("doubtful", "DECK", 8)
    ]
    assert [(row["code_hours"], row["doubtful_hours"]) for row in share] == [(8, 8)]
    assert stage.json("untagged")["rows"] == []


def test_the_share_tagged_is_shown_by_week_and_source(stage: Yard) -> None:
    """By code, by rule, by hand and untagged add up to the hours booked of the week."""
    load_rules(stage, rule("bench", 5, "FRAME", note_contains="bench"))
    week = line("SHED", hours="2") + line("DECK", hours="3") + line("DECK", "bench", "4")
    later = "A1,2026-03-10,1,SHED,\n"
    load_sheets(stage, SHEET_HEAD + week + later)
    tag(stage, "--day", "2026-03-10", "--to", "DECK")
    weeks = stage.json("tagging", "--job", JOB)["weeks"]
    names = ("booked", "code", "rule", "hand", "untagged", "doubtful")

    assert [[row[f"{name}_hours"] for name in names] for row in weeks] == [
        [9, 3, 4, 0, 2, 0],
        [1, 0, 0, 1, 0, 0],
    ]
    # 7 of 9 hours.
    assert [row["tagged_percent"] for row in weeks] == [Decimal("77.7778"), 100]


def workbook(yard: Yard, cells: Mapping[str, str]) -> Path:
    """Write the workbook of what is left to tag, fill in cells and return it."""
    path = yard.folder / "untagged.xlsx"
    yard.run("untagged", "--out", path)
    book = openpyxl.load_workbook(path)
    for place, text in cells.items():
        book["Untagged"][place] = text
    book.save(path)
    return path


def test_the_workbook_has_locked_evidence_and_a_list_of_places(stage: Yard) -> None:
    """What is to be filled in is open, all else locked; places are chosen from a list."""
    left_over(stage)
    book = openpyxl.load_workbook(workbook(stage, {}))
    sheet = book["Untagged"]
    head = [cell.value for cell in sheet[1]]
    open_columns = [
        name for name, cell in zip(head, sheet[2], strict=True) if not cell.protection.locked
    ]
    lists = {str(each.sqref): each.formula1 for each in sheet.data_validations.dataValidation}

    assert sheet.protection.sheet
    assert open_columns == ["place", "cause", "rework", "why"]
    assert lists == {"I2:I5": "Choices!$A$1:$A$9", "K2:K5": "Choices!$B$1:$B$3"}
    assert [cell.value for cell in book["Choices"]["A"]] == [
        *("STAGE DECK", "STAGE FRAME", "STAGE RAIL", "STAGE RAIN", "STAGE untagged"),
        *("non_productive", "overhead", "absence", "untagged"),
    ]


@pytest.mark.slow
def test_the_same_entries_give_the_same_workbook(stage: Yard) -> None:
    """The bytes depend on the book alone."""
    left_over(stage)
    first = stage.folder / "a.xlsx"
    second = stage.folder / "b.xlsx"
    stage.run("untagged", "--out", first)
    stage.run("untagged", "--out", second)

    assert first.read_bytes() == second.read_bytes()


@pytest.mark.slow
def test_places_filled_in_are_tagged_and_blank_rows_wait(stage: Yard) -> None:
    """Loaded back, each row with a place is tagged by hand; loaded twice, nothing is added."""
    path = workbook(
        left_over(stage),
        {
            "I2": "STAGE FRAME",
            "K2": "setting_out",
            "L2": "the new bench",
            "I3": "overhead",
            "J3": "clean_up",
            "L3": "swept the shop",
        },
    )
    lines = stage.run("load", "tags", path).stderr.splitlines()
    again = stage.run("load", "tags", path).stderr.splitlines()

    assert lines[:2] == [
        "untagged.xlsx: 4 rows, 2 without a place",
        "2 entries tagged by hand, 9.00 h",
    ]
    assert again == ["untagged.xlsx: 4 rows, 2 without a place", "2 entries tagged so already"]
    assert booked(stage) == {
        (JOB, "FRAME", "", "setting_out"): 5 * HOUR,
        ("", "overhead", "clean_up", ""): 4 * HOUR,
        (JOB, "DECK", "", ""): 7 * HOUR,
        UNTAGGED: 3 * HOUR,
    }
    assert [row["reason"] for row in table(stage, "hand_tag")] == [
        "swept the shop",
        "the new bench",
    ]


WRONG = [
    (
        {"I2": "STAGE DEK", "L2": "x"},
        'Untagged!I2: place "STAGE DEK" is unknown; did you mean STAGE DECK?',
    ),
    (
        {"I3": "somewhere", "L3": "x"},
        'Untagged!I3: place "somewhere" is unknown; choose one of the list',
    ),
    ({"I2": "overhead", "L2": "x"}, "Untagged!J2: cause is blank; overhead needs one"),
    (
        {"I2": "RAIL", "J2": "rain", "L2": "x"},
        "Untagged!J2: cause: RAIL takes none; leave it blank",
    ),
    (
        {"I2": "RAIL", "K2": "rain", "L2": "x"},
        'Untagged!K2: rework "rain" is unknown; choose one of the list',
    ),
    ({"I2": "RAIL"}, "Untagged!L2: why is blank; give the reason in words"),
    ({"L2": "x"}, "Untagged!I2: place is blank, but why is filled in"),
    ({"A2": "99.1"}, 'Untagged!A2: entry "99.1" is not in this book'),
]


@pytest.mark.parametrize(("cells", "fault"), slow_beyond(1, WRONG))
def test_a_wrong_cell_is_named_and_nothing_is_tagged(
    stage: Yard, cells: dict[str, str], fault: str
) -> None:
    """All faults are said by cell; no entry is tagged, not even of the right rows."""
    path = workbook(left_over(stage), {"I5": "STAGE DECK", "L5": "right", **cells})
    before = stage.book.read_bytes()
    lines = stage.run("load", "tags", path, ok=False).stderr.splitlines()

    assert lines == [f"untagged.xlsx, {fault}", "1 fault; nothing was loaded"]
    assert stage.book.read_bytes() == before


@pytest.mark.slow
def test_a_workbook_overtaken_by_another_tag_is_refused(stage: Yard) -> None:
    """What somebody tagged since is not overwritten unseen."""
    load_sheets(stage, SHEET_HEAD + line("SHED"))
    path = workbook(stage, {"I2": "STAGE RAIL", "L2": "x"})
    tag(stage, "--untagged", "--to", "DECK")

    assert stage.run("load", "tags", path, ok=False).stderr.splitlines()[0] == (
        f"untagged.xlsx, Untagged!G2: entry {entry_of(stage)} is booked to STAGE DECK now, "
        "not to STAGE untagged; write a new file and fill that in"
    )
