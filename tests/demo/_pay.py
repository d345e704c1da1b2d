"""What the demo yard paid for September and October, and where that is not what sheets have.

Payroll pays what people worked, also where their sheets are spoilt, late or untrue; what differs
otherwise is listed here, each with its reason.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from tests.demo import _sheets

MONTHS = {
    "2026-09": (date(2026, 9, 1), date(2026, 9, 30), date(2026, 10, 2)),
    "2026-10": (date(2026, 10, 1), date(2026, 10, 31), date(2026, 11, 4)),
}
AWAY = {"LEAVE": "leave", "SICK": "sick", "HOL": "public_holiday", "SCHOOL": "leave"}
HEAD = ["worker_id", "period_start", "period_end", "pay_class", "hours"]
NOTE_HEAD = ["worker_id", "period_start", "period_end", "reason", "hours", "note"]
LATE = ("109", 37)  # A sheet that came after payroll was made, and is paid with the next month.
UNPAID = ("124", "2026-10")  # Left on the second, and was forgotten.
Paid = dict[tuple[str, str], int]


@dataclass(frozen=True)
class Apart:
    """Hundredths of an hour that payroll has more of a class than was worked, or less."""

    month: str
    worker: str
    pay_class: str
    hundredths: int


APART = (
    Apart("2026-09", "107", "normal", 1050),  # Paid as the sheet has it, with a day too long.
    Apart("2026-09", "153", "normal", 300),  # And with the same hours on both jobs.
    Apart("2026-09", "104", "normal", 10),  # Paid up to the tenth: rounding.
    Apart("2026-09", "153", "normal", 800),  # A day of leave paid as work.
    Apart("2026-09", "153", "leave", -800),
    Apart("2026-09", "112", "call_out_minimum", 200),
    Apart("2026-09", "115", "travel", 300),
    Apart("2026-09", "140", "paid_break", 250),
    Apart("2026-09", "122", "normal", -200),  # Two hours paid as premium.
    Apart("2026-09", "122", "overtime_premium", 200),
    Apart("2026-09", "160", "normal", 800),  # The week's Thursday paid with its Monday.
    Apart("2026-10", "160", "normal", -800),
    Apart("2026-10", "131", "normal", -400),
    Apart("2026-10", "165", "normal", 800),
)
# Reasons that only people know, in October: worker, reason, hours, and in their words.
NOTES = (
    ("131", "banked_hours", "-4", "put into the bank, agreed on 12 October"),
    ("165", "other_job", "8", "a day at the sister slip, paid here"),
    ("151", "missing_sheet", "4.25", "booked under last year's date, seen at work"),
)


def payroll(month: str) -> list[list[str]]:
    """Return the rows that payroll gave of a month, by worker and class."""
    paid = _worked(month)
    for each in APART:
        if each.month == month:
            paid[each.worker, each.pay_class] += each.hundredths
    first, last, _ = MONTHS[month]
    return [
        [worker, str(first), str(last), pay_class, f"{amount / 100:.2f}"]
        for (worker, pay_class), amount in sorted(paid.items())
        if amount and (worker, month) != UNPAID
    ]


def _worked(month: str) -> Paid:
    """Return hundredths of an hour worked, but for the late sheet, which the next month has."""
    first, last, _ = MONTHS[month]
    paid: Paid = defaultdict(int)
    for line in _sheets.yard().lines:
        is_late = (line.worker, line.week) == LATE
        counts = month == "2026-10" if is_late else first <= line.day <= last
        if counts:
            paid[line.worker, AWAY.get(line.code, line.pay_class)] += line.quarters * 25
    return paid
