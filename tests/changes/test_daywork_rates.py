"""Percentages that a price adds by lines of its own hold for its daywork, exactly."""

from decimal import Decimal
from typing import Any, cast

import pytest

from ledger.changes.daywork_lines import hours_line, item_line
from ledger.changes.daywork_place import daywork_terms_of_price
from ledger.changes.daywork_terms import DayworkTerms
from ledger.changes.rows import KnownDayworkItem, KnownPriceLine

HALF_AN_HOUR_MORE = 5_400_000  # 1.5 h in ms.


def margin(percent: str) -> DayworkTerms:
    """Return the terms of a price with a margin on price as a line of its own."""
    row = dict.fromkeys(("addition_of", "addition_method"))
    added = {"addition_percent": Decimal(percent), "addition_on": "price"}
    return daywork_terms_of_price(
        [cast(KnownPriceLine, {**row, **added, "price_kind": "addition"})], DayworkTerms()
    )


def test_a_margin_without_an_end_is_rounded_once() -> None:
    """1.5 h x 8.2525 / 0.75 is 16.505: 16.51, as the estimate of the same hours says."""
    line = hours_line(("joiner", None), Decimal("8.2525"), HALF_AN_HOUR_MORE, margin("25"))

    assert line.amount == Decimal("16.51")


@pytest.mark.parametrize(
    ("cost", "percent", "rate"),
    [
        ("41.1111", "25", Decimal("54.8148")),
        ("12.37", "25", None),
        ("13.15", "20", Decimal("16.4375")),
    ],
)
def test_a_rate_is_shown_only_if_it_is_exact(cost: str, percent: str, rate: Decimal | None) -> None:
    """12.37 / 0.75 is no rate of so many places, so the line has an amount alone."""
    record: dict[str, Any] = {"cost_kind": "material", "description": "Tar", "unit": "kg"}
    line = item_line(cast(KnownDayworkItem, record), [(Decimal(1), Decimal(cost))], margin(percent))

    assert line.unit_price == rate
