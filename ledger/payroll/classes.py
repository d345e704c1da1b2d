"""The yard's pay classes and its policy of overtime, and the crew as it is paid."""

from dataclasses import dataclass

from ledger.domain.defaults import SETTINGS
from ledger.domain.parsing import parse_hours
from ledger.domain.pay import classes_of
from ledger.store.book import Book


@dataclass(frozen=True)
class OvertimePolicy:
    """Hours, in ms, above which time is overtime, over all jobs; None is no threshold."""

    weekly_ms: int | None
    daily_ms: int | None
    leave_counts: bool

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
    weekly, daily, leave = (
        book.setting(name, SETTINGS[name])
        for name in ("overtime.weekly_hours", "overtime.daily_hours", "overtime.paid_leave_counts")
    )
    return OvertimePolicy(_hours(weekly), _hours(daily), leave == "yes")


def _hours(text: str) -> int | None:
    return parse_hours(text) if text else None


def stage_crew_as_paid(book: Book) -> None:
    """Stage from which day to which each row of the crew is in force."""
    book.stage("pay_crew", "payroll/crew_spans")
