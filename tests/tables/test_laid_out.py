"""Small tables by a layout: which rows count, how texts are read, and what is said of the rest."""

import inspect
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.cli.loads import load
from ledger.cli.refusals.worded import worded
from ledger.commands import loads
from ledger.errors import Faults, Refused, messages
from ledger.inputs.columns import FIELDS_BY_TABLE, LAID_OUT
from ledger.sheets.staging import scratch_book
from ledger.store.book import Book
from ledger.tables.heads import head_of_rows
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.layout_files import parse_layout
from ledger.tables.small_tables import ReadTable
from tests._stage import JOB, batches, table
from tests.conftest import Yard, slow_beyond
from tests.tables._workbooks import Broken, Formula, xlsx

HOUR = 3_600_000
ESTIMATE = """table = "estimate"
delimiter = ";"
decimal_mark = ","
date_order = "dmy"
{keys}
[columns]
work_package = "No"
title = "Work"
trade = "Trade"
budget_hours = "Hours"
planned_start = "Start"
planned_finish = "End"
[constants]
control_account = "hull"
technique = "percent_complete"
{sections}
"""
HEAD = "No;Work;Trade;Hours;Start;End\n"
TOTAL = '[total]\ncolumn = "Work"\ntext = ["Total*", "Subtotal"]\n'


@pytest.fixture(scope="module")
def scratch() -> Iterator[Book]:
    """A book in memory in which files are read."""
    with scratch_book() as book:
        yield book


def read(book: Book, path: Path, layout: str) -> ReadTable:
    parsed = parse_layout("ours", layout.encode(), FIELDS_BY_TABLE)
    return read_input(book, InputFile(path, parsed), LAID_OUT[parsed.table])


def estimate(book: Book, folder: Path, rows: str, keys: str = "", sections: str = "") -> ReadTable:
    path = folder / "estimate.csv"
    path.write_text(rows, encoding="utf-8")
    return read(book, path, ESTIMATE.format(keys=keys, sections=sections))


def row(hours: str, work: str = "Frames", start: str = "3.2.26") -> str:
    return f"H1;{work};welder;{hours};{start};31.3.26\n"


def said(found: ReadTable) -> list[str]:
    return messages(found.faults)


NUMBERS = [
    ("1.250,5", 2501 * HOUR // 2, []),
    ("12,25", 49 * HOUR // 4, []),
    ("7:30", 15 * HOUR // 2, []),
    ("40 h", 40 * HOUR, []),
    ("1.25", None, ["does not fit"]),
    ("NaN", None, ["does not fit"]),
    ("1e9", None, ["does not fit"]),
    ("9" * 30, None, ["does not fit"]),
    ("=B3*2", None, ["does not fit"]),
    ("-4", -4 * HOUR, ["is negative"]),
]


@pytest.mark.parametrize(("text", "ms", "wrong"), NUMBERS)
def test_hours_are_read_exactly_or_named(
    scratch: Book, tmp_path: Path, text: str, ms: int | None, wrong: list[str]
) -> None:
    """Decimal comma, thousands, h:mm and units are read without a float; else one clear fault."""
    found = estimate(scratch, tmp_path, HEAD + row(text), 'thousands = "."')
    faults = said(found)

    assert [part in each for part, each in zip(wrong, faults, strict=True)] == [True] * len(wrong)
    assert all(each.startswith("estimate.csv:2: budget_hours (hours) ") for each in faults)
    assert all(f'"{text}"' in each for each in faults)
    if not wrong:
        assert found.lines[0]["budget_ms"] == ms


def test_a_number_that_may_have_thousands_is_not_guessed(scratch: Book, tmp_path: Path) -> None:
    """1,234 is 1.234 or 1234: without `thousands` it is a fault, with it a number."""
    path = tmp_path / "rates.csv"
    path.write_text('trade,effective_from,cost_per_hour\nwelder,2026-01-01,"1,234"\n')
    open_, named = (
        read(scratch, path, f'table = "rates"\n{key}') for key in ("", 'thousands = ","')
    )

    assert said(open_) == [
        'rates.csv:2: cost_per_hour "1,234" may have marked thousands; name thousands in the layout'
    ]
    assert named.lines[0]["cost_per_hour"] == 12_340_000


DAYS = [
    ("3.2.26", "2026-02-03", ""),
    ("2026-02-03 00:00:00", "2026-02-03", ""),
    ("3 February 2026", "2026-02-03", ""),
    ("Mrz 2026", "2026-03-01", ""),
    ("03/2026", "2026-03-01", ""),
    ("31.2.26", "", "is not a valid date in the order dmy"),
    ("46056", "", "is not a valid date in the order dmy"),
    ("3.2.2926", "", "is outside the years 1900 to 2199"),
]


@pytest.mark.parametrize(("text", "day", "wrong"), DAYS)
def test_days_are_read_as_the_layout_has_them(
    scratch: Book, tmp_path: Path, text: str, day: str, wrong: str
) -> None:
    """A month is its first day; what is no day of the order is named as it stands in the file."""
    found = estimate(scratch, tmp_path, HEAD + row("8", start=text))

    assert [f'planned_start (start) "{text}" {wrong}' in each for each in said(found)] == (
        [True] if wrong else []
    )
    assert str(found.lines[0]["planned_start"] or "") == day


def test_an_ambiguous_day_is_a_fault_of_its_lines(scratch: Book, tmp_path: Path) -> None:
    """Without date_order 03/04/2026 is no date, and both columns are named at once."""
    path = tmp_path / "crew.csv"
    path.write_text(
        "worker_id,name,trade,active_from\nA1,Ada,welder,03/04/2026\nB2,Bo,,04/04/2026\n"
    )
    found = read(scratch, path, 'table = "crew"\n')

    assert said(found) == [
        'crew.csv:2-3: active_from "03/04/2026" is not a valid date in the order ymd '
        '(likewise "04/04/2026")',
        "crew.csv:3: trade is blank; fill it in",
    ]


NEXT = "H2;Deck;welder;4;3.2.26;4.3.26\n"
TOTALS = [
    ("the sum", ";Total;;30,5;;\n", []),
    (
        "since the total before",
        f";Subtotal;;30,5;;\n{NEXT};Total D;;4;;\n",
        [],
    ),
    ("all above", f";Subtotal;;30,5;;\n{NEXT};Total;;34,5;;\n", []),
    (
        "another sum",
        ";Total;;31;;\n",
        [
            "estimate.csv:4: budget_hours (hours): the total is 31.00 h, the rows above it add up "
            "to 30.50 h; correct it, or remove [total] from the layout"
        ],
    ),
]


@pytest.mark.parametrize(("name", "rows", "faults"), TOTALS, ids=lambda each: str(each)[:12])
def test_a_total_is_of_all_rows_above_or_since_the_total_before(
    scratch: Book, tmp_path: Path, name: str, rows: str, faults: list[str]
) -> None:
    """A total that is neither sum is a fault of its row; the rows of totals are no lines."""
    text = HEAD + row("10") + row("20,5", "Floors").replace("welder", "fitter") + rows
    found = estimate(scratch, tmp_path, text, sections=TOTAL)

    assert said(found) == faults
    assert sum(line["budget_ms"] for line in found.lines) in (61 * HOUR // 2, 69 * HOUR // 2), name


def test_a_total_that_cannot_be_read_is_named(scratch: Book, tmp_path: Path) -> None:
    """Its place and text are kept, and the file is read."""
    found = estimate(scratch, tmp_path, HEAD + row("10") + ";Total;;ten;;\n", sections=TOTAL)

    assert [(each.where, each.text) for each in found.totals_unchecked] == [
        ("estimate.csv:3", "ten")
    ]
    assert said(found) == []


def test_rows_that_are_no_line_are_counted_by_why(scratch: Book, tmp_path: Path) -> None:
    """Titles, heads again, totals, notes and blank rows are told apart, each with its number."""
    text = (
        f"Estimate;;;;;\n{HEAD};;;h;;\nHull;;;;;\n{row('10')};;;;;\n{HEAD}"
        f"Outfit;;;;;\n{row('4', 'Deck')};Total;;14;;\n;* no supervision;;;;\n"
    )
    found = estimate(
        scratch,
        tmp_path,
        text,
        "notes = true",
        TOTAL + '[left_out]\n"Hours" = ["h"]\n[titles]\nwork_kind = "No"\n',
    )

    assert {each.why: each.rows for each in found.rows_left_out} == {
        "as the layout says": (3,),
        "title": (4, 8),
        "blank": (6,),
        "head again": (7,),
        "total": (10,),
        "note": (11,),
    }
    assert [line["work_kind"] for line in found.lines] == ["Hull", "Outfit"]
    assert said(found) == []


def test_a_blank_cell_takes_what_stands_above_it_where_the_layout_says(
    scratch: Book, tmp_path: Path
) -> None:
    """fill_down holds within its title: nothing is taken over a row of totals."""
    text = (
        HEAD + row("10") + ";;fitter;5;3.2.26;4.3.26\n;Total;;15;;\n;Deck;welder;1;3.2.26;4.3.26\n"
    )
    found = estimate(scratch, tmp_path, text, 'fill_down = ["No", "Work"]', TOTAL)

    assert [line["work_package"] for line in found.lines] == ["H1", "H1", None]
    assert said(found) == ["estimate.csv:5: work_package (no) is blank; fill it in"]


def test_a_cell_of_a_workbook_is_named_by_its_place(scratch: Book, tmp_path: Path) -> None:
    """Errors, formulas without a result and texts are named with tab and cell, across tabs."""
    head = ["trade", "effective_from", "cost_per_hour"]
    tabs: dict[str, list[list[Any]]] = {
        "North": [["Rates"], head, ["welder", "1.1.26", Formula("A1*2")]],
        "South": [["Rates"], head, ["fitter", "1.13.26", Broken("#DIV/0!")]],
    }
    found = read(
        scratch, xlsx(tmp_path / "rates.xlsx", tabs), 'table = "rates"\ndate_order = "dmy"\n'
    )

    assert said(found) == [
        "rates.xlsx, North!C3: cost_per_hour holds the formula =A1*2 without its result; "
        "save it from a spreadsheet",
        'rates.xlsx, South!B3: effective_from "1.13.26" is not a valid date in the order dmy',
        "rates.xlsx, South!C3: cost_per_hour shows the error #DIV/0!; correct the formula",
    ]


def test_a_number_cell_keeps_its_point_and_a_text_has_the_layouts_marks(
    scratch: Book, tmp_path: Path
) -> None:
    """Beside decimal commas the cell 1.234 is one and a part, the text 1.234 a thousand."""
    rows: list[list[Any]] = [["trade", "effective_from", "cost_per_hour"]]
    rows += [
        [trade, "2026-01-01", cost]
        for trade, cost in [("a", Decimal("1.234")), ("b", "1.234"), ("c", "1,5")]
    ]
    found = read(
        scratch,
        xlsx(tmp_path / "rates.xlsx", {"Rates": rows}),
        'table = "rates"\ndecimal_mark = ","\nthousands = "."\n',
    )

    assert [line["cost_per_hour"] for line in found.lines] == [12_340, 12_340_000, 15_000]


def test_a_workbook_without_the_heads_names_those_it_has(scratch: Book, tmp_path: Path) -> None:
    """The only tab is taken by its first row; what the layout names and it lacks is said."""
    path = xlsx(tmp_path / "rates.xlsx", {"Rates": [["craft", "rate"], ["welder", 40]]})

    with pytest.raises(Refused) as caught:
        read(scratch, path, 'table = "rates"\n[columns]\ntrade = "Trade"\n')

    assert worded(caught.value) == (
        "rates.xlsx, Rates: missing columns: trade, effective_from, cost_per_hour; "
        "the head is craft, rate; correct the layout, or the head"
    )


HEADS = [
    ([["No", "Employed", ""], ["", "from", "to"]], ["no", "employed from", "employed to"]),
    (
        [["Our crew", "", ""], ["No", "Name", "Trade"]],
        ["our crew no", "our crew name", "our crew trade"],
    ),
    ([["A", "", "B"], ["", "c", ""]], ["a", "c", "b"]),
    ([["A"], ["b", "c"]], ["a b", "a c"]),
]


@pytest.mark.parametrize(("rows", "head"), HEADS)
def test_a_head_of_two_rows_is_the_upper_before_the_lower(
    rows: list[list[str]], head: list[str]
) -> None:
    """An upper head reaches over the lower ones beside it until the next; alone it stands alone."""
    assert head_of_rows(rows) == head


CELL = st.sampled_from(["", "H1", "Total", "Subtotal", "Frames", "8", "1,5", "3.2.26", "h", "x"])
ROWS = st.lists(st.lists(CELL, min_size=6, max_size=6), min_size=1, max_size=12)


@pytest.mark.parametrize("examples", slow_beyond(1, [10, 100]))
def test_every_row_below_the_head_is_a_line_or_left_out_or_faulty(
    scratch: Book, tmp_path: Path, examples: int
) -> None:
    """No row is lost whatever stands in it, and none is both a line and left out."""
    layout = TOTAL + '[left_out]\n"Trade" = ["h"]\n[titles]\nwork_kind = "No"\n'

    @settings(max_examples=examples, deadline=None, derandomize=True, database=None)
    @given(rows=ROWS)
    def check(rows: list[list[str]]) -> None:
        text = HEAD + row("8") + "".join(f"{';'.join(cells)}\n" for cells in rows)
        keys = 'notes = true\nfill_down = ["No"]\nblanks = ["x"]'
        found = estimate(scratch, tmp_path, text, keys, layout)
        lines = {line.number for line in found.lines}
        out = [number for each in found.rows_left_out for number in each.rows]

        assert lines | {*out} == set(range(2, len(rows) + 3))
        assert len(out) == len({*out} - lines)

    check()


@pytest.mark.parametrize("name", [*loads.OF_YARD, *loads.OF_JOB])
def test_every_table_that_is_loaded_can_have_a_layout(name: str) -> None:
    """What is loaded from a table is one that a layout can be for, and its command takes one."""
    (asked,) = (
        each.callback
        for each in load.registered_commands
        if each.callback and name in {each.name, each.callback.__name__}
    )
    takes = "layout" in inspect.signature(asked).parameters

    assert (name in LAID_OUT) is takes is (name not in {"settings", "job"})


def test_numbers_in_a_column_of_words_stay_as_they_are(scratch: Book, tmp_path: Path) -> None:
    """A package numbered 1.2 in a cell of numbers keeps its point beside decimal commas."""
    head: list[Any] = ["work_package", "date", "percent"]
    tabs: dict[str, list[list[Any]]] = {
        "Done": [head, [Decimal("1.2"), "2026-03-02", Decimal("12.5")]]
    }
    path = xlsx(tmp_path / "done.xlsx", tabs)
    (line,) = read(scratch, path, 'table = "progress"\ndecimal_mark = ","\n').lines

    assert (line["work_package"], line["percent"]) == ("1.2", Decimal("12.5"))


WRONG = [
    ('table = "crow"', "table: 'crow' is unknown; use one of sheets, crew"),
    ('table = "crew"\nshape = "grid"', "unknown key shape; use one of title, table"),
    ('table = "crew"\n[columns]\nhours = "H"', "unknown key columns.hours; use one of worker_id"),
    ('table = "crew"\ntab = "day"', "tab: 'day' is unknown; use one of worker_id, name"),
    ('table = "plan"\n[across]\nfield = "date"', "across: needs field and cells"),
    ('table = "crew"\nyear = "26"', "year: '26' is not a year; write 2026, without quotes"),
    ("head_rows = 3", "head_rows: 3 is not 1 or 2"),
]


@pytest.mark.parametrize(("text", "message"), WRONG)
def test_a_layout_that_does_not_fit_its_table_is_refused(text: str, message: str) -> None:
    """The key is named with its line and what the table takes."""
    with pytest.raises(Faults) as caught:
        parse_layout("ours", text.encode(), FIELDS_BY_TABLE)

    assert message in messages(caught.value.faults)[0]


@pytest.mark.slow
def test_a_layout_is_kept_with_the_file_and_refused_for_another_table(stage: Yard) -> None:
    """Loaded again by its name nothing is new; another table's load names what it is for."""
    crew = stage.write("crew.csv", "Nr;Name;Gewerk\nK1;Ina Voss;welder\n")
    layout = stage.write(
        "ours.toml",
        """
        table = "crew"
        delimiter = ";"
        [columns]
        worker_id = "Nr"
        name = "Name"
        trade = "Gewerk"
        """,
    )
    stage.run("load", "crew", "--layout", layout, crew)
    kept = {row["name"]: row["layout"] for row in table(stage, "file") if row["kind"] == "crew"}
    before = batches(stage)
    layout.unlink()
    again = stage.run("load", "crew", "--layout", "ours", crew).stderr
    other = stage.run("load", "milestones", "--job", JOB, "--layout", "ours", crew, ok=False).stderr
    sheets = stage.run("load", "sheets", "--layout", "ours", crew, ok=False).stderr

    assert kept["crew.csv"].startswith("ours ")
    assert again == "crew.csv: crew: 0 new, 0 changed, 1 unchanged\n"
    assert batches(stage) == before
    assert other == 'ours.toml: is a layout for crew; for this load it needs table = "milestones"\n'
    assert sheets == 'ours.toml: is a layout for crew; for this load it needs table = "sheets"\n'


@pytest.mark.slow
def test_sheets_too_have_heads_of_two_rows_and_totals_that_begin_so(stage: Yard) -> None:
    """Sheets have merged heads too, and "Total*" for totals between their lines, each checked."""
    layout = stage.write(
        "ours.toml",
        """
        head_rows = 2
        date_order = "dmy"
        [columns]
        worker_id = "Hand No."
        booking_code = "Code"
        date = "Work day"
        hours = "Work hours"
        [total]
        column = "Code"
        text = "Total*"
        """,
    )
    text = "Week 10,,,\nHand,Code,Work,\nNo.,,day,hours\nA1,DECK,2.3.26,8\nA1,DECK,3.3.26,7\n"
    text += ",Total A1,,15\nB2,DECK,2.3.26,4\n,Total B2,,4\n,Total,,19\n"
    path = stage.write("week.csv", text)
    counts = stage.json("load", "sheets", "--job", JOB, "--layout", layout, path)["files"][0]
    path = stage.write("wrong.csv", text.replace("Total,,19", "Total,,18"))
    wrong = stage.run("load", "sheets", "--job", JOB, "--layout", layout, path, ok=False).stderr

    assert (counts["booked"], counts["held"], counts["left_out"]) == (3, 0, 4)
    assert "the total is 18.00 h, the lines above it add up to 19.00 h" in wrong


@pytest.mark.slow
def test_the_table_can_be_said(stage: Yard) -> None:
    """--for takes a file for another table; a table that there is not is refused."""
    path = stage.write("rates.csv", "Trade,From,Rate\nwelder,2026-01-01,46.25\n")
    guessed = stage.run("guess", "layout", path)
    said = stage.run("guess", "layout", "--for", "charge-rates", path)
    wrong = stage.run("guess", "layout", "--for", "wages", path, ok=False)

    assert (
        "table: it may be charge-rates as well; then guess with --for charge-rates"
        in guessed.stderr
    )
    assert said.stdout.startswith('table = "charge-rates"\n')
    assert wrong.stderr.startswith('--for "wages": unknown; use one of sheets, crew, rates')
