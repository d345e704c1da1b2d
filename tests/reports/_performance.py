"""A performance report as the tests make it, of a job whose figures are easy to add up."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from ledger.reports.yard.performance import (
    AccountWeek,
    DoubtsOfKind,
    ForecastBy,
    Implausible,
    KeyDateShown,
    LabourFigures,
    OutsideShown,
    PerformanceReport,
    PlannedWeek,
    TimeStanding,
    TradeNeed,
    WeekStanding,
)
from tests.reports._yard_pages import HARBOUR, HOUR, LONG, STAMP

DAY = date(2026, 6, 28)
WEEK = timedelta(days=7)


def figures(key: str, hours: tuple[int, int, int, int, int], title: str = "") -> LabourFigures:
    """Return a row of BAC, PV, EV, AC and EAC in hours with its indices."""
    bac, pv, ev, ac, eac = (each * HOUR for each in hours)
    cpi = (Decimal(ev) / ac).quantize(Decimal("0.000001")) if ac else None
    spi = (Decimal(ev) / pv).quantize(Decimal("0.000001")) if pv else None
    return LabourFigures(key, title, bac, pv, ev, ac, eac, cpi, spi)


def weeks(count: int) -> tuple[WeekStanding, ...]:
    """Return weeks up to the status date: planned 50 h, earned 40 h and booked 50 h each."""
    return tuple(
        WeekStanding(
            DAY - WEEK * (count - number),
            50 * HOUR * number,
            40 * HOUR * number,
            50 * HOUR * number,
            Decimal("0.8"),
            Decimal("0.8"),
            Decimal("0.9"),
        )
        for number in range(1, count + 1)
    )


def key_date(reached: date, misses_by: int | None) -> KeyDateShown:
    """Return a key date in four weeks: 200 h to go, 1.3 people needed and 0.8 there."""
    need = TradeNeed("shipwright", 200 * HOUR, Decimal("4.0"), Decimal("1.3"), Decimal("0.8"))
    return KeyDateShown("Launch", DAY + WEEK * 4, 3, 1, (need,), reached, misses_by)


LATE = TimeStanding(
    Decimal("8"),
    Decimal("10"),
    Decimal("0.8"),
    Decimal("20"),
    DAY + WEEK * 10,
    DAY + WEEK * 15,
    None,
    DAY + WEEK * 11,
    DAY + WEEK * 12,
    5,
    20,
    15,
    "",
)


def report(**facts: Any) -> PerformanceReport:
    """Return a report: 1000 h of budget, 500 planned, 400 earned, 500 booked by the day."""
    given: dict[str, Any] = {
        "yard": HARBOUR,
        "job": "LANDING",
        "title": "Timber landing for the Osterby ferry",
        "status_date": DAY,
        "closed_to": None,
        "known_at": STAMP,
        "remade_by": "fairhours --known-at 57 report performance --job LANDING",
        "rehearsal": False,
        "whole": figures("LANDING", (1000, 500, 400, 500, 1250)),
        "percent_complete": Decimal("40.0"),
        "tcpi_bac": Decimal("1.2"),
        "tcpi_eac": Decimal("0.8"),
        "method": "at the job's EV / AC of 0.800 because 40.0 % of BAC is earned, 15 % or more",
        "forecast_range_ms": (1100 * HOUR, 1300 * HOUR),
        "forecasts": (
            ForecastBy("eac_budget_rate", 1100 * HOUR),
            ForecastBy("eac_cpi", 1250 * HOUR),
            ForecastBy("eac_recent", 1300 * HOUR),
            ForecastBy("eac_own_estimate", None, "an open part has no estimate to complete"),
        ),
        "outside": (OutsideShown("contingency", 60 * HOUR, 0, 60 * HOUR),),
        "anticipated_final_ms": 1310 * HOUR,
        "time": LATE,
        "weeks": weeks(10),
        "to_come": tuple(PlannedWeek(DAY + WEEK * n, (500 + 50 * n) * HOUR) for n in range(1, 11)),
        "account_weeks": (AccountWeek("deck", DAY, 500 * HOUR, 400 * HOUR, 490 * HOUR),),
        "accounts": (
            figures("deck", (1000, 500, 400, 490, 1240)),
            figures("untagged", (0, 0, 0, 10, 10)),
        ),
        "packages": (figures("P01", (400, 200, 100, 190, 550), "Planking"),),
        "key_dates": (key_date(DAY + WEEK * 7, 15),),
        "incomplete": (),
        "cpi_with_missing": Decimal("0.8"),
        "notes": (Implausible("P01: 20.00 h earned, nothing booked", "no hours", "GAO-20-195G"),),
        "doubts": (DoubtsOfKind("day_off", "note", "time is booked on a day off", 2),),
    }
    return PerformanceReport(**(given | facts))


REPORT = report()
INCOMPLETE = report(
    incomplete=("22 of 24 sheets are in",), cpi_with_missing=Decimal("0.74"), rehearsal=True
)
NOT_BEGUN = report(
    forecast_range_ms=None,
    whole=figures("LANDING", (1000, 0, 0, 0, 1000)),
    accounts=(figures("deck", (1000, 0, 0, 0, 1000)),),
    outside=(),
    anticipated_final_ms=1000 * HOUR,
    time=TimeStanding(None, None, None, None, DAY, None, None, None, None, 0, None, None, ""),
    weeks=(),
    to_come=(),
    account_weeks=(),
    packages=(),
    key_dates=(),
    notes=(),
    doubts=(),
)
LONG_NAMES = report(
    title=LONG,
    packages=(figures("P" * 60, (400, 200, 100, 190, 550), LONG),),
    key_dates=(replace(key_date(DAY, None), name=LONG, why=LONG),),
)
