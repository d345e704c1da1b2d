"""Figures as they are shown: hours to two decimals, parts that add up, digits in groups."""

from decimal import Decimal

from ledger.domain.allocation import hours_of

MINUS = "\N{MINUS SIGN}"
GROUP = "\N{NO-BREAK SPACE}"  # The narrow one of the packaged font is hardly seen.


def hours(ms: int) -> Decimal:
    """Return the duration in hours to two decimals, rounded half away from zero."""
    return hours_of(ms)


def whole_hours(ms: int) -> Decimal:
    """Return the duration in whole hours, rounded half away from zero."""
    return hours_of(ms, 0)


def number_text(value: Decimal | int, *, signed: bool = False) -> str:
    """Return the number with its own decimals, in groups of three, with a true minus sign.

    Groups are set apart by a space and never by a comma or a point. Source: ISO 80000-1, 7.3.
    A step of a sum is signed: its plus is shown too.
    """
    digits = f"{abs(value):,f}" if isinstance(value, Decimal) else f"{abs(value):,d}"
    sign = MINUS if value < 0 else "+" if signed and value > 0 else ""
    return sign + digits.replace(",", GROUP)
