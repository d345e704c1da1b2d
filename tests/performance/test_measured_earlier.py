"""A job that was measured for one day is measured for an earlier one without reading it again."""

from datetime import date, timedelta

import pytest

from ledger.performance.basis import Scope
from ledger.performance.measure import Measured
from ledger.performance.overrun import OverrunExplained
from ledger.store.book import open_book
from tests.conftest import Yard
from tests.test_small_sample import build

LAST = date(2026, 3, 29)


@pytest.mark.slow
def test_an_earlier_day_is_measured_as_if_asked_alone(yard: Yard) -> None:
    """On every day of four weeks cells, time and steps are those of a job read for that day."""
    build(yard)
    with open_book(yard.book) as book:
        for unit in ("hours", "cost"):
            now = Measured(book, "STAGE", Scope(LAST, unit))
            assert now.cells
            for days in range(1, 29):
                day = LAST - timedelta(days=days)
                derived, alone = now.on(day), Measured(book, "STAGE", Scope(day, unit))

                assert derived.cells == alone.cells
                assert derived.time == alone.time
                assert derived.undefined_cost == alone.undefined_cost
                assert (derived.actuals.total, derived.actuals.places) == (
                    alone.actuals.total,
                    alone.actuals.places,
                )
                assert OverrunExplained(derived).result() == OverrunExplained(alone).result()
