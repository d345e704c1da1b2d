"""The figures that the demo yard's README says to expect are those reckoned from its files."""

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from functools import cache

import pytest

from tests.demo import _replay
from tests.demo._reckon_files import MS_AN_HOUR, round_half_away
from tests.demo._reckon_schedule import loads_of
from tests.demo._reckon_yard import ReckonedYard

README = (_replay.SAMPLE / "README.md").read_text(encoding="utf-8")
FIGURES = {
    "budget (BAC)": "bac",
    "planned (PV)": "pv",
    "earned (EV)": "ev",
    "booked (AC)": "ac",
    "CPI": "cpi",
    "SPI": "spi",
    "forecast (EAC)": "eac",
}


def table(first: str) -> dict[tuple[str, date], str]:
    """Return the cells of the README's table that has a row of this name, by name and day."""
    found = next(part for part in README.split("\n\n") if f"\n| {first} |" in part)
    heads, _, *rows = [[c.strip() for c in line.split("|")[1:-1]] for line in found.splitlines()]
    days = [date.fromisoformat(head) for head in heads[1:]]
    return {
        (row[0], day): cell.replace(" ", "").replace("\N{MINUS SIGN}", "-")
        for row in rows
        for day, cell in zip(days, row[1:], strict=True)
    }


@cache
def known_by_tuesday(day: date) -> ReckonedYard:
    """Return the yard as it was known on the Tuesday after a status date."""
    return ReckonedYard(loads_of(_replay.SAMPLE, day + timedelta(days=2)))


def shown(value: Fraction | int | None, places: int) -> str:
    assert value is not None
    return str(Decimal(round_half_away(Fraction(value) * 10**places)).scaleb(-places))


def in_hours(ms: Fraction | int | None) -> str:
    assert ms is not None
    return shown(Fraction(ms, MS_AN_HOUR), 2)


def reckoned_figures(day: date) -> Iterator[tuple[str, str]]:
    """Yield each figure of the README's first table for a status date."""
    job = known_by_tuesday(day).job("FERRY", day, "current", "hours")
    [row] = job.rows("job").values()
    for name, key in FIGURES.items():
        yield name, shown(row[key], 3) if key in ("cpi", "spi") else in_hours(row[key])
    final = known_by_tuesday(day).overrun("FERRY", day, "hours").anticipated_final
    yield "anticipated final", in_hours(final)
    yield "forecast finish", str(job.schedule.forecast_finish)


def test_the_figures_to_expect_are_those_reckoned() -> None:
    """Each figure of the README, as known on the Tuesday after, is reckoned from the files."""
    expected = table("forecast finish")
    actual = {
        (name, day): text for day in days_of(expected) for name, text in reckoned_figures(day)
    }

    assert actual == expected


@pytest.mark.slow
def test_the_steps_to_expect_are_those_reckoned() -> None:
    """Each step of the README, as known on the Tuesday after, is reckoned from the files."""
    expected = table("original budget")
    actual = {}
    for day in days_of(expected):
        for step, amount in known_by_tuesday(day).overrun("FERRY", day, "hours").steps.items():
            name = step.replace("_", " ").replace("over under", "over or under")
            actual[name.replace("non productive", "non-productive"), day] = in_hours(amount)

    assert actual == expected


def days_of(cells: dict[tuple[str, date], str]) -> list[date]:
    return sorted({day for _, day in cells})
