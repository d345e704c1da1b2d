"""Pages for foremen as the tests make them: lists and sheets of any length, and what they show."""

from dataclasses import replace
from datetime import date, timedelta
from functools import lru_cache
from typing import Any

import page

from ledger.reports import pages
from ledger.reports.designs import DESIGNS
from ledger.reports.foremen.code_list import Cause, CodeList, CodeRow
from ledger.reports.foremen.week_sheets import Code, WeekDay, WeekSheets, WorkerSheet
from ledger.reports.identity import StampShown, Yard
from ledger.reports.tables import Print
from ledger.reports.templates import gather
from tests.reports._landing import RECORDED_AT
from tests.reports._paper import Laid, boxes_of

HOUR = 3_600_000
DAY = date(2026, 6, 28)
LONG = "Rubbing strake, fender posts and everything that goes with them down to the last bolt " * 4
HARBOUR = Yard("Osterby Timber and Boat Works", ("Slipway Road 4", "Osterby"))
STAMP = StampShown(57, "9f2d41c0" * 8)
TRADES = ("shipwright", "plater", "welder")


def package(number: int, **facts: Any) -> CodeRow:
    """Return an open package; its account follows from its number."""
    given: dict[str, Any] = {
        "code": f"P{number:02d}",
        "title": f"Work {number}",
        "account": f"part {number // 10}",
        "trades": TRADES[: 1 + number % 3],
        "planned_start": DAY,
        "planned_finish": DAY + timedelta(days=number),
        "budget_ms": 100 * HOUR,
        "booked_ms": number * 3 * HOUR,
        "standing": "open",
    }
    return CodeRow(**(given | facts))


def change(number: int, **facts: Any) -> CodeRow:
    """Return an approved change."""
    given: dict[str, Any] = {
        "code": f"V{number:02d}",
        "title": f"Change {number}",
        "budget_ms": 20 * HOUR,
        "booked_ms": 5 * HOUR,
        "standing": "approved",
        "since": DAY,
        "change_basis": "fixed_price",
    }
    return CodeRow(**(given | facts))


def code_list(packages: tuple[CodeRow, ...], changes: tuple[CodeRow, ...] = ()) -> CodeList:
    booked = sum(row.booked_ms for row in (*packages, *changes))
    return CodeList(
        yard=HARBOUR,
        job="LANDING",
        title="Timber landing for the Osterby ferry",
        status_date=DAY,
        known_at=STAMP,
        remade_by="fairhours --known-at 57 report codes --job LANDING --out codes.pdf",
        rehearsal=False,
        is_frozen=True,
        packages=packages,
        changes=changes,
        causes=(Cause("WX", "weather", "non_productive"), Cause("SICK", "sick", "absence")),
        elsewhere_ms=2 * HOUR,
        job_booked_ms=booked + 2 * HOUR,
    )


LIST = code_list(
    (package(1), package(2, booked_ms=112 * HOUR + HOUR // 2), package(3, standing="finished")),
    (
        change(1),
        change(2, standing="instructed", budget_ms=None, change_basis="daywork"),
        change(3, standing="submitted", since=None, budget_ms=8 * HOUR, booked_ms=0),
    ),
)
NO_CODES = replace(code_list(()), causes=())

MONDAY = date(2026, 6, 29)
WEEK = tuple(
    WeekDay(MONDAY + timedelta(days=number), mark)
    for number, mark in enumerate(("", "", "holiday", "", "", "off", "off"))
)


def codes(count: int, **facts: Any) -> tuple[Code, ...]:
    return tuple(
        Code(f"P{number:02d}", facts.get("title", f"Work {number}"), "LANDING")
        for number in range(1, count + 1)
    )


def worker(rows: int | tuple[Code, ...] = 5, listed: int = 30, **facts: Any) -> WorkerSheet:
    """Return a sheet with rows filled in and codes listed."""
    given = {
        "worker_id": "107",
        "name": "Tobin Haskell",
        "trade": "shipwright",
        "rows": rows if isinstance(rows, tuple) else codes(rows),
        "codes": (
            *codes(listed),
            Code("WX", "weather", "LANDING", "non_productive"),
            Code("WX", "weather", "BARGE", "non_productive"),
            Code("CLEAN", "clean up", "", "overhead"),
            Code("SICK", "sick", "", "absence"),
        ),
    }
    return WorkerSheet(**(given | facts))


def sheets(*workers: WorkerSheet) -> WeekSheets:
    return WeekSheets(
        yard=HARBOUR,
        jobs=("LANDING",),
        days=WEEK,
        known_at=STAMP,
        remade_by="fairhours --known-at 57 report sheet --week 2026-06-29 --out sheet.pdf",
        rehearsal=False,
        sheets=workers,
    )


SHEETS = sheets(worker(), worker(worker_id="112", name="", trade="", rows=()))


@lru_cache(maxsize=8)
def laid_out(view: Any, paper: str = "A4") -> list[Laid]:
    """Return every box of every page, in order; to be read only."""
    design = DESIGNS[type(view)]
    out = Print(paper, RECORDED_AT, medium="paper")
    return boxes_of(pages.html(design.page(view), gather(design.template), out))


def conforms(made: bytes) -> list[str]:
    """Return what PDF/UA-1 finds wrong."""
    report = page.validate_pdf_bytes(made, profile=page.ValidationProfile.PDF_UA_1)
    return [f"{failure.rule_id}: {failure.message}" for failure in report.failures]
