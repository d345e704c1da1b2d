"""Time that the owner caused and that no change has: to be notified, or raised as a change.

Causes whose setting says that the owner asked for them. It is the yard's affair alone: owners read
of it once a change is raised. Whether and when a notice is due is for the contract to say.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from ledger.changes.daywork_lines import WorkedHours
from ledger.changes.prices import NOTHING, PriceList
from ledger.domain.attention import Attention, of_notice
from ledger.errors import Refused
from ledger.jobs.jobs import calendar_of, job_card
from ledger.performance.attention import levels_of, notice_limits_of
from ledger.performance.status_dates import default_status_date
from ledger.store.book import Book

OWNER = "owner"


@dataclass(frozen=True)
class Caused:
    """Time that a cause took in a week: lost, or work done again; what it would be charged at.

    `value` is None where a trade has no charge rate, then `unpriced` says which. The notice limit
    runs from `first_day`; `notify_by` is None where the contract sets none.
    """

    cause: str
    kind: str
    week: date
    first_day: date
    last_day: date
    entries: int
    ms: int
    value: Decimal | None
    unpriced: str | None
    notify_by: date | None
    attention: Attention | None


@dataclass(frozen=True)
class ToNotify:
    """All time of a job to be notified by a day."""

    job: str
    status_date: date
    currency: str
    notice_days: int | None
    rows: tuple[Caused, ...]

    @property
    def ms(self) -> int:
        return sum(each.ms for each in self.rows)

    @property
    def value(self) -> Decimal | None:
        """Return what all of it would be charged at; None where a part has no rate."""
        values = [each.value for each in self.rows if each.value is not None]
        return sum(values, NOTHING) if len(values) == len(self.rows) else None

    @property
    def first_due(self) -> date | None:
        return min((each.notify_by for each in self.rows if each.notify_by), default=None)


def owners_causes(book: Book) -> list[str]:
    """Return the causes that the owner asked for, by their settings."""
    settings = {row["name"]: row["value"] for row in book.current("setting")}
    return sorted(
        name.removeprefix("causes.").removesuffix(".asked_by")
        for name, value in settings.items()
        if name.startswith("causes.") and name.endswith(".asked_by") and value == OWNER
    )


def to_notify(book: Book, job: str, status_date: date | None = None) -> ToNotify:
    """Return the time to be notified, by cause and week, the earliest first.

    Without a status date by the usual one of the job, or the last such day if later.

    Raises: Refused when there is no such job, or no day to be told.
    """
    card, causes = job_card(book, job), owners_causes(book)
    caused = book.records("performance/caused_days", job=job, causes=causes) if causes else []
    day = status_date or _day(book, job, caused)
    weeks: dict[tuple[date, str, str], list[dict[str, Any]]] = defaultdict(list)
    calendar = calendar_of(book, job)
    for row in caused:
        if row["day"] <= day:
            weeks[calendar.week_of(row["day"]), row["cause"], row["kind"]].append(row)
    limits, ahead = notice_limits_of(card), levels_of(book).days_ahead
    prices = PriceList(book, job)
    rows = []
    for (week, cause, kind), of_week in sorted(weeks.items()):
        days = [row["day"] for row in of_week]
        value, unpriced = _value(prices, of_week)
        by = None
        if limits.notice_days is not None:
            by = min(days) + timedelta(days=limits.notice_days)
        rows.append(
            Caused(
                *(cause, kind, week, min(days), max(days)),
                entries=sum(int(row["entries"]) for row in of_week),
                ms=sum(int(row["ms"]) for row in of_week),
                value=value,
                unpriced=unpriced,
                notify_by=by,
                attention=of_notice(min(days), (), limits, day, ahead),
            )
        )
    currency = book.setting("yard.currency", "")
    return ToNotify(job, day, currency, limits.notice_days, tuple(rows))


def _day(book: Book, job: str, caused: list[dict[str, Any]]) -> date:
    newest = max((row["day"] for row in caused), default=None)
    try:
        usual = default_status_date(book, job)
    except Refused:
        if newest is None:
            raise
        return date.fromisoformat(str(newest))
    return max(usual, newest or usual)


def _value(prices: PriceList, rows: list[dict[str, Any]]) -> tuple[Decimal | None, str | None]:
    """Return what hours would be charged at, by the rates of the days worked; or why not."""
    worked = WorkedHours()
    for row in rows:
        if row["trade"] is None:
            return None, "a worker is not in the crew"
        worked.add(prices, (row["trade"], row["grade"]), row["day"], int(row["ms"]))
    if worked.unrated:
        return None, min(worked.unrated.values())
    values = (worked.value(trade) or NOTHING for trade in worked.ms)
    return sum(values, NOTHING), None


def entries_caused(
    book: Book, job: str, cause: str, days: tuple[date | None, date | None]
) -> tuple[list[str], int]:
    """Return the entries of which a cause took all, in some days, and of how many it took a part.

    Raises: Refused when the cause is not the owner's, or took nothing.
    """
    causes = owners_causes(book)
    if not causes:
        raise Refused("cause_none_owners", cause=cause)
    if cause not in causes:
        raise Refused("cause_not_owners", cause=cause, causes=tuple(causes))
    asked = {"job": job, "cause": cause, "day_from": days[0], "day_to": days[1]}
    entries = book.rows("performance/caused_entries", **asked)
    whole = [entry for entry, is_whole in entries if is_whole]
    if not whole:
        raise Refused("cause_without_hours", job=job, cause=cause)
    return whole, len(entries) - len(whole)
