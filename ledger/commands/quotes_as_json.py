"""Quotes for machines: hours and money of 4 places, None with its reason where undefined."""

from decimal import Decimal
from fractions import Fraction

from ledger.commands.as_json import Json, known_at
from ledger.commands.changes_as_json import line_json, money
from ledger.commands.quotes import QuotesCompared
from ledger.domain.allocation import hours_of, to_places
from ledger.domain.parsing import MS_PER_HOUR
from ledger.domain.quoting import KeyDateReach, TradeHours
from ledger.performance.quotes import Quote


def quoted_json(quoted: QuotesCompared) -> Json:
    """Return quotes side by side; finish and days are estimates by the rule of `pace`."""
    first, last = quoted.pace
    return {
        "job": quoted.job,
        "status_date": quoted.status_date,
        "quotes": [_quote(each) for each in quoted.quotes],
        "pace": {"from": first, "to": last},
        "known_at": known_at(quoted.stamp),
    }


def _quote(quote: Quote) -> Json:
    margin = quote.margin
    return {
        "quote": quote.name,
        "change": quote.change,
        "basis": quote.basis,
        "price": money(quote.price),
        "provisional_sums_omitted": money(-quote.sums_omitted),
        "contract_sum_moves_by": money(quote.moves_sum_by),
        "cost": money(quote.costs.total),
        "cost_by_kind": {kind: money(cost) for kind, cost in quote.costs.by_kind.items()},
        "margin": money(margin.amount) if margin else None,
        "margin_percent_of_price": margin.percent_of_price if margin else None,
        "mark_up_percent_on_cost": margin.mark_up_on_cost if margin else None,
        "profit_omitted": money(quote.profit_omitted),
        "lines": [line_json(line) for line in quote.lines],
        "hours": [_hours(each) for each in quote.hours],
        "days": quote.days,
        "finish": quote.finish,
        "finish_before": quote.finish_before,
        "key_dates": [_key_date(each) for each in quote.key_dates],
        "in_forecast": quote.counted,
        "undefined": quote.undefined,
    }


def _hours(trade: TradeHours) -> Json:
    return {
        "trade": trade.trade,
        "added_hours": hours_of(trade.added_ms, 4),
        "omitted_hours": hours_of(trade.omitted_ms, 4),
        "people": to_places(trade.people, 6),
        "hours_a_week": _per_hour(trade.weekly_ms),
        "weeks": None if trade.weeks is None else to_places(trade.weeks, 6),
    }


def _key_date(reach: KeyDateReach) -> Json:
    return {
        "name": reach.name,
        "date": reach.day,
        "hours_to_go": hours_of(reach.to_go_ms, 4),
        "hours_added": hours_of(reach.added_ms, 4),
        "hours_at_this_pace": hours_of(reach.reach_ms, 4),
        "short_hours": hours_of(reach.short_ms, 4),
        "short_hours_with_change": hours_of(reach.short_with_change_ms, 4),
    }


def _per_hour(ms: Fraction) -> Decimal:
    return to_places(ms, 4, MS_PER_HOUR)
