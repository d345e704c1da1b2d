"""The workbook holds the same tables as the page, as numbers and dates."""

import io
import zipfile
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal

import openpyxl
import pytest
from openpyxl import Workbook

from ledger.reports.dates import written
from ledger.reports.owner.page import owner_page
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.rendering import RenderChoices, render
from ledger.reports.workbook import number_format
from tests.reports import _landing as landing
from tests.reports._landing import LANDING, RECORDED_AT


def opened(view: OwnerVariations = LANDING, paper: str = "A4") -> Workbook:
    made = render(view, "xlsx", recorded_at=RECORDED_AT, choices=RenderChoices(paper))
    return openpyxl.load_workbook(io.BytesIO(made))


def test_one_sheet_a_table() -> None:
    """Each table of the page has its sheet, behind one that says what the workbook is."""
    actual = opened().sheetnames

    assert actual == [
        "Statement",
        *(section.table.name for section in owner_page(LANDING).sections),
        "Change details",
        "Price lines",
        "Decisions",
    ]
    assert len(actual) == 10


def test_numbers_are_numbers_and_dates_are_dates() -> None:
    """Amounts can be added and dates sorted; heads carry the unit."""
    sheet = opened()["Awaiting decision"]
    head, first = ([cell.value for cell in row] for row in sheet.iter_rows(1, 2))

    assert head[-3:] == ["Hours (h)", "Price (EUR)", "Remark"]
    assert first == [
        "V-11",
        "Waiting shelter with bench on the landing (already instructed)",
        datetime(2026, 8, 3),  # noqa: DTZ001
        datetime(2026, 9, 30),  # noqa: DTZ001
        f"{written(date(2026, 8, 31))}, overdue",
        204,
        21_980,
        f"Sent on {written(date(2026, 8, 3))}, with you for 34 days. The decision is 6 days late. "
        f"The price lapses after {written(date(2026, 9, 30))}. Work continues on your instruction "
        "while the price is open. It asks for 4 more days.",
    ]
    assert sheet["C2"].number_format == "yyyy-mm-dd"
    assert sheet["G2"].number_format == '#,##0.00;"−"#,##0.00;#,##0.00'


def test_totals_stand_under_their_columns() -> None:
    """A total's label is in the first column, its figures under the figures they add."""
    # 204 + 72.5 = 276.5, in whole hours as on the first page: 204 + 73 = 277
    sheet = opened()["Awaiting decision"]
    actual = [cell.value for cell in sheet[4]]

    assert actual == ["Awaiting your decision", *[None] * 4, 277, 27_875, None]


def test_sheets_add_up() -> None:
    """The steps on the sheets of the contract and the hours add to their totals."""
    book = opened()
    sums = {row[0].value: Decimal(str(row[2].value or 0)) for row in book["Contract"].iter_rows(2)}
    hours = {row[0].value: Decimal(str(row[1].value)) for row in book["Hours"].iter_rows(2)}
    adjusted = hours.pop("Adjusted estimate")
    final = hours.pop("Anticipated final hours")

    assert sum(list(sums.values())[:4]) == sums["Adjusted"]
    assert adjusted == 6_344
    assert sum(hours.values()) == final == 6_831


def test_the_lines_of_all_prices_stand_on_one_sheet() -> None:
    """Each line of each price has its change before it, and they add to the prices shown."""
    rows = [[cell.value for cell in row] for row in opened()["Price lines"].iter_rows(2)]
    prices = {row.change: row.price for row in LANDING.changes if row.price is not None}
    added = {code: Decimal(0) for code in prices}
    for row in rows:
        added[row[0]] += Decimal(str(row[-1]))

    assert rows[0] == ["V-03", "Drive and cap the dolphin", "Labour, piling", 292, "h", 62, 18_104]
    assert added == prices


def test_the_first_sheet_proves_the_rest() -> None:
    """Stamp, digest and command stand in the workbook as on the page."""
    cover = {row[0].value: row[1].value for row in opened()["Statement"].iter_rows()}
    proof = {fact.label: fact.value for fact in owner_page(LANDING).proof}

    assert {label: cover[label] for label in proof} == proof


def test_a_rehearsal_is_named_first() -> None:
    """A workbook of a trial record begins with saying so."""
    cover = opened(replace(LANDING, rehearsal=True))["Statement"]

    assert cover["B1"].value == "Rehearsal: made from a trial record, not to be relied on"


def test_an_empty_table_says_so() -> None:
    """A sheet without rows holds its sentence."""
    sheet = opened(landing.without_requests())["Awaiting decision"]

    assert sheet["A2"].value == "No request awaits your decision."


@pytest.mark.parametrize(("paper", "number"), [("A4", 9), ("Letter", 1)])
def test_sheets_print_on_the_paper_asked_for(paper: str, number: int) -> None:
    """Every sheet is set up for the paper, one page wide."""
    book = opened(paper=paper)

    assert {int(sheet.page_setup.paperSize) for sheet in book} == {number}
    assert {sheet.sheet_properties.pageSetUpPr.fitToPage for sheet in book} == {True}


@pytest.mark.parametrize(
    ("value", "signed", "expected"),
    [
        (Decimal("1.00"), False, '#,##0.00;"−"#,##0.00;#,##0.00'),
        (Decimal("1.00"), True, '+#,##0.00;"−"#,##0.00;#,##0.00'),
        (Decimal("1"), False, '#,##0;"−"#,##0;#,##0'),
        (Decimal("1.250"), False, '#,##0.000;"−"#,##0.000;#,##0.000'),
        (7, False, '#,##0;"−"#,##0;#,##0'),
    ],
)
def test_cells_show_the_decimals_of_their_number(
    value: Decimal | int, signed: bool, expected: str
) -> None:
    """Currencies without cents, or with three decimals, keep their own."""
    assert number_format(value, signed=signed) == expected


def test_a_text_that_looks_like_an_escape_stays_a_text() -> None:
    """ECMA-376 reads _x0041_ as a letter; a text that has it comes out as it was typed."""
    changes = tuple(replace(row, title="_x0041_") for row in LANDING.changes)
    awaiting = tuple(replace(row, title="_x0041_") for row in LANDING.awaiting)
    view = replace(LANDING, changes=changes, awaiting=awaiting)
    made = render(view, "xlsx", recorded_at=RECORDED_AT)
    with zipfile.ZipFile(io.BytesIO(made)) as parts:
        texts = "".join(parts.read(name).decode("utf-8") for name in parts.namelist())

    # Each title in the list and in what is said of each change.
    assert texts.count("_x005F_x0041_") == 2 * len(changes) + len(LANDING.awaiting)
    assert texts.replace("_x005F_x0041_", "").count("_x0041_") == 0


def test_no_part_of_the_file_has_todays_date() -> None:
    """Parts and properties carry the instant of the record."""
    made = render(LANDING, "xlsx", recorded_at=RECORDED_AT)
    with zipfile.ZipFile(io.BytesIO(made)) as parts:
        dates = {part.date_time for part in parts.infolist()}
        core = parts.read("docProps/core.xml").decode("utf-8")

    assert dates == {(2026, 9, 7, 15, 4, 4)}  # A zip keeps two-second steps.
    assert core.count("2026-09-07T15:04:05Z") == 2
