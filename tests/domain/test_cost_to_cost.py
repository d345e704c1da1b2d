"""Costs by kind: what is spent, and what is to come of what was forecast."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.domain.cost_to_cost import CostRow, by_kind

# Amounts day by day, each with a forecast of what is to come or without; then what is to come.
CASES: list[tuple[str, list[tuple[int, int | None]], int]] = [
    ("taken from the forecast", [(1000, 500), (200, None)], 300),
    ("not below 0", [(1000, 500), (700, None)], 0),
    ("paid back before it is spent", [(1000, 500), (-200, None)], 700),
    ("paid back of what was above it", [(1000, 500), (700, None), (-700, None)], 500),
    ("paid back without a forecast", [(1000, None), (-200, None)], 0),
    ("forecast anew", [(1000, 500), (700, 50), (10, None)], 40),
]


@pytest.mark.parametrize(
    ("rows", "to_come"), [case[1:] for case in CASES], ids=[case[0] for case in CASES]
)
def test_what_is_spent_is_taken_from_the_forecast(
    rows: list[tuple[int, int | None]], to_come: int
) -> None:
    """In the end it costs what was spent and forecast then, and never less than is spent now."""
    costs = [
        CostRow(
            "material", date(2026, 1, day), Decimal(spent), None if left is None else Decimal(left)
        )
        for day, (spent, left) in enumerate(rows, start=1)
    ]
    (found,) = by_kind(costs)

    assert (found.spent, found.to_come) == (sum(spent for spent, _ in rows), to_come)
