"""Dates on pages for people, written out."""

from datetime import date

MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July", "August"),
    *("September", "October", "November", "December"),
)


def written(day: date) -> str:
    """Return the day as 2 October 2026, on one line."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}".replace(" ", "\N{NO-BREAK SPACE}")
