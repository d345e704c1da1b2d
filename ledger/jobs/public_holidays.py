"""A country, or part of one, whose public holidays are kept."""

from typing import Any


def holidays_of(place: str, years: range) -> set[Any] | None:
    """Return the public holidays of a country, or of a part of one (DE-BY); None if unknown."""
    import holidays

    country, dash, part = place.partition("-")
    if dash and not part:
        return None
    try:
        return set(holidays.country_holidays(country, subdiv=part or None, years=years))
    except NotImplementedError:
        return None


def holidays_fault(value: str) -> str | None:
    """Return what is wrong with a place whose holidays are asked for; empty is none."""
    return None if not value or holidays_of(value, range(0)) is not None else no_holidays(value)


def no_holidays(value: str) -> str:
    """Return what is wrong with a country that has no holidays here."""
    return f'"{value}" is not a known country or part of one; write PT, or DE-BY for a part'
