"""Texts that a spreadsheet would take for a formula.

Source: OWASP, CSV Injection, owasp.org/www-community/attacks/CSV_Injection.
"""

import csv
import io
from pathlib import Path

import openpyxl
import pytest

from ledger.cli.output import as_csv
from ledger.domain.spreadsheets import begins_formula, without_mark
from tests._stage import SHEET_HEAD, load_sheets, table
from tests.conftest import Yard
from tests.store._verifier import fields_of

FORMULAS = [
    *("=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "=", "-2+3|' /C x'!A0"),
    *("\uff1d1", "\uff0b1+1", "\uff0d1+1", "\uff201"),
]
TEXTS = ["", "x=1", "7.5", "'", "'word", "2026-03-02", "a-b", " =1"]
NUMBERS = ["-7.50", "+7.50", "-0:30", "-7,5", "+49 30 123", "-", "-5%"]


@pytest.mark.parametrize("text", FORMULAS)
def test_what_begins_a_formula_is_marked_and_comes_back(text: str) -> None:
    """A text that begins a formula stands behind an apostrophe in CSV, which can be taken off."""
    (_, [cell]) = list(csv.reader(io.StringIO(as_csv(["note"], [[text]]), newline="")))

    assert begins_formula(text)
    assert cell == f"'{text}"
    assert without_mark(cell) == text


@pytest.mark.parametrize("text", TEXTS + NUMBERS)
def test_other_texts_and_numbers_stay_as_they_are(text: str) -> None:
    """Neither a number with its sign nor any other text is altered, there or back."""
    rows = list(csv.reader(io.StringIO(as_csv(["note", "n"], [[text, "."]]))))

    assert rows[1] == [text, "."]
    assert without_mark(text) == text


def test_a_line_end_within_a_cell_begins_no_other() -> None:
    """A carriage return stands in quotes, so that what follows it is no cell of its own."""
    assert as_csv(["a", "b"], [["x\r=1", None], ['"', 7]]) == 'a,b\n"x\r=1",\n"""",7\n'
    assert as_csv(["a"], [[""]]) == 'a\n""\n'


NOTE = '=HYPERLINK("http://x";"y")'


@pytest.fixture
def with_formulas(stage: Yard) -> Yard:
    """A book with a formula in a note, in a held line and in the name of its file."""
    cell = '"' + NOTE.replace('"', '""') + '"'
    load_sheets(
        stage, f"{SHEET_HEAD}A1,2026-03-02,8,DECK,{cell}\nZ9,2026-03-02,8,@x,-a\n", "=w.csv"
    )
    return stage


def test_csv_begins_no_formula_and_json_is_exact(with_formulas: Yard) -> None:
    """--format csv marks a note, a code and a file's name; --format json has them as they are."""
    lines = table(with_formulas, "entry")
    (waiting,) = with_formulas.json("held")
    shown = with_formulas.rows(with_formulas.run("held", "--format", "csv").stdout)

    assert lines[0]["note"] == f"'{NOTE}"
    assert shown[0]["file"] == "'=w.csv"
    assert (waiting["file"], waiting["line"]) == ("=w.csv", 3)


def test_held_lines_come_back_from_their_workbook(with_formulas: Yard) -> None:
    """The held workbook marks what begins a formula as text, and loads as it was handed out."""
    out = with_formulas.folder / "held.xlsx"
    with_formulas.run("held", "--out", out)
    book = openpyxl.load_workbook(out)
    sheet = book["Held"]
    heads = [cell.value for cell in sheet[1]]
    file, code = (sheet.cell(2, heads.index(name) + 1) for name in ("file", "booking_code"))
    sheet.cell(2, heads.index("correction") + 1).value = "worker_id=A1"
    sheet.cell(2, heads.index("why") + 1).value = "asked"
    book.save(out)

    assert [(c.value, c.data_type, c.quotePrefix) for c in (file, code)] == [
        ("=w.csv", "s", True),
        ("@x", "s", True),
    ]
    with_formulas.run("load", "held", out)
    assert with_formulas.json("held") == []


def test_held_lines_come_back_from_csv(with_formulas: Yard) -> None:
    """The mark before a file's name is taken off where corrections are loaded."""
    (row,) = with_formulas.rows(with_formulas.run("held", "--format", "csv").stdout)
    (line,) = with_formulas.json("held")
    text = f"held_line,correction,why,file,line\n{line['held_line']},reject,no,{row['file']},3\n"
    with_formulas.run("load", "held", with_formulas.write("right.csv", text))

    assert with_formulas.json("held") == []


def test_an_export_is_exact_and_says_so(with_formulas: Yard) -> None:
    """The archive has every text as recorded, for the seals; its README names what to beware of."""
    archive = with_formulas.folder / "archive"
    with_formulas.run("export", archive)
    head, *rows = fields_of(Path(archive / "note.csv").read_text(encoding="utf-8"))

    assert rows[0][head.index("note")] == NOTE
    assert "take it for a formula" in (archive / "README.txt").read_text(encoding="utf-8")
