"""What labour cost in a posting period, by job and cause, for the labour journal."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeAlias

from ledger.domain.currencies import places_of
from ledger.domain.journal import JournalLine, Kind, WorkedTime, journal_lines
from ledger.errors import Refused, Remedy
from ledger.jobs.periods import Closing, closings
from ledger.performance.premium import premium_of, stage_premium_time
from ledger.store.book import Book

KINDS: tuple[Kind, ...] = (
    *("work_in_progress", "overhead", "absence", "untagged"),
    *("overtime_premium", "labour_recovered"),
)
_Key: TypeAlias = tuple[Kind, str | None, str | None, bool]


@dataclass(frozen=True)
class Journal:
    """The labour journal of a period up to its last day; `after` is the day before its first.

    `closing` is that of the period; None while it is open.
    """

    after: date | None
    to: date
    closing: Closing | None
    currency: str
    lines: list[JournalLine]


def journal(book: Book, to: date | None) -> Journal:
    """Return the journal of the period that ends on a day, of the open one up to a day or now.

    A closed period is as known when it was closed. What was recorded later of it is in the period
    after, as late. Raises: Refused for a day within a closed period, with nothing booked, and
    without a rate.
    """
    before, closing, day = posting_period(book, to)
    at_end = book.known_by(closing.sequence) if closing else book
    worked = _cost(at_end, day, before.closed_to if before else None)
    if before:
        then = _cost(book.known_by(before.sequence), before.closed_to, before.closed_to)
        for key, (ms, cost) in then.items():
            now = worked.get(key, (0, 0))
            worked[key] = (now[0] - ms, now[1] - cost)
    return Journal(
        before.closed_to if before else None,
        day,
        closing,
        (currency := book.setting("yard.currency", "")),
        journal_lines(
            _in_order(worked),
            {kind: book.setting(f"accounts.{kind}", kind) for kind in KINDS},
            places_of(currency),
            leave_in_rate=leave_in_rate(book),
        ),
    )


def leave_in_rate(book: Book) -> bool:
    """Return whether cost rates hold the cost of leave, so that absence itself costs nothing."""
    return book.setting("accounts.leave_in_rate", "no") == "yes"


def posting_period(book: Book, to: date | None) -> tuple[Closing | None, Closing | None, date]:
    """Return the closing before a period, its own if it is closed, and its last day.

    Raises: Refused for a day within a closed period, and where nothing is booked.
    """
    closed = closings(book)
    last = closed[-1] if closed else None
    if to is None or last is None or to > last.closed_to:
        newest = [day for (day,) in book.rows("performance/newest_entry", job=None) if day]
        day = to or max([*newest, *(each.closed_to for each in closed)], default=None)
        if day is None:
            raise Refused("journal_empty")
        return last, None, day
    at = next((n for n, each in enumerate(closed) if each.closed_to == to), None)
    if at is None:
        end = next(each.closed_to for each in closed if each.closed_to > to)
        raise Refused("journal_within_period", day=to, end=end)
    return closed[at - 1] if at else None, closed[at], to


def _cost(book: Book, day: date, before: date | None) -> dict[_Key, tuple[int, int]]:
    rows = book.records("performance/journal_time", day=day, before=before)
    if unrated := sorted((r["unrated_day"], r["unrated_worker"]) for r in rows if r["unrated_day"]):
        on, worker = unrated[0]
        raise Refused("journal_without_rate", worker=worker, day=on, remedy=_RATES)
    costs: dict[_Key, tuple[int, int]] = {
        (r["debit"], r["job"], r["cause"], r["is_earlier"]): (int(r["ms"]), int(r["cost"]))
        for r in rows
    }
    if policy := premium_of(book):
        stage_premium_time(book, policy, day)
        for row in book.records("performance/journal_premium", before=before):
            _add_premium(costs, row)
    return costs


def _add_premium(costs: dict[_Key, tuple[int, int]], row: Mapping[str, Any]) -> None:
    """Add overtime premium, and take off what hours that are only a premium do not cost."""
    place = (row["job"], row["cause"], row["is_earlier"])
    ms, cost = costs[row["debit"], *place]
    costs[row["debit"], *place] = (ms, cost - int(row["only_cost"]))
    if row["premium"]:
        premium: _Key = ("overtime_premium", *place)
        costs[premium] = (0, costs.get(premium, (0, 0))[1] + int(row["premium"]))


_RATES = Remedy("load", what="rates")


def _in_order(worked: dict[_Key, tuple[int, int]]) -> Iterator[WorkedTime]:
    order = sorted(
        worked, key=lambda key: (KINDS.index(key[0]), key[1] or "", key[2] or "", key[3])
    )
    for key in order:
        yield WorkedTime(*key, *worked[key])
