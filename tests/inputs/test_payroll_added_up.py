"""Payroll with several rows of a worker, period and class: added up exactly where asked for."""

import random
from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pytest

from ledger.errors import Faults, messages
from ledger.inputs.adding_up import add_up
from ledger.inputs.columns import FIELDS_BY_TABLE
from ledger.tables.layout_files import parse_layout
from ledger.tables.small_tables import FileRow
from tests._stage import batches, table
from tests.conftest import Yard
from tests.tables._workbooks import xlsx

HEAD = "worker_id,period_start,period_end,pay_class,hours,gross,cost centre\n"
MARCH = "2026-03-01,2026-03-31"
ROWS = (
    f"A1,{MARCH},normal,120.25,1800.10,SHOP\n"
    f"B2,{MARCH},normal,160,2400,SHOP\n"
    f"A1,{MARCH},normal,39.75,715.55,SLIP\n"
    f"A1,{MARCH},normal,-8,-144,SLIP\n"
    f"A1,{MARCH},Overtime premium,2,20,\n"
    f"A1,{MARCH},overtime-premium,1,,\n"
)
# A1, normal: 120.25 + 39.75 - 8 = 152 h, 1800.10 + 715.55 - 144 = 2371.65; its premium 2 + 1 = 3 h.
LINES = [
    ("A1", "normal", str(152 * 3_600_000), "2371.6500"),
    ("A1", "overtime_premium", str(3 * 3_600_000), "20.0000"),
    ("B2", "normal", str(160 * 3_600_000), "2400.0000"),
]
ADDED_UP = 'table = "payroll"\nadd_up = true\nevidence = ["cost centre"]\n'


def paid(stage: Yard) -> list[tuple[str, ...]]:
    names = ("worker_id", "pay_class", "ms", "gross")
    return sorted(tuple(row[name] for name in names) for row in table(stage, "payroll_line"))


def load(stage: Yard, text: str, *, ok: bool = True) -> list[str]:
    layout = stage.write("run.toml", ADDED_UP)
    path = stage.write("run.csv", text)
    return stage.run("load", "payroll", "--layout", layout, path, ok=ok).stderr.splitlines()


def test_rows_of_a_worker_period_and_class_are_added_up_with_their_lines(stage: Yard) -> None:
    """Two rates, cost centres and a correction are one line; each row stays in the book."""
    said = load(stage, HEAD + ROWS)
    kept = table(stage, "payroll_row")
    before = batches(stage)
    load(stage, HEAD + ROWS)

    assert said[:4] == [
        "run.csv: payroll_line: 3 new, 0 changed, 0 unchanged",
        "run.csv: 5 rows added up into 2 lines",
        "run.csv: A1 2026-03-01 2026-03-31 normal: rows 2, 4, 5 are 152.00 h together",
        "run.csv: A1 2026-03-01 2026-03-31 overtime_premium: rows 6, 7 are 3.00 h together",
    ]
    assert paid(stage) == LINES
    assert [(row["pay_class"], row["file_line"], row["gross"]) for row in kept] == [
        ("normal", "2", "1800.1000"),
        ("normal", "4", "715.5500"),
        ("normal", "5", "-144.0000"),
        ("overtime_premium", "6", "20.0000"),
        ("overtime_premium", "7", ""),
    ]
    assert batches(stage) == before
    assert stage.run("check").exit_code == 0


def test_rows_of_several_tabs_name_their_tab(stage: Yard) -> None:
    """A worker of two gangs, a tab each, is paid once: 80 + 8 = 88 h."""
    head = ["worker_id", "period_start", "period_end", "pay_class", "hours"]
    own = ["A1", *MARCH.split(","), "normal"]
    tabs: dict[str, list[list[Any]]] = {"Hull": [head, [*own, 80]], "Deck": [head, [*own, 8]]}
    layout = stage.write("run.toml", 'table = "payroll"\nadd_up = true\n')
    path = xlsx(stage.folder / "run.xlsx", tabs)
    said = stage.run("load", "payroll", "--layout", layout, path).stderr

    assert "rows 2 of tab Hull, 2 of tab Deck are 88.00 h together" in said
    assert [(row["file_tab"], row["file_line"]) for row in table(stage, "payroll_row")] == [
        ("1", "2"),
        ("2", "2"),
    ]


def test_a_fault_in_one_of_the_rows_loads_none_of_them(stage: Yard) -> None:
    """A row that cannot be read is not left out of its sum."""
    wrong = load(stage, f"{HEAD}A1,{MARCH},normal,8,,\nA1,{MARCH},normal,eight,,\n", ok=False)

    assert wrong[0].startswith('run.csv:3: hours "eight" does not fit the layout')
    assert table(stage, "payroll_line") == []


def test_only_a_layout_of_payroll_adds_up() -> None:
    """Rows of other tables have more than amounts beside their key."""
    with pytest.raises(Faults) as caught:
        parse_layout("ours", b'table = "supplier-hours"\nadd_up = true\n', FIELDS_BY_TABLE)

    assert messages(caught.value.faults) == [
        "ours.toml:2: add_up: is for payroll alone; take it out"
    ]


@pytest.mark.parametrize("seed", range(3))
def test_sums_of_rows_lose_nothing(seed: int) -> None:
    """Hours and gross of all lines together are those of all rows, and each row is in one line."""
    chance = random.Random(seed)
    rows: Sequence[FileRow] = [
        FileRow(
            number,
            {
                "worker_id": chance.choice("ABC"),
                "ms": chance.randrange(-9, 999) * 36,
                "gross": chance.choice([None, Decimal(chance.randrange(10**9)).scaleb(-4)]),
            },
        )
        for number in range(2, 60)
    ]
    sums = add_up(rows, ("worker_id",), ("ms", "gross"))
    hours, gross = Counter[str](), Counter[str]()
    for row in rows:
        hours[row["worker_id"]] += row["ms"]
        gross[row["worker_id"]] += row["gross"] or 0

    assert sorted(row.number for each in sums for row in each.rows) == list(range(2, 60))
    assert {each.values["worker_id"]: each.values["ms"] for each in sums} == hours
    assert {each.values["worker_id"]: each.values["gross"] for each in sums} == gross
