"""Time to be notified for machines: hours and money of 4 places."""

from decimal import Decimal

from ledger.commands.as_json import Json, known_at
from ledger.commands.notices import ToNotifyKnown
from ledger.domain.allocation import hours_of
from ledger.performance.to_notify import Caused, ToNotify


def to_notify_json(known: ToNotifyKnown) -> Json:
    """Return the time to be notified by cause and week; a value without a rate is null."""
    to_notify = known.to_notify
    return {
        "job": to_notify.job,
        "status_date": to_notify.status_date,
        "currency": to_notify.currency,
        "notice_days": to_notify.notice_days,
        "rows": [row_of(each, to_notify) for each in to_notify.rows],
        "hours": hours_of(to_notify.ms, 4),
        "value": money_4(to_notify.value),
        "known_at": known_at(known.stamp),
    }


def row_of(each: Caused, to_notify: ToNotify) -> Json:
    """Return the time of a cause and week; `days_left` is below 0 once the limit has passed."""
    by = each.notify_by
    return {
        "cause": each.cause,
        "kind": each.kind,
        "week": each.week,
        "first_day": each.first_day,
        "last_day": each.last_day,
        "entries": each.entries,
        "hours": hours_of(each.ms, 4),
        "value": money_4(each.value),
        "notify_by": by,
        "days_left": None if by is None else (by - to_notify.status_date).days,
        "attention": each.attention and each.attention.kind,
        "undefined": {} if each.unpriced is None else {"value": each.unpriced},
    }


def money_4(amount: Decimal | None) -> Decimal | None:
    """Return an amount to four places."""
    return None if amount is None else amount.quantize(Decimal("0.0001"))
