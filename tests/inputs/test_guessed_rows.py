"""Rows of a spreadsheet that are no lines: subtotals and counts are proposed as such, and named."""

import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from ledger.commands.layouts import TableProposal, guess_layout
from ledger.sheets.guessing import Proposal
from tests._stage import JOB, table
from tests.conftest import Yard
from tests.tables._workbooks import xlsx

DAYS = ("2026-03-02", "2026-03-27")


def written(folder: Path, rows: Sequence[str]) -> Path:
    path = folder / "ours.csv"
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path


def proposed(path: Path, name: str | None = None) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return the layout proposed for a table, and the fields of what it leaves open by kind."""
    proposal = guess_layout(path, name)
    assert isinstance(proposal, TableProposal | Proposal)
    return tomllib.loads(proposal.toml), {each.kind: each.fields for each in proposal.unsure}


def test_subtotals_beside_a_grand_total_are_no_packages(stage: Yard) -> None:
    """Each beginning that occurs is proposed; 350 h are loaded, not 350 + 100 + 250."""
    rows: Sequence[Sequence[Any]] = [
        ["Item", "Work", "Joiner", "Welder", "Start", "End"],
        ["1 Hull", None, None, None, None, None],
        ["1.1", "Frames", 40, 60, *DAYS],
        ["Sum 1", None, 40, 60, None, None],
        ["2 Deck", None, None, None, None, None],
        ["2.1", "Decking", 250, None, *DAYS],
        ["Sum 2", None, 250, None, None, None],
        ["Grand total", None, 290, 60, None, None],
    ]
    path = xlsx(stage.folder / "ramp.xlsx", {"Estimate": rows})
    guessed = stage.run("guess", "layout", path)
    layout = stage.write("ramp.toml", guessed.stdout)
    stage.run("load", "estimate", "--job", JOB, "--layout", layout, path)
    packages = {row["work_package"]: row["title"] for row in table(stage, "work_package")}

    assert tomllib.loads(guessed.stdout)["total"] == {
        "column": "Item",
        "text": ["Sum*", "Grand total"],
    }
    assert packages == {"1.1": "Frames", "2.1": "Decking"}


SHARED = [
    # Without another line that begins so, one text stands for all of them.
    (["H1,Frames", "Sum 1,", "H2,Sump"], ["Sum*"]),
    (["H1,Frames", "Sum 1,", "SUMP,Sump", "Sum 2,"], ["Sum 1", "Sum 2"]),
    (["H1,Frames", "Total hull,", "All in,", "SUB,x", "Subtotal,"], ["Total*", "Subtotal"]),
]


def test_gross_beside_pay_classes_laid_across_does_not_count_for_each(stage: Yard) -> None:
    """3192.00 of 160 h and 8 h is neither class's gross: it is kept as evidence, else refused."""
    rows: Sequence[Sequence[Any]] = [
        ["No.", "Hours paid", None, "Gross EUR"],
        [None, "normal", "leave", None],
        ["A1", 160, 8, 3192],
        ["B2", 150.5, None, 2850.25],
    ]
    path = xlsx(stage.folder / "paid.xlsx", {"March 2026": rows})
    guessed = stage.run("guess", "layout", path)
    layout = stage.write("paid.toml", guessed.stdout)
    stage.run("load", "payroll", "--layout", layout, path)
    mapped = guessed.stdout.replace('evidence = ["Gross EUR"]\n', "")
    mapped = mapped.replace("[columns]\n", '[columns]\ngross = "Gross EUR"\n')
    layout = stage.write("mapped.toml", mapped)
    refused = stage.run("load", "payroll", "--layout", layout, path, ok=False).stderr

    assert tomllib.loads(guessed.stdout)["evidence"] == ["Gross EUR"]
    assert [row["gross"] for row in table(stage, "payroll_line")] == ["", "", ""]
    assert refused == (
        "paid.xlsx, March 2026: gross eur is of the whole row and would count for each of the "
        "heads laid across; put it into evidence\n"
    )


@pytest.mark.parametrize(("rows", "texts"), SHARED)
def test_a_beginning_that_a_line_shares_gives_way_to_whole_texts(
    tmp_path: Path, rows: Sequence[str], texts: Sequence[str]
) -> None:
    """A package SUMP is no total: then each text of a total is named; "All in" is none."""
    lines = ["work_package,title,hours,start,end", *(f"{row},8,," for row in rows)]
    layout, _ = proposed(written(tmp_path, lines), "estimate")
    text = layout["total"]["text"]

    assert (text if isinstance(text, list) else [text]) == texts


def test_all_texts_of_totals_of_sheets_are_proposed(tmp_path: Path) -> None:
    """Totals of workers and of the week stand in one column; a note may begin with their word."""
    rows = [
        "worker_id,date,hours,note,booking_code",
        "A1,2026-03-02,8,total mess,DECK",
        "Sum A1,,8,,",
        "Total,,8,,",
    ]
    layout, _ = proposed(written(tmp_path, rows))

    assert layout["total"] == {"column": "worker_id", "text": ["sum*", "total"]}


CREW = ["Pers. no.,Name,Trade,From", "11,Ada,joiner,2026-01-05", "12,Bo,joiner,2026-01-05"]
WORDED = [
    # Several words where the others have one number.
    ("Number of people,2,,", ["Number of people"], []),
    # One word, and nothing under heads that all others fill.
    ("People,2,,", ["People"], []),
    # One word with all that the others have may be a worker.
    ("FOREMAN,Cy,joiner,2026-01-05", [], ["FOREMAN"]),
    ("K3,Cy,joiner,2026-01-05", [], []),
]


@pytest.mark.parametrize(("row", "out", "doubted"), WORDED)
def test_words_under_a_head_of_numbers_are_no_line_or_doubted(
    tmp_path: Path, row: str, out: Sequence[str], doubted: Sequence[str]
) -> None:
    """A count below the crew is no worker: it is proposed as left out, or named."""
    layout, unsure = proposed(written(tmp_path, [*CREW, row]))

    assert layout.get("left_out", {}).get("Pers. no.", []) == out
    assert unsure.get("words_left_out", {}).get("texts", []) == out
    assert unsure.get("words_among_numbers", {}).get("texts", []) == doubted


def test_words_among_codes_with_a_number_are_doubted(tmp_path: Path) -> None:
    """PAINT beside H01 may be a package, without a title too; nothing is filled down for it."""
    head = "Package,Work,Budget hours,Start,End"
    rows = [head, *(f"H0{at},Hull,8,{','.join(DAYS)}" for at in (1, 2)), "PAINT,,8,,"]
    layout, unsure = proposed(written(tmp_path, rows), "estimate")

    assert "left_out" not in layout
    assert unsure["words_among_numbers"] == {"texts": ["PAINT"], "column": "Package"}
