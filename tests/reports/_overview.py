"""Three jobs of an invented yard on one page: one late, one early, one with little known of it."""

from datetime import date, timedelta
from decimal import Decimal

from ledger.domain.overrun import STEPS
from ledger.reports.commands_named import Opens
from ledger.reports.identity import StampShown, Yard
from ledger.reports.yard.overview import JobOverview, Overview, StepTold, WeekEnd
from ledger.reports.yard.week import Figure, JobWeek, Value, WeekRemark

HOUR = 3_600_000
FIRST, LAST = date(2026, 6, 22), date(2026, 6, 28)
WEEK = timedelta(days=7)


def line(what: str, names: tuple[str, ...] = (), **values: Value) -> WeekRemark:
    figures = tuple(Figure(name, value, value) for name, value in values.items())
    return WeekRemark(what, figures, Opens(what), names, f"fairhours {what} --job J")


def job(code: str, title: str, grown: int, *lines: WeekRemark) -> JobOverview:
    """Return a job that will end so many hours above its estimate of a thousand."""
    steps = dict.fromkeys(STEPS, 0)
    steps["original_budget"], steps["over_under_on_original_work"] = 1_000, grown
    steps["anticipated_final"] = 1_000 + grown
    booked = tuple(
        WeekEnd(LAST - WEEK * (4 - n), 90 * n * HOUR, 80 * n * HOUR, 100 * n * HOUR)
        for n in range(1, 5)
    )
    return JobOverview(
        JobWeek(code, title, "EUR", lines),
        (*booked, WeekEnd(LAST + WEEK, 450 * HOUR)),
        f"fairhours series --job {code}",
        tuple(StepTold(step, hours * HOUR) for step, hours in steps.items()),
        f"fairhours overrun --job {code}",
    )


def known(code: str, title: str, grown: int, late: int, money: str) -> JobOverview:
    """Return a job of which all is known."""
    return job(
        code,
        title,
        grown,
        line("hours", booked=Decimal("100.00"), saturday=Decimal(0)),
        line("to_date", booked=Decimal("400.00"), final=Decimal(1_000 + grown)),
        line("indices", cpi=Decimal("0.800"), spi_time=Decimal("0.912")),
        line(
            "finish",
            forecast=LAST + WEEK * 8,
            finished=None,
            completion=LAST + WEEK * 6,
            late=late,
        ),
        line("attention", ("CR4",), count=1, changes=6),
        line("claimable", due=Decimal("1200.00")),
        line("missed", ("launching",), count=1, dates=3),
        line("sums", adjusted=Decimal(money), final=Decimal(money) + 500),
        line("account", outstanding=Decimal("0.00")),
    )


VIEW = Overview(
    yard=Yard("Osterby Timber and Boat Works", ("Slipway Road 4", "Osterby")),
    first=FIRST,
    last=LAST,
    known_at=StampShown(57, "9f2d41c0" * 8),
    remade_by="fairhours --known-at 57 report overview --to 2026-06-28 --out overview.html",
    rehearsal=False,
    currency="EUR",
    jobs=(
        known("BARGE", "Deck barge for the harbour", 120, 11, "98000.00"),
        known("LANDING", "Timber landing for the Osterby ferry", -40, -3, "205000.50"),
        job(
            "SHED", "Roof of the sail shed", 0, line("hours", booked=Decimal("8.50"), saturday=None)
        ),
    ),
    of_yard=(line("hours", booked=Decimal("208.50"), saturday=Decimal(0)),),
)
NO_JOBS = Overview(
    VIEW.yard, FIRST, LAST, VIEW.known_at, VIEW.remade_by, True, "EUR", (), VIEW.of_yard
)
