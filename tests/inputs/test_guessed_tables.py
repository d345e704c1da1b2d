"""Which table a spreadsheet is taken for, by its heads alone; one that is close is named."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from ledger.cli.wording.layouts import unsure_line
from ledger.commands.layouts import TableProposal, guess_layout
from tests.tables._workbooks import xlsx

Rows = Sequence[Sequence[Any]]
CREW: Rows = [
    ["Crew list as of 5 January"],
    ["Pers. no.", "Surname, first name", "Employed", None, "Contract", "Agency"],
    [None, None, "from", "to", "h/week", None],
    ["JOINERS"],
    [11, "Thorn, Ada", "2026-01-05", None, 40, None],
    [12, "Bram, Oda", "2026-01-05", "2026-06-30", None, "Sandle Staff"],
]
PAID: Rows = [
    ["No.", "Name", "Hours paid", None, "Gross EUR"],
    [None, None, "normal", "overtime premium", None],
    [11, "Ada Thorn", 160, 2.5, 3192],
    [12, "Oda Bram", 150.5, None, 2850.25],
]
MONTH = ("2026-03-01", "2026-03-31")
PERIODS: Rows = [["Worker", "From", "To", "Hours"], ["W1", *MONTH, 160], ["W2", *MONTH, 152]]
NAMED: Rows = [
    ["No.", "Name", "From", "To", "Hours", "Class"],
    ["W1", "Ada Thorn", *MONTH, 160, "normal"],
]
CHARGED: Rows = [["Worker", "From", "To", "Hours", "Rate €"], ["G1", *MONTH, 38, 34.5]]
CLAIMED: Rows = [["item", "date", "percent"], ["BASE", "2026-03-31", 40]]

# The tab, its rows, and the table; then those that are named beside it.
TAKEN = [
    # Dates and firms of people, but no hours: neither payroll nor what an agency charged.
    ("People", CREW, "crew", []),
    # Pay classes across, and gross: no estimate by trades.
    ("March 2026", PAID, "payroll", []),
    ("Tab", PERIODS, "payroll", ["supplier-hours"]),
    # Names beside hours are no crew.
    ("Tab", NAMED, "payroll", []),
    ("Tab", CHARGED, "supplier-hours", ["payroll"]),
    ("Tab", CLAIMED, "claim-percents", []),
]


@pytest.mark.parametrize(("tab", "rows", "name", "others"), TAKEN)
def test_the_table_is_the_one_whose_columns_are_there(
    tmp_path: Path, tab: str, rows: Rows, name: str, others: Sequence[str]
) -> None:
    """Without being told, a crew, a payroll and hours charged are each taken for what they are."""
    proposal = guess_layout(xlsx(tmp_path / "ours.xlsx", {tab: rows}))
    assert isinstance(proposal, TableProposal)
    near = [each.fields["others"] for each in proposal.unsure if each.kind == "table"]

    assert proposal.table == name
    assert near == [others] * bool(others)


def test_a_table_that_is_close_is_named_with_how_to_say_so(tmp_path: Path) -> None:
    """Hours of a worker and period may be paid or charged; the option for the other is named."""
    proposal = guess_layout(xlsx(tmp_path / "ours.xlsx", {"Tab": PERIODS}))
    lines = [unsure_line(each) for each in proposal.unsure if each.kind == "table"]

    assert lines == [
        "table: it may be supplier-hours as well; then guess with --for supplier-hours"
    ]


HOURS = ["Code", "Date", "Hours"], ["DECK", "2026-03-02", 8]
OF_WORKERS = ["Worker", *HOURS[0]], ["A1", *HOURS[1]]


@pytest.mark.parametrize(("rows", "others"), [(HOURS, [["plan"]]), (OF_WORKERS, [])])
def test_hours_by_code_and_day_may_be_a_plan_as_well_as_sheets(
    tmp_path: Path, rows: Rows, others: Sequence[Sequence[str]]
) -> None:
    """Timesheets that fit another table as well name it; with a worker's column they do not."""
    proposal = guess_layout(xlsx(tmp_path / "ours.xlsx", {"Ann Lee": rows}))

    assert not isinstance(proposal, TableProposal)
    assert [each.fields["others"] for each in proposal.unsure if each.kind == "table"] == others
