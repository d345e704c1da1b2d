"""What of a change needs attention, worst first: hours used up, waiting, limits about to pass.

The levels are settings. Their defaults are common practice, no source. What limits a contract sets
is for the contract to say: a form may count from another day, or ask for another kind of notice.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

# Worst first, each with its meaning: hours against the price, work without an order, what waits too
# long or is about to pass, prices that are open, days, and what approvals lack.
MEANINGS = {
    "over_agreed_hours": "more hours are booked than the price has",
    "near_agreed_hours": "most hours of the price are booked (`hours_percent`)",
    "worked_not_instructed": "time is booked to it without an order or an approval",
    "confirmation_awaited": "somebody not listed, or above their limit, instructed it",
    "decision_overdue": "the day by which the owner had to decide has passed",
    "decision_waiting": "the price sent waits longer for a decision than `decision_days`",
    "decision_due": "the owner has to decide within `days_ahead`",
    "notice_missed": "the contract's limit for a notice has passed without one",
    "notice_late": "the notice was given after the contract's limit",
    "notice_due": "the contract's limit for a notice ends within `days_ahead`",
    "quotation_missed": "instructed; the contract's limit for sending a price has passed",
    "quotation_due": "instructed; the limit for sending a price ends within `days_ahead`",
    "instruction_unwritten": "instructed by word alone: no reference, no file, no letter issued",
    "instructed_unpriced": "the work is instructed and has no price yet",
    "instructed_price_open": "the work is instructed, its price is not agreed",
    "price_not_sent": "priced, and not sent to the owner",
    "rough_price": "a rough price was sent; it cannot be approved",
    "price_lapsed": "the price sent has passed its last day",
    "price_lapsing": "the price sent lapses within `days_ahead`",
    "daywork_unsigned": "daywork beyond its sheets and its estimate is not signed",
    "daywork_above_cap": "more is agreed on daywork sheets than the approval lets count",
    "price_disputed": "the owner disputes the price",
    "counter_offer": "the owner's counter-offer waits for your answer",
    "days_not_decided": "days are asked for, none granted or refused",
    "days_not_stated": "the price was sent without saying how many days",
    "approval_not_listed": "somebody approved whom the job does not list",
    "approval_above_limit": "the approval is above the person's limit",
    "approval_without_reference": "the approval names no letter or other reference",
}
ATTENTION = tuple(MEANINGS)
GRAVE = frozenset(
    {
        *("over_agreed_hours", "worked_not_instructed", "confirmation_awaited"),
        *("decision_overdue", "notice_missed", "quotation_missed", "price_lapsed"),
    }
)
SENT_ON, RECEIVED_ON = "sent", "received"


@dataclass(frozen=True)
class Attention:
    """One thing that needs attention; `due` is the day by which it is to be done, if there is one.

    Of a limit that has passed it is the day on which it did.
    """

    kind: str
    due: date | None = None

    @property
    def is_grave(self) -> bool:
        """Whether it is past its day, or work goes on that nobody agreed to pay."""
        return self.kind in GRAVE


@dataclass(frozen=True)
class Levels:
    """From when the yard is reminded: days a price waits, percent of its hours, days ahead."""

    decision_days: int = 14
    hours_percent: int = 80
    days_ahead: int = 14


@dataclass(frozen=True)
class NoticeLimits:
    """What the contract sets, in calendar days; None where it sets nothing.

    `notice_days` run from the day of awareness, `quotation_days` from the instruction. A notice
    counts on the day it was sent, or was received.
    """

    notice_days: int | None = None
    quotation_days: int | None = None
    counted: str = SENT_ON


@dataclass(frozen=True)
class NoticeGiven:
    """A notice that was given: when the yard became aware, sent it, and the owner had it."""

    sent_on: date
    aware_on: date | None = None
    received_on: date | None = None

    def given_on(self, counted: str) -> date | None:
        """Return the day on which it counts, None while it does not."""
        return self.received_on if counted == RECEIVED_ON else self.sent_on


def of_hours(booked_ms: int, priced_ms: int, percent: int) -> str | None:
    """Return whether the hours booked are over those priced, or near them."""
    if booked_ms > priced_ms:
        return "over_agreed_hours"
    is_near = priced_ms > 0 and booked_ms * 100 >= priced_ms * percent
    return "near_agreed_hours" if is_near else None


def of_notice(
    aware_on: date, notices: Iterable[NoticeGiven], limits: NoticeLimits, day: date, days_ahead: int
) -> Attention | None:
    """Return how an event stands against the notice limit of the contract, None where it need not.

    It counts from the earliest awareness that a notice names, else from the one given.
    """
    if limits.notice_days is None:
        return None
    known = [notice for notice in notices if notice.sent_on <= day]
    named = [notice.aware_on for notice in known if notice.aware_on]
    last = min(named, default=aware_on) + timedelta(days=limits.notice_days)
    notified_on = [on for notice in known if (on := notice.given_on(limits.counted)) and on <= day]
    if notified_on:
        return None if min(notified_on) <= last else Attention("notice_late", last)
    return _of_limit("notice", last, day, days_ahead)


def of_quotation(
    instructed_on: date, limits: NoticeLimits, day: date, days_ahead: int
) -> Attention | None:
    """Return how work ordered and not priced stands against the contract's limit for a price."""
    if limits.quotation_days is None:
        return None
    last = instructed_on + timedelta(days=limits.quotation_days)
    return _of_limit("quotation", last, day, days_ahead)


def _of_limit(what: str, last: date, day: date, days_ahead: int) -> Attention | None:
    if last < day:
        return Attention(f"{what}_missed", last)
    return Attention(f"{what}_due", last) if (last - day).days <= days_ahead else None


def of_waiting(
    sent_on: date | None, needed_by: date | None, levels: Levels, day: date
) -> Attention | None:
    """Return whether the owner's decision is overdue, waits too long, or is due soon."""
    if needed_by and needed_by < day:
        return Attention("decision_overdue", needed_by)
    if sent_on and (day - sent_on).days > levels.decision_days:
        return Attention("decision_waiting", sent_on + timedelta(days=levels.decision_days))
    if needed_by and (needed_by - day).days <= levels.days_ahead:
        return Attention("decision_due", needed_by)
    return None


def rank(kinds: Iterable[str]) -> int:
    """Return the place of the worst of some kinds, the number of kinds where there is none."""
    return min(map(ATTENTION.index, kinds), default=len(ATTENTION))
