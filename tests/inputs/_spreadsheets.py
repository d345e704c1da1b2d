"""Spreadsheets as yards keep them, made for the tests: none has our heads, most have more besides.

Each is written into a folder and gives the table it is of, the keys of the guessed layout that are
put right by hand (two at most), and the facts that it holds, worked out from what is typed here.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl

Rows = Sequence[Sequence[Any]]
HOUR = 3_600_000


@dataclass(frozen=True)
class Kept:
    """A spreadsheet: its file, its table, keys put right, and the facts in it as the book has them.

    `right` has lines of TOML: a key of the top, or of a section when it begins with its name.
    """

    path: Path
    table: str
    fact: str
    columns: tuple[str, ...]
    facts: list[tuple[str, ...]]
    left_out: str = ""
    right: Mapping[str, str] = field(default_factory=dict)
    files: tuple[str, ...] = ()


def book(path: Path, tabs: Mapping[str, Rows], merged: Sequence[str] = ()) -> Path:
    """Write a workbook; `merged` has the ranges that are merged in each tab."""
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name, rows in tabs.items():
        sheet = made.create_sheet(name)
        for row in rows:
            sheet.append(list(row))
        for each in merged:
            sheet.merge_cells(each)
    made.save(path)
    return path


def text(path: Path, lines: str, encoding: str) -> Path:
    path.write_bytes(lines.replace("\n", "\r\n").encode(encoding))
    return path


def gang_list(folder: Path) -> Kept:
    """Semicolons, Windows-1252, a block above, gangs as titles, totals between, a note below."""
    lines = """Kalder Boatyard;;;;;
Stand:;3.2.26;;;;

Name;Nr.;Gewerk;Rang;seit;Std/Woche
Rumpf;;;;;
Möwe, Jan;w01;shipwright;lead;3.2.26;40,0
Tessel, Bo;w02;shipwright;;17.2.26;38,5
Zwischensumme;;;;;78,5
Ausbau;;;;;
Örk, Una;w03;joiner;;1.3.26;40

Summe;;;;;118,5
Urlaub ist nicht enthalten;;;;;
"""
    return Kept(
        text(folder / "gangs.csv", lines, "windows-1252"),
        "crew",
        "crew",
        ("worker_id", "active_from", "trade", "grade"),
        [
            ("W01", "2026-02-03", "shipwright", "lead"),
            ("W02", "2026-02-17", "shipwright", ""),
            ("W03", "2026-03-01", "joiner", ""),
        ],
        "6 rows left out: 1 blank (11), 2 total (8, 12), 3 note (5, 9, 13)",
    )


def crew_by_trade(folder: Path) -> Kept:
    """A workbook with names before numbers, the trades as titles, and counts between."""
    rows: Rows = [
        ["Our people, spring"],
        [],
        ["Full name", "Clock No.", "Level", "Joined", "Left", "Phone"],
        ["Carpenter"],
        ["Ada Hollis", "A1", "lead", date(2024, 1, 8), None, 4711],
        ["Bo Crane", "B2", None, date(2025, 9, 1), date(2026, 3, 31), 4712],
        ["Subtotal: 2 hands"],
        ["Welder"],
        ["Cy Reed", "C3", None, date(2026, 2, 2), None, None],
        ["Total 3 hands", None, None, None, None, None],
        ["Note: agency hands have a list of their own"],
    ]
    return Kept(
        book(folder / "people.xlsx", {"Crew": rows}),
        "crew",
        "crew",
        ("worker_id", "active_from", "active_to", "trade", "grade"),
        [
            ("A1", "2024-01-08", "", "carpenter", "lead"),
            ("B2", "2025-09-01", "2026-03-31", "carpenter", ""),
            ("C3", "2026-02-02", "", "welder", ""),
        ],
        "5 rows left out: 2 total (7, 10), 3 title (4, 8, 11)",
    )


def crew_in_tabs(folder: Path) -> Kept:
    """A tab for each trade, and a head of two rows: employed, from and to."""
    head: Rows = [
        ["No.", "Name", "Employed", None, "Grade"],
        [None, None, "from", "to", None],
    ]
    tabs: Mapping[str, Rows] = {
        "Carpenter": [*head, ["K1", "Ina Voss", "3.2.26", None, "lead"]],
        "Painter": [*head, ["K2", "Per Lund", "13.2.26", "30.6.26", None]],
        "Phones": [["who", "phone"], ["office", 12]],
    }
    return Kept(
        book(folder / "trades.xlsx", tabs, ["C1:D1", "A1:A2", "B1:B2", "E1:E2"]),
        "crew",
        "crew",
        ("worker_id", "active_from", "active_to", "trade", "grade"),
        [
            ("K1", "2026-02-03", "", "carpenter", "lead"),
            ("K2", "2026-02-13", "2026-06-30", "painter", ""),
        ],
    )


def agency_list(folder: Path) -> Kept:
    """A list of an agency's hands: tabs between, UTF-16, the firm above the head, dashes."""
    lines = """Labour supplier:\tTideline Hands
Valid in March
Staff no.\tName\tCraft\tFrom\tUntil\tStatus
T7\tMia Falk\twelder\t2 March 2026\t27 March 2026\tagency
T9\tOle Brandt\twelder\t9 March 2026\t-\tagency
"""
    return Kept(
        text(folder / "agency.txt", lines, "utf-16"),
        "crew",
        "crew",
        ("worker_id", "active_from", "active_to", "trade", "employment", "supplier"),
        [
            ("T7", "2026-03-02", "2026-03-27", "welder", "agency", "Tideline Hands"),
            ("T9", "2026-03-09", "", "welder", "agency", "Tideline Hands"),
        ],
    )


ESTIMATED = ("work_package", "title", "control_account", "trade", "budget_ms", "planned_start")


def estimate_by_trades(folder: Path) -> Kept:
    """Budget hours merged over the trades, units below, accounts as titles, totals between."""
    rows: Rows = [
        ["Estimate ferry ramp", None, None, None, None, None, None],
        [],
        ["Pos.", "Work", "Budget hours", None, None, "Start", "Finish"],
        [None, None, "Carpenter", "Welder", "Painter", None, None],
        [None, None, "h", "h", "h", None, None],
        ["Hull", None, None, None, None, None, None],
        ["H10", "Frames", 120, 40.5, None, date(2026, 3, 2), date(2026, 3, 20)],
        ["H20", "Plating", None, 200, None, date(2026, 3, 9), date(2026, 4, 3)],
        ["Subtotal hull", None, 120, 240.5, None, None, None],
        ["Outfit", None, None, None, None, None, None],
        ["O10", "Deck", 80, None, 24.25, date(2026, 4, 6), date(2026, 4, 24)],
        ["Subtotal outfit", None, 80, None, 24.25, None, None],
        ["Total", None, 200, 240.5, 24.25, None, None],
        ["All hours without supervision"],
    ]
    return Kept(
        book(folder / "ramp.xlsx", {"Estimate": rows}, ["C3:E3", "A3:A4", "B3:B4", "A6:G6"]),
        "estimate",
        "work_package",
        ESTIMATED,
        [
            ("H10", "Frames", "Hull", "carpenter", str(120 * HOUR), "2026-03-02"),
            ("H10", "Frames", "Hull", "welder", str(81 * HOUR // 2), "2026-03-02"),
            ("H20", "Plating", "Hull", "welder", str(200 * HOUR), "2026-03-09"),
            ("O10", "Deck", "Outfit", "carpenter", str(80 * HOUR), "2026-04-06"),
            ("O10", "Deck", "Outfit", "painter", str(97 * HOUR // 4), "2026-04-06"),
        ],
    )


def estimate_in_rows(folder: Path) -> Kept:
    """Decimal commas and points of thousands, a package written once for its trades, and days of
    which none tells the order."""
    lines = """Task no.;Description;Section;Trade;Est. hrs;Start;Due;Method
P10;Piles;structure;carpenter;1.250,5;03/04/2026;08/05/2026;percent_complete
;;;labourer;64,25;;;
P20;Deck boards;structure;carpenter;480;04/05/2026;12/06/2026;percent_complete
;;;labourer;0,5;;;
Total;;;;1.795,25;;;
"""
    return Kept(
        text(folder / "pier.csv", lines, "utf-8"),
        "estimate",
        "work_package",
        (*ESTIMATED, "planned_finish"),
        [
            *(
                ("P10", "Piles", "structure", trade, ms, "2026-04-03", "2026-05-08")
                for trade, ms in [
                    ("carpenter", str(2501 * HOUR // 2)),
                    ("labourer", str(257 * HOUR // 4)),
                ]
            ),
            *(
                ("P20", "Deck boards", "structure", trade, ms, "2026-05-04", "2026-06-12")
                for trade, ms in [("carpenter", str(480 * HOUR)), ("labourer", str(HOUR // 2))]
            ),
        ],
        "1 row left out: 1 total (6)",
        {"date_order": '"dmy"'},
    )


def estimate_in_tabs(folder: Path) -> Kept:
    """A tab for each control account, quantities with units, months instead of days."""
    head = ["Item", "Scope", "Gang", "Hours", "From", "To", "Qty", "Unit"]
    tabs: Mapping[str, Rows] = {
        "Slipway": [
            ["Slipway, second issue"],
            head,
            ["S1", "Dredge", "diver", 90, "March 2026", "April 2026", 400, "m3"],
            ["S2", "Rails", "fitter", Decimal("12.5"), "May 2026", "May 2026", 60, "m"],
            ["Sum", None, None, Decimal("102.5"), None, None, None, None],
        ],
        "Winch house": [
            ["Winch house, first issue"],
            head,
            ["W1", "Foundation", "mason", 70, "2026-05", "2026-06", 8, "m3"],
        ],
    }
    return Kept(
        book(folder / "slip.xlsx", tabs),
        "estimate",
        "work_package",
        (*ESTIMATED, "planned_finish", "quantity", "technique"),
        [
            ("S1", "Dredge", "Slipway", "diver", str(90 * HOUR), "2026-03-01", "2026-04-30",
             "400.000000", "units_complete"),
            ("S2", "Rails", "Slipway", "fitter", str(25 * HOUR // 2), "2026-05-01", "2026-05-31",
             "60.000000", "units_complete"),
            ("W1", "Foundation", "Winch house", "mason", str(70 * HOUR), "2026-05-01",
             "2026-06-30", "8.000000", "units_complete"),
        ],
        right={"constants.technique": '"units_complete"'},
    )  # fmt: skip


def rates_of_the_year(folder: Path) -> Kept:
    """Rates in euros with decimal commas, the day above the head, a free column and a remark."""
    lines = """Stundensätze
Gültig ab:;1.1.2026;
;;
Gewerk;Stundensatz;Zuschlag
carpenter;€ 41,50;12 %
welder;46,25 €;12 %
Bemerkung: ohne Urlaub;;
"""
    return Kept(
        text(folder / "saetze.csv", lines, "windows-1252"),
        "rates",
        "rate",
        ("trade", "effective_from", "cost_per_hour"),
        [("carpenter", "2026-01-01", "415000"), ("welder", "2026-01-01", "462500")],
        right={"date_order": '"dmy"'},
    )


def rates_across(folder: Path) -> Kept:
    """Trades as heads and a row for each day from which rates count."""
    rows: Rows = [
        ["Valid from", "carpenter", "welder"],
        [None, "EUR/h", "EUR/h"],
        [date(2026, 1, 1), 41.5, 46.25],
        [date(2026, 7, 1), 43, "-"],
    ]
    return Kept(
        book(folder / "rates.xlsx", {"Cost": rows}),
        "rates",
        "rate",
        ("trade", "effective_from", "cost_per_hour"),
        [
            ("carpenter", "2026-01-01", "415000"),
            ("carpenter", "2026-07-01", "430000"),
            ("welder", "2026-01-01", "462500"),
        ],
        "1 row left out: 1 as the layout says (2)",
    )


def progress_by_month(folder: Path) -> Kept:
    """Months as tabs without their year: a measurement is of the month's last day."""
    head = ["Package", "Description", "% complete", "Hours to go", "Remarks"]
    tabs: Mapping[str, Rows] = {
        "March": [head, ["FRAME", "Piles and frame", 40, 42, "two piles short"]],
        "April": [
            head,
            ["FRAME", "Piles and frame", 100, 0, None],
            ["DECK", "Deck boards", 12.5, 70, None],
        ],
    }
    return Kept(
        book(folder / "months.xlsx", tabs),
        "progress",
        "progress",
        ("work_package", "day", "percent", "estimate_to_complete_ms", "note"),
        [
            ("FRAME", "2026-03-31", "40.000000", str(42 * HOUR), "two piles short"),
            ("FRAME", "2026-04-30", "100.000000", "0", ""),
            ("DECK", "2026-04-30", "12.500000", str(70 * HOUR), ""),
        ],
        right={"year": "2026"},
    )


def progress_by_days(folder: Path) -> Kept:
    """Percent under the days of the Fridays, blank where nothing was measured."""
    lines = """"Progress STAGE";;;
WP;6.3.26;13.3.26;20.3.26
FRAME;25 %;60 %;100 %
DECK;;12,5 %;40 %
RAIL;;;n/a
"""
    return Kept(
        text(folder / "fridays.csv", lines, "utf-8-sig"),
        "progress",
        "progress",
        ("work_package", "day", "percent"),
        [
            ("FRAME", "2026-03-06", "25.000000"),
            ("FRAME", "2026-03-13", "60.000000"),
            ("FRAME", "2026-03-20", "100.000000"),
            ("DECK", "2026-03-13", "12.500000"),
            ("DECK", "2026-03-20", "40.000000"),
        ],
        "1 row left out: 1 nothing under its heads (5)",
    )


def plan_by_weeks(folder: Path) -> Kept:
    """Hours of a package under the Mondays of its weeks, with totals of rows and columns."""
    rows: Rows = [
        ["Plan of the stage"],
        ["Package", date(2026, 3, 2), date(2026, 3, 9), date(2026, 3, 16), "Total"],
        ["DECK", 20, 35.5, 24.5, 80],
        ["RAIL", None, None, 20, 20],
        ["Total", 20, 35.5, 44.5, 100],
    ]
    return Kept(
        book(folder / "plan.xlsx", {"Plan": rows}),
        "plan",
        "plan_line",
        ("work_package", "day", "ms"),
        [
            ("DECK", "2026-03-02", str(20 * HOUR)),
            ("DECK", "2026-03-09", str(71 * HOUR // 2)),
            ("DECK", "2026-03-16", str(49 * HOUR // 2)),
            ("RAIL", "2026-03-16", str(20 * HOUR)),
        ],
        "1 row left out: 1 total (5)",
    )


PAID = ("worker_id", "period_start", "period_end", "pay_class", "ms")


def payroll_by_month(folder: Path) -> Kept:
    """A tab for each month, pay classes merged under one head, totals of rows and columns."""
    head: Rows = [
        ["Pers. no.", "Name", "Hours paid", None, None, "Total"],
        [None, None, "Normal", "Overtime", "Leave", None],
    ]
    tabs: Mapping[str, Rows] = {
        "March 2026": [
            ["Payroll"],
            *head,
            ["W1", "Ann", 160, 4.5, None, 164.5],
            ["W2", "Ben", 152, None, 8, 160],
            ["Total", None, 312, 4.5, 8, 324.5],
        ],
        "April 2026": [["Payroll"], *head, ["W1", "Ann", 168, None, None, 168]],
    }
    march, april = ("2026-03-01", "2026-03-31"), ("2026-04-01", "2026-04-30")
    return Kept(
        book(folder / "paid.xlsx", tabs, ["A2:A3", "B2:B3", "C2:E2", "F2:F3"]),
        "payroll",
        "payroll_line",
        PAID,
        [
            ("W1", *march, "normal", str(160 * HOUR)),
            ("W1", *march, "overtime", str(9 * HOUR // 2)),
            ("W2", *march, "normal", str(152 * HOUR)),
            ("W2", *march, "leave", str(8 * HOUR)),
            ("W1", *april, "normal", str(168 * HOUR)),
        ],
        "1 row left out: 1 total (March 2026 6)",
    )


def payroll_in_rows(folder: Path) -> Kept:
    """Weeks in rows with decimal commas, gross in thousands, a sum below each worker and at the
    end."""
    lines = """Lohnlauf;;;;;;
Nr;Name;von;bis;Lohnart;Std;Brutto
W1;Möwe, Jan;2.3.26;8.3.26;normal;38,5;1.155,00
W1;Möwe, Jan;16.3.26;22.3.26;normal;40;1.200,00
Summe W1;;;;;78,5;2.355,00
W2;Örk, Una;2.3.26;8.3.26;overtime;2,25;90,45
Summe W2;;;;;2,25;90,45
Summe;;;;;80,75;2.445,45
"""
    return Kept(
        text(folder / "lohn.csv", lines, "windows-1252"),
        "payroll",
        "payroll_line",
        (*PAID, "gross"),
        [
            ("W1", "2026-03-02", "2026-03-08", "normal", str(77 * HOUR // 2), "1155.0000"),
            ("W1", "2026-03-16", "2026-03-22", "normal", str(40 * HOUR), "1200.0000"),
            ("W2", "2026-03-02", "2026-03-08", "overtime", str(9 * HOUR // 4), "90.4500"),
        ],
        "3 rows left out: 3 total (5, 7-8)",
    )


def supplier_weeks(folder: Path) -> Kept:
    """An agency's weeks, its name above them, from and to under one head, hours and minutes."""
    rows: Rows = [
        ["Supplier:", "Holm Labour"],
        [],
        ["Worker", "Week", None, "Hours", "Rate", "Invoice"],
        [None, "from", "to", None, None, None],
        [None, None, None, "h", "EUR/h", None],
        ["G1", date(2026, 3, 2), date(2026, 3, 8), "38:30", 41.5, "HL-77"],
        ["G2", date(2026, 3, 2), date(2026, 3, 8), "40:00", 41.5, "HL-77"],
        ["Total", None, None, "78:30", None, None],
        ["Travel is charged apart"],
    ]
    return Kept(
        book(folder / "holm.xlsx", {"Weeks": rows}, ["B3:C3"]),
        "supplier-hours",
        "supplier_hours",
        ("supplier", "worker_id", "period_start", "period_end", "ms", "rate", "invoice"),
        [
            ("Holm Labour", "G1", "2026-03-02", "2026-03-08", str(77 * HOUR // 2), "415000",
             "HL-77"),
            ("Holm Labour", "G2", "2026-03-02", "2026-03-08", str(40 * HOUR), "415000", "HL-77"),
        ],
        "3 rows left out: 1 total (8), 1 as the layout says (5), 1 note (9)",
    )  # fmt: skip


def leave_list(folder: Path) -> Kept:
    """Holidays as asked for: a title above, points in the dates, days counted in a last column."""
    lines = """Holidays asked for;;;;
Staff no.;Name;First day;Last day;Reason;Days
W1;Ann Lee;13.4.2026;17.4.2026;holiday;5
W2;Ben Ray;14.4.2026;14.4.2026;exam;1
"""
    return Kept(
        text(folder / "holidays.csv", lines, "utf-8"),
        "leave",
        "leave",
        ("worker_id", "day_from", "day_to", "cause"),
        [("W1", "2026-04-13", "2026-04-17", "holiday"), ("W2", "2026-04-14", "2026-04-14", "exam")],
    )


SPREADSHEETS: Sequence[Callable[[Path], Kept]] = (
    estimate_by_trades,
    gang_list,
    crew_by_trade,
    crew_in_tabs,
    agency_list,
    estimate_in_rows,
    estimate_in_tabs,
    rates_of_the_year,
    rates_across,
    progress_by_month,
    progress_by_days,
    plan_by_weeks,
    payroll_by_month,
    payroll_in_rows,
    supplier_weeks,
    leave_list,
)
