"""The amounts of performance as shown: each column adds to its whole, an exact amount stays."""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from ledger.domain.allocation import to_places
from ledger.performance.report import AMOUNTS, PerformanceAsked, PerformanceRow
from ledger.performance.rounded import ADDING, rounded_amounts

HOUR = 3_600_000
AMOUNT = st.integers(min_value=-(10**10), max_value=10**10)


def row(key: str, bac: int, ev: int, ac: int, eac: int) -> PerformanceRow:
    figures: dict[str, Any] = dict.fromkeys(AMOUNTS)
    figures |= {"bac": bac, "pv": ev, "ev": ev, "ac": ac, "sv": 0, "cv": ev - ac}
    return PerformanceRow(key, figures | {"eac": eac, "etc": eac - ac, "vac": bac - eac})


def result(rows: list[PerformanceRow], outside: list[PerformanceRow]) -> Any:
    every = [*rows, *outside]
    sums = {name: sum(int(each.figures[name] or 0) for each in every) for name in ("ac", "eac")}
    return SimpleNamespace(
        asked=PerformanceAsked("PIER", date(2026, 3, 1)),
        rows=rows,
        outside=outside,
        anticipated_final=sums["eac"],
        job_booked=sums["ac"],
    )


@given(st.lists(st.tuples(AMOUNT, AMOUNT, AMOUNT, AMOUNT), min_size=4, max_size=12))
def test_columns_shown_add_up(amounts: list[tuple[int, int, int, int]]) -> None:
    """Rows add to the job's row, and with those outside to the final; no SV is shown of none."""
    every = [row(f"#{n}", *each) for n, each in enumerate(amounts)]
    rows, outside = every[3:], every[:3]
    sums = [sum(column) for column in zip(*amounts[3:], strict=True)]
    several = rounded_amounts(result(rows, outside))
    whole, *beside = rounded_amounts(result([row("PIER", *sums)], outside))
    final = sum(int(each.figures["eac"] or 0) for each in every)

    assert {n: total(several[: len(rows)], n) for n in ADDING} == {n: whole[n] for n in ADDING}
    assert several[len(rows) :] == beside
    assert total([whole, *beside], "eac") == to_places(final, 2, HOUR)
    assert {each["sv"] for each in several} == {Decimal("0.00")}


def total(rows: list[Any], name: str) -> Decimal:
    return sum((each[name] for each in rows), Decimal(0))
