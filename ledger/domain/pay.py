"""Kinds of pay, and the reasons for which hours paid and hours booked differ.

What is to be paid for which hours is for the contract and local law; here hours are compared.
"""

from collections.abc import Iterable, Mapping

from ledger.domain.codes import word_of

WORKED = "worked"
PAID_NOT_WORKED = "paid_not_worked"
PREMIUM_ONLY = "premium_only"
ALLOWANCE = "allowance"
# In the order in which they are shown.
KINDS = (WORKED, PAID_NOT_WORKED, PREMIUM_ONLY, ALLOWANCE)

# The pay classes that are known when nothing is said, each with its kind.
CLASSES = {
    "normal": WORKED,
    "overtime": WORKED,
    "travel": WORKED,
    "paid_break": WORKED,
    "call_out_minimum": WORKED,
    "banked_hours": WORKED,
    "leave": PAID_NOT_WORKED,
    "sick": PAID_NOT_WORKED,
    "public_holiday": PAID_NOT_WORKED,
    "overtime_premium": PREMIUM_ONLY,
    "allowance": ALLOWANCE,
}
SETTINGS = {
    **{f"pay_classes.{name}": kind for name, kind in CLASSES.items()},
    "overtime.weekly_hours": "",
    "overtime.daily_hours": "",
    "overtime.paid_leave_counts": "no",
    "overtime.paid_as": WORKED,
    "overtime.premium_percent": "",
    "overtime.premium_stands": "place",
    "payroll.tolerance_minutes": "15",
    "payroll.close_unreconciled": "warn",
    "payroll.full_day_hours": "8",
}

LEAVE = "leave"
PREMIUM_HOURS = "premium_hours"
REASONS = (
    *("rounding", LEAVE, "late_sheet", "other_job", PREMIUM_HOURS, "missing_sheet", "attendance"),
    *("banked_hours", "call_out_minimum", "travel", "paid_break", "period_cut", "unpaid"),
)
# The longest time that is paid at once: five weeks, where months are counted in weeks.
LONGEST_PERIOD_DAYS = 35


def kind_of_reason(reason: str) -> str:
    """Return the kind of pay whose difference a reason explains unless a note says another."""
    return {LEAVE: PAID_NOT_WORKED, PREMIUM_HOURS: PREMIUM_ONLY}.get(reason, WORKED)


def class_named(text: str, classes: Iterable[str] = CLASSES) -> str:
    """Return the pay class that a text names, "Overtime premium" as overtime_premium.

    A class of just this name goes before one that differs in blanks, hyphens and underscores; a
    text that names none, or more than one, comes back as a word.
    """
    word = word_of(text)
    alike = [each for each in classes if _joined(each) == _joined(word)]
    return alike[0] if len(alike) == 1 and word not in classes else word


def _joined(word: str) -> str:
    return "_".join(word.replace("-", " ").replace("_", " ").split())


def classes_of(settings: Mapping[str, str]) -> dict[str, str]:
    """Return the kind of each pay class, of a yard's settings and of those always known."""
    section = "pay_classes."
    own = {
        name.removeprefix(section): kind
        for name, kind in settings.items()
        if name.startswith(section)
    }
    return CLASSES | own
