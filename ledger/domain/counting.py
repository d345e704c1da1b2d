"""Counts with their nouns, and figures as people read them."""

from decimal import Decimal

from ledger.domain.allocation import hours_of

# A space sets groups of three apart, never a comma or a point. Source: ISO 80000-1, 7.3.
GROUP = "\N{NO-BREAK SPACE}"
MINUS = "\N{MINUS SIGN}"


def counted(count: int, one: str, more: str) -> str:
    """Return a count with its noun."""
    return f"1 {one}" if count == 1 else f"{count} {more}"


def grouped(figure: Decimal) -> str:
    """Return a figure with its own decimals, its digits in groups of three, with a minus sign."""
    return f"{figure:,f}".replace(",", GROUP).replace("-", MINUS)


def hours_text(ms: int) -> str:
    """Return a duration in hours to two decimals, its digits in groups."""
    return grouped(hours_of(ms))
