"""Overtime premium: the time that it is due on, staged for whoever costs it."""

from datetime import date

from ledger.domain.premium import PremiumPolicy, premium_policy
from ledger.jobs.jobs import week_start
from ledger.store.book import Book


def premium_of(book: Book) -> PremiumPolicy | None:
    """Return what the yard pays a premium for; None where it costs none."""
    return premium_policy({row["name"]: row["value"] for row in book.current("setting")})


def stage_premium_time(
    book: Book, policy: PremiumPolicy, day: date, job: str | None = None
) -> None:
    """Stage the time by a day that premium is due on, of a job or of the whole yard.

    Above the thresholds it is of all the worker's hours, wherever they were booked.
    """
    asked = {"day": day, "job": job, "week_start": week_start(book)}
    book.stage("premium", "performance/premium_time", **asked, **policy.as_inputs)


def stage_premium_if_any(book: Book, day: date) -> bool:
    """Stage premium time of the whole yard, none where it costs none; return whether it does."""
    policy = premium_of(book)
    if policy:
        stage_premium_time(book, policy, day)
    else:
        book.stage_none("premium", "performance/premium_time")
    return policy is not None
