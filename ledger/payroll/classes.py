"""The yard's pay classes and its policy of overtime, and the crew as it is paid."""

from dataclasses import dataclass
from datetime import date

from ledger.domain.defaults import SETTINGS
from ledger.domain.parsing import parse_hours
from ledger.domain.pay import PREMIUM_ONLY, classes_of
from ledger.errors import Refused
from ledger.store.book import Book


@dataclass(frozen=True)
class OvertimePolicy:
    """Hours, in ms, above which time is overtime, over all jobs; None is no threshold.

    It is paid whole, as hours worked, or as a premium only.
    """

    weekly_ms: int | None
    daily_ms: int | None
    leave_counts: bool
    is_premium_only: bool

    @property
    def is_set(self) -> bool:
        """Return whether the yard has any threshold."""
        return self.weekly_ms is not None or self.daily_ms is not None


def pay_classes(book: Book) -> dict[str, list[str]]:
    """Return the pay classes known and their kinds, as queries take them."""
    classes = classes_of({row["name"]: row["value"] for row in book.current("setting")})
    return {"classes": list(classes), "kinds": list(classes.values())}


def overtime_policy(book: Book) -> OvertimePolicy:
    """Return the policy of the settings."""
    names = ("weekly_hours", "daily_hours", "paid_leave_counts", "paid_as")
    settings = (f"overtime.{name}" for name in names)
    weekly, daily, leave, paid_as = (book.setting(name, SETTINGS[name]) for name in settings)
    return OvertimePolicy(_hours(weekly), _hours(daily), leave == "yes", paid_as == PREMIUM_ONLY)


def _hours(text: str) -> int | None:
    return parse_hours(text) if text else None


def refuse_turned(start: date, end: date) -> None:
    """Raises: Refused when the last day is before the first."""
    if end < start:
        raise Refused("days_turned", start=start, end=end)


def stage_crew_as_paid(book: Book) -> None:
    """Stage from which day to which each row of the crew is in force."""
    book.stage("pay_crew", "payroll/crew_spans")
