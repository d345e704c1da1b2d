"""What a file says is used or refused, never dropped without a word."""

import openpyxl
import pytest

from tests._stage import batches, load, table
from tests.conftest import Yard

LINES_HEAD = "change,price_kind,description,trade,hours,quantity,unit_price"
UNUSED = "is not used by this version yet; leave it blank"
NOT_USED_YET = [
    ("charge-rates", "trade,effective_from,charge_per_hour,{}\ncarpenter,2026-01-01,60,night\n",
     "pay_class"),
]  # fmt: skip
REQUEST = (
    "change,title,requested_by,requested_on,change_basis\nCR1,Rail,Ada,2026-03-09,fixed_price\n"
)


@pytest.mark.parametrize(("thing", "text", "column"), NOT_USED_YET, ids=lambda each: each[:16])
def test_a_column_that_nothing_uses_yet_is_refused_when_it_is_filled(
    stage: Yard, thing: str, text: str, column: str
) -> None:
    """A column of the documented inputs that is not used yet is refused, not dropped."""
    load(stage, "changes", REQUEST)
    before = batches(stage)
    said = load(stage, thing, text.format(column), ok=False)

    assert said == f"{thing}.csv:2: {column} {UNUSED}\n1 fault; nothing was loaded\n"
    assert batches(stage) == before


def test_a_column_that_nothing_uses_yet_may_stand_there_blank(stage: Yard) -> None:
    """The column may be in the head as long as its cells are blank."""
    load(stage, "changes", REQUEST)
    load(stage, "change-lines", f"{LINES_HEAD},addition_percent\nCR1,material,Rail,,,8,80.00,\n")

    assert [row["description"] for row in table(stage, "change_line")] == ["Rail"]


def test_an_unknown_column_is_told_with_the_one_it_may_be(stage: Yard) -> None:
    """A column that is not known is left out and told, with the name it may be a slip of."""
    load(stage, "changes", REQUEST)
    text = f"{LINES_HEAD},additon_percent,colour\nCR1,material,Rail,,,8,80.00,15,red\n"

    assert load(stage, "change-lines", text).splitlines()[-1] == (
        "change-lines.csv: unknown columns left out: additon_percent (addition_percent?), colour"
    )


@pytest.mark.parametrize("head", ["worker_id,name,trade", "worker_id,name,trade,grade"])
def test_a_worker_needs_no_grade(stage: Yard, head: str) -> None:
    """The grade may be blank, and its column left out."""
    row = ",".join(["D4", "Dan", "joiner", ""][: head.count(",") + 1])
    stage.run("load", "crew", stage.write("crew.csv", f"{head}\n{row}\n"))

    assert [row["grade"] for row in table(stage, "crew") if row["worker_id"] == "D4"] == [""]


CREW_HEAD = "worker_id,name,trade,active_from\n"


def test_a_fault_that_repeats_is_one_message_with_its_lines(stage: Yard) -> None:
    """Faults of one kind in one column are told once, with every line and the first values."""
    rows = [f"D{each},Dan,,2026-01-01\n" for each in (1, 2, 3, 4)]
    rows[2] = "D3,Dan,joiner,2026-01-01\n"
    rows += [f"E{each},Eve,joiner,{each:02}.03.2026\n" for each in range(1, 7)]
    said = stage.run(
        "load", "crew", stage.write("crew.csv", CREW_HEAD + "".join(rows)), ok=False
    ).stderr

    assert said.splitlines() == [
        "crew.csv:2-3, 5: trade is blank; fill it in",
        'crew.csv:6-11: active_from "01.03.2026" is not a date; write it as 2026-05-31 '
        '(likewise "02.03.2026", "03.03.2026", "04.03.2026" and 2 more)',
        "9 faults; nothing was loaded",
    ]


def test_a_fault_that_repeats_in_a_workbook_names_its_cells(stage: Yard) -> None:
    """In a workbook the cells of a column are told as ranges."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Crew"
    sheet.append(["worker_id", "name", "trade"])
    for worker, trade in (("D1", None), ("D2", None), ("D3", "joiner"), ("D4", None)):
        sheet.append([worker, "Dan", trade])
    book.save(stage.folder / "crew.xlsx")
    said = stage.run("load", "crew", stage.folder / "crew.xlsx", ok=False).stderr

    assert said.splitlines() == [
        "crew.xlsx, Crew!C2:C3, C5: trade is blank; fill it in",
        "3 faults; nothing was loaded",
    ]


MEASURED = """\
work_package,date,quantity_done,quantity_at_completion
DECK,2026-03-05,10,
DECK,2026-03-06,20,
DECK,2026-03-13,40,
DECK,2026-03-16,45,
DECK,2026-03-17,45,45
DECK,2026-03-18,46,
"""


def test_a_measurement_that_may_be_a_slip_is_loaded_and_told(stage: Yard) -> None:
    """More than the quantity, or before the planned start, is taken and told with its lines."""
    said = load(stage, "progress", MEASURED).splitlines()

    assert said == [
        "progress.csv: progress: 6 new, 0 changed, 0 unchanged",
        'progress.csv:2-3: date "2026-03-05" is before the planned start of DECK, 2026-03-09 '
        '(likewise "2026-03-06")',
        'progress.csv:5: quantity_done "45" is above the quantity of DECK, 40; '
        "it counts as complete",
        'progress.csv:7: quantity_done "46" is above the quantity of DECK, 45; '
        "it counts as complete",
    ]
