"""Figures as they are shown: hours to two decimals, parts that add up, digits in groups."""

from collections.abc import Sequence
from decimal import Decimal

from ledger.domain.allocation import hours_of, shown_adding_to, to_places
from ledger.language import MINUS, spoken

QUARTER_MS = 900_000
GROUP = "\N{NO-BREAK SPACE}"  # The narrow one of the packaged font is hardly seen.


def hours(ms: int) -> Decimal:
    """Return the duration in hours to two decimals, rounded half away from zero."""
    return hours_of(ms)


def whole_hours(ms: int) -> Decimal:
    """Return the duration in whole hours, rounded half away from zero."""
    return hours_of(ms, 0)


def quarter_hours(total_ms: int, amounts: Sequence[int]) -> list[Decimal]:
    """Return each part in hours, rounded to quarters so that they add to the total so rounded."""
    quarters = shown_adding_to(to_places(total_ms, 0, QUARTER_MS), amounts, QUARTER_MS, 0)
    return [quarter * Decimal("0.25") for quarter in quarters]


def number_text(value: Decimal | int, *, signed: bool = False) -> str:
    """Return the number with its own decimals, in groups of three, with a true minus sign.

    In plain English groups are set apart by a space and never by a comma or a point (ISO 80000-1,
    7.3); in another language by the marks of its locale.
    A step of a sum is signed: its plus is shown too.
    """
    digits = f"{abs(value):,f}" if isinstance(value, Decimal) else f"{abs(value):,d}"
    sign = MINUS if value < 0 else "+" if signed and value > 0 else ""
    language = spoken()
    return sign + (language.digits(digits) if language else digits.replace(",", GROUP))
