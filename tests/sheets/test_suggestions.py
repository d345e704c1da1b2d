"""Likely places of what is left to tag: found by what is tagged, scored, and never posted."""

from typing import Any

import openpyxl
import pytest

from ledger.sheets.suggestions import WEIGHTS
from tests._stage import SHEET_HEAD, batches, load_sheets
from tests.conftest import Yard
from tests.manual._pages import page

LINES = """A1,2026-03-09,8,DECK,deck board 4
A1,2026-03-10,6,DECK,
A1,2026-03-10,2,RAIL,
B2,2026-03-09,8,DECK,
A1,2026-03-11,4,,Deck board: 4
B2,2026-03-11,3,DEK,
"""
CREW = "91 % of the hours of trade carpenter that week; its trade and dates"
# Worker, place, score and reason. A1 to DECK: the same note 35, 14 of 16 h of the week 17.5, 22 of
# the trade's 24 h 9.16, no other line that day 15, trade and dates 5 each: 86.66. A1 to RAIL: 2.5,
# 0.83, 15 and 5. B2 to DECK: 6 of 7 letters of the code 17.2, the whole week 20, 9.16, 15, 5 and 5.
# B2 to RAIL: 0.83, 15 and 5.
SUGGESTED = [
    ("A1", "DECK", 87, f"same note on 1 entry there; A1 there on 2 of 2 days that week; {CREW}"),
    ("A1", "RAIL", 23, "A1 there on 1 of 2 days that week; its trade; not its dates"),
    ("B2", "DECK", 71, f"the code is like its own; B2 there on 1 of 1 day that week; {CREW}"),
    ("B2", "RAIL", 21, "its trade; not its dates"),
]


@pytest.fixture
def left(stage: Yard) -> Yard:
    """A week in which two lines have no code that is known."""
    load_sheets(stage, SHEET_HEAD + LINES)
    return stage


def flat(answer: dict[str, Any]) -> list[tuple[str, str, int, str]]:
    return [
        (row["worker_id"], each["booked_to"], each["score"], each["reason"])
        for row in answer["rows"]
        for each in row["suggestions"]
    ]


def test_places_are_suggested_with_score_and_reason(left: Yard) -> None:
    """Note, code, week, trade and dates add up, the most hours first; nothing is written."""
    before = batches(left)
    answer = left.json("suggest", "tags")

    assert flat(answer) == SUGGESTED
    assert batches(left) == before
    assert flat(left.json("suggest", "tags", "--by", "day", "--worker", "b2")) == SUGGESTED[2:]
    assert flat(left.json("suggest", "tags", "--code", "")) == SUGGESTED[:2]


def test_what_was_accepted_is_evidence_from_then_on(left: Yard) -> None:
    """A code that was tagged by hand speaks for its place; what is tagged is no more suggested."""
    why = ("--reason", "seen on the deck")
    left.run("tag", "entries", "--code", "DEK", "--to", "RAIL", *why)
    load_sheets(left, f"{SHEET_HEAD}B2,2026-03-12,3,DEK,\n", "more.csv")
    answer = left.json("suggest", "tags", "--code", "DEK")
    reasons = {place: reason for _, place, _, reason in flat(answer)}

    assert [row["entries"] for row in answer["rows"]] == [1]
    assert reasons["RAIL"].startswith("same code on 1 entry tagged there; B2 there on 1 of 2 days")


@pytest.mark.slow
def test_the_workbook_has_the_likeliest_place_as_evidence(left: Yard) -> None:
    """The column is locked; no place is chosen by itself."""
    out = left.folder / "untagged.xlsx"
    left.run("untagged", "--out", out)
    sheet = openpyxl.load_workbook(out)["Untagged"]
    head, *rows = [[cell.value for cell in row] for row in sheet.iter_rows()]
    column = head.index("suggested")

    assert [row[column] for row in rows] == ["STAGE DECK (87)", "STAGE DECK (71)"]
    assert [row[head.index("place")] for row in rows] == [None, None]
    assert sheet.cell(2, column + 1).protection.locked


def test_the_manual_gives_the_weights() -> None:
    """The points of each kind of evidence are those of the program; without a code they are 100."""
    rows = page("tagging").table("weights")

    assert [int(points) for _, points, _ in rows] == list(WEIGHTS.values())
    assert sum(WEIGHTS.values()) - WEIGHTS["code"] == 100
