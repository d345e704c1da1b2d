"""Dates as people write them on pages."""

from datetime import date

MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
TOGETHER = "\N{NO-BREAK SPACE}"  # A date stays on one line.


def written(day: date) -> str:
    """Return the date written out, such as 2 October 2026, never broken over two lines."""
    return f"{day.day}{TOGETHER}{MONTHS[day.month - 1]}{TOGETHER}{day.year}"
