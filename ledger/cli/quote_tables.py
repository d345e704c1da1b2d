"""Quotes as tables for people, several side by side."""

import textwrap
from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from ledger.cli.change_tables import lines_table
from ledger.cli.output import give, say
from ledger.cli.tables import as_table, table_width, title_of
from ledger.domain.allocation import hours_of, to_places
from ledger.domain.counting import grouped
from ledger.domain.parsing import MS_PER_HOUR

if TYPE_CHECKING:
    from ledger.commands.quotes import QuotesCompared
    from ledger.domain.quoting import Margin
    from ledger.performance.quotes import Quote

RULE_WIDTH = 100
KINDS = ("labour", "material", "subcontract", "plant")


def quote_table(quoted: "QuotesCompared") -> None:
    """Give quotes side by side: money, hours and people, days and finish, key dates."""
    say(f"{quoted.job} on {quoted.status_date}, {quoted.currency}; nothing was written")
    for each in quoted.quotes:
        give(f"{each.name}: price build-up")
        lines_table(each.lines)
        give("")
    names = [each.name for each in quoted.quotes]
    give(as_table(["without tax", *names], _money_rows(quoted)))
    for each in quoted.quotes:
        for remark in _remarks(each):
            give(f"{each.name}: {remark}")
    give("\nhours and people")
    give(as_table(HOURS_HEAD, _hours_rows(quoted)))
    give("\nfinish at the present pace, an estimate")
    give(as_table(["finish", *names], _time_rows(quoted)))
    _give_key_dates(quoted)
    give(_rule(quoted))


def _money_rows(quoted: "QuotesCompared") -> list[list[object]]:
    """Return cost by kind, what is charged, and what is left; margin and mark-up apart."""
    used = [k for k in KINDS if any(k in each.costs.by_kind for each in quoted.quotes)]
    rows = [_across(quoted, f"cost, {kind}", _cost_of(kind)) for kind in used]
    rows.append(_across(quoted, "cost", lambda each: each.costs.total))
    rows.append(_across(quoted, "charged (price)", lambda each: each.price))
    if any(each.sums_omitted for each in quoted.quotes):
        rows.append(_across(quoted, "provisional sums omitted", lambda each: each.sums_omitted))
        rows.append(_across(quoted, "contract sum moves by", lambda each: each.moves_sum_by))
    rows.append(_across(quoted, "margin", _of_margin(lambda margin: margin.amount)))
    rows.append(
        _across(quoted, "margin, % of price", _of_margin(lambda margin: margin.percent_of_price))
    )
    rows.append(
        _across(quoted, "mark-up, % on cost", _of_margin(lambda margin: margin.mark_up_on_cost))
    )
    return rows


def _across(
    quoted: "QuotesCompared", name: str, figure: "Callable[[Quote], object | None]"
) -> list[object]:
    return [name, *map(figure, quoted.quotes)]


def _cost_of(kind: str) -> "Callable[[Quote], Decimal | None]":
    def cost(each: "Quote") -> Decimal | None:
        missing = kind == "labour" and each.costs.missing
        return None if missing else each.costs.by_kind.get(kind)

    return cost


def _of_margin(
    figure: "Callable[[Margin], Decimal | None]",
) -> "Callable[[Quote], Decimal | None]":
    return lambda each: figure(each.margin) if each.margin else None


def _remarks(quote: "Quote") -> Iterator[str]:
    """Yield what is to be known about the money of a quote."""
    for name, why in quote.undefined.items():
        yield f"{title_of(name)} not defined: {why}"
    if any(kind in quote.costs.by_kind for kind in KINDS[1:]):
        yield "cost of all but labour is taken as typed, before additions"
    if quote.profit_omitted:
        yield omission_words(quote.profit_omitted)
    if quote.counted:
        yield "approved already; its hours are in the forecast"


def omission_words(profit: Decimal) -> str:
    """Return what goes with hours that are taken out, by their price less their cost."""
    apart, gone = ("above", "profit") if profit > 0 else ("below", "loss")
    priced = f"the hours it takes out are priced {grouped(abs(profit))} {apart} their cost"
    return f"{priced}; that {gone} goes with them"


HOURS_HEAD = ("quote", "trade", "added", "omitted", "people now", "hours a week", "weeks")


def _hours_rows(quoted: "QuotesCompared") -> list[list[object]]:
    return [
        [
            each.name,
            trade.trade,
            hours_of(trade.added_ms),
            hours_of(trade.omitted_ms),
            to_places(trade.people, 2),
            to_places(trade.weekly_ms, 2, MS_PER_HOUR),
            None if trade.weeks is None else to_places(trade.weeks, 2),
        ]
        for each in quoted.quotes
        for trade in each.hours
    ]


def _time_rows(quoted: "QuotesCompared") -> list[list[object]]:
    return [
        _across(quoted, "working days more", lambda each: each.days),
        _across(quoted, "without it", lambda each: each.finish_before),
        _across(quoted, "with it", lambda each: each.finish),
    ]


KEY_DATES_HEAD = (
    *("quote", "key date", "date", "hours to go", "added", "at this pace"),
    *("short now", "short with it"),
)


def _give_key_dates(quoted: "QuotesCompared") -> None:
    rows: list[list[object]] = [
        [
            each.name,
            reach.name,
            reach.day,
            *map(hours_of, (reach.to_go_ms, reach.added_ms, reach.reach_ms)),
            *map(hours_of, (reach.short_ms, reach.short_with_change_ms)),
        ]
        for each in quoted.quotes
        for reach in each.key_dates
    ]
    if rows:
        give("\nkey dates, in hours")
        give(as_table(KEY_DATES_HEAD, rows))


def _rule(quoted: "QuotesCompared") -> str:
    first, last = quoted.pace
    rule = (
        f"rule: hours a week and people are means of the four weeks {first} to {last}, booked to "
        "this job. Weeks are the hours added, less those taken out, over the hours a week of the "
        "trade; the slowest trade counts, and the finish moves by as many working days. Trades "
        "work side by side and on nothing else. Before a key date all trades together count."
    )
    return "\n" + textwrap.fill(rule, table_width() or RULE_WIDTH)
