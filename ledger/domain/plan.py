"""Spreading a budget over working days, and cutting or adding to a plan."""

from collections.abc import Mapping, Sequence
from datetime import date
from fractions import Fraction

from ledger.domain.allocation import allocated, rounded, spread
from ledger.domain.calendar import WorkCalendar


def spread_weights(count: int, shape: str) -> list[int]:
    """Return the weight of each of `count` days: even, early, late or middle."""
    days = range(1, count + 1)
    if shape == "early":
        return [count + 1 - i for i in days]
    if shape == "late":
        return list(days)
    if shape == "middle":
        return [min(i, count + 1 - i) for i in days]
    return [1] * count


def spread_over_days(
    total: int, calendar: WorkCalendar, first: date, last: date, shape: str = "even"
) -> dict[date, int]:
    """Return ms a working day from first to last; without a working day all on the last.

    Each day of the shape counts by its weight in the calendar: even puts 0.4 of a full day's ms on
    a day of weight 0.4.
    """
    days = calendar.working(first, last) or [last]
    weights = calendar.weights_of(first, last) or [1]
    shaped = [a * b for a, b in zip(spread_weights(len(days), shape), weights, strict=True)]
    shares = spread(total, shaped)
    return {day: share for day, share in zip(days, shares, strict=True) if share}


def spread_anew(
    standing: Mapping[date, int],
    day: date,
    calendar: WorkCalendar,
    span: tuple[date, date],
    shape: str = "even",
) -> dict[date, int]:
    """Return what moves in a plan when its days after `day` are spread anew; it sums to 0.

    What stands after the day goes by the shape over the working days of the span that are left;
    without one all goes on its last day. A span that is past moves nothing.
    """
    later = {each: ms for each, ms in standing.items() if each > day and ms}
    rest, (first, last) = sum(later.values()), span
    if rest <= 0 or last <= day:
        return {}
    days, weights = calendar.working(first, last), calendar.weights_of(first, last)
    shaped = {
        each: form * weight
        for each, form, weight in zip(days, spread_weights(len(days), shape), weights, strict=True)
        if each > day
    } or {last: 1}
    due = dict(zip(shaped, spread(rest, list(shaped.values())), strict=True))
    moves = {each: due.get(each, 0) - later.get(each, 0) for each in sorted({*due, *later})}
    return {each: ms for each, ms in moves.items() if ms}


def at_dates(total: int, weights: Sequence[tuple[date, Fraction]]) -> dict[date, int]:
    """Return ms a date by weights, running totals rounded, the last exact."""
    whole = sum((weight for _, weight in weights), Fraction(0))
    placed, running = 0, Fraction(0)
    plan: dict[date, int] = {}
    for day, weight in sorted(weights, key=lambda each: each[0]):
        running += weight
        upto = rounded(total * running / whole)
        plan[day] = plan.get(day, 0) + upto - placed
        placed = upto
    return plan


def adjusted(amount: int, standing: Mapping[date, int], day: date) -> dict[date, int]:
    """Return the plan of a signed change: pro rata over the days after `day`, the rest on `day`.

    A cut takes at most what stands on later days; an addition goes there whole if there are any.
    """
    later = {each: ms for each, ms in sorted(standing.items()) if each > day and ms > 0}
    whole = sum(later.values())
    placed = amount if amount > 0 and whole else max(amount, -whole)
    plan = dict(zip(later, allocated(placed, list(later.values())), strict=True)) if whole else {}
    rest = amount - (placed if whole else 0)
    if rest:
        plan[day] = plan.get(day, 0) + rest
    return {each: ms for each, ms in plan.items() if ms}
