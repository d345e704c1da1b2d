"""Dates as people write them on pages."""

from datetime import date

from ledger.language import TOGETHER, spoken

MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


def written(day: date) -> str:
    """Return the date written out, such as 2 October 2026, never broken over two lines."""
    if language := spoken():
        return language.written(day)
    return f"{day.day}{TOGETHER}{MONTHS[day.month - 1]}{TOGETHER}{day.year}"
