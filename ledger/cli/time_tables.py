"""Completion, trust in SPI and key dates, for people."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from ledger.cli.tables import as_table
from ledger.cli.wording.reasons import words_of
from ledger.domain.allocation import hours_of, to_places
from ledger.domain.counting import counted

if TYPE_CHECKING:
    from ledger.domain.key_dates import KeyDate
    from ledger.performance.time_outlook import TimeOutlook

HEAD = ("key date", "on", "trade", "hours to go", "weeks left", "people needed", "people there")


def outlook_lines(outlook: "TimeOutlook") -> Iterator[str]:
    """Yield what stands beside the time figures, key dates last."""
    yield from _completion(outlook)
    if outlook.spi_doubt:
        yield words_of(outlook.spi_doubt)
    rows = [row for each in outlook.key_dates for row in _rows(each)]
    if rows:
        yield as_table((*HEAD, "people short"), rows)
    for each in outlook.key_dates:
        yield _reached(each)


def _completion(outlook: "TimeOutlook") -> Iterator[str]:
    known = outlook.completion
    if known.agreed is None:
        return
    line = f"completion date {known.agreed}{_late(outlook.late_by)}"
    if known.days_granted:
        granted = counted(known.days_granted, "day", "days")
        line += f"; with {granted} granted {known.moved_to or known.why}"
        line += _late(outlook.late_by_granted)
    yield line


def _late(days: int | None) -> str:
    if days is None:
        return ""
    if not days:
        return ": forecast to the day"
    count = counted(abs(days), "working day", "working days")
    return f": forecast {count} {'late' if days > 0 else 'early'}"


def _rows(key_date: "KeyDate") -> Iterator[list[Any]]:
    for trade in key_date.trades:
        needed, short = trade.needed, trade.short
        yield [
            key_date.name,
            key_date.day,
            trade.trade or "no trade",
            hours_of(trade.to_go_ms),
            to_places(trade.weeks_left, 1),
            None if needed is None else to_places(needed, 1),
            to_places(trade.people.count, 1),
            None if short is None else to_places(short, 1),
        ]


def _reached(key_date: "KeyDate") -> str:
    """Return whether a key date is made with the people there, in a sentence."""
    name, day = key_date.name, key_date.day
    if key_date.why:
        return f"{name}, {day}: {words_of(key_date.why)}"
    if key_date.misses_by:
        days = counted(key_date.misses_by, "working day", "working days")
        return f"misses {name} by {days}: {key_date.reached_on}, not {day}, with the people there"
    return f"makes {name}, {day}: done by {key_date.reached_on} with the people there"
