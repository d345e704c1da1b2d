"""The forecast in front: one figure, one reason, and the range of the formulas."""

from pathlib import Path

import pytest

from ledger.performance.basis import Scope
from ledger.performance.forecast_range import FORMULAS, forecast_range
from ledger.performance.measure import Measured
from ledger.performance.report import Asked, performance
from ledger.store.book import open_book
from tests.conftest import Yard
from tests.test_small_sample import STATUS_DATE, build

SMALL = "STAGE"


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small sample's book, to be read only."""
    return build(Yard(tmp_path_factory.mktemp("small"))).book


@pytest.mark.parametrize("unit", ["hours", "cost"])
def test_the_range_spans_the_formulas_of_the_job(small: Path, unit: str) -> None:
    """Low and high are the least and most of EAC and the formulas; none is below AC."""
    with open_book(small) as book:
        told = forecast_range(Measured(book, SMALL, Scope(STATUS_DATE, unit)))
        (row,) = performance(book, Asked(SMALL, STATUS_DATE, unit=unit)).rows
    known = {name: row.figures[name] for name in ("eac", *FORMULAS) if row.figures[name]}

    assert told is not None
    assert (told.eac, told.low, told.high) == (
        row.figures["eac"],
        min(v for v in known.values() if v),
        max(v for v in known.values() if v),
    )
    assert (known[told.low_by], known[told.high_by]) == (told.low, told.high)
    assert set(told.undefined) == set(FORMULAS) - set(known)
    # 41.25 h of 57.25 h to go are by the index, 16 h by RAIL's own estimate.
    assert told.method.name == "index"
