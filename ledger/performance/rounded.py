"""The amounts of performance as a table shows them: to two places, and they add up."""

from decimal import Decimal
from fractions import Fraction

from ledger.domain.allocation import shown_adding_to, to_places
from ledger.performance.report import AMOUNTS, UNIT, Performance, PerformanceRow

Amounts = dict[str, Decimal | None]
# Amounts of rows that add to those of their whole.
ADDING = ("bac", "pv", "ev", "ac", "sv", "cv", "eac", "etc", "vac")


def rounded_amounts(result: Performance) -> list[Amounts]:
    """Return the amounts of each row of the job, then of each outside it.

    Rows of a grouping add to the job's own row, column by column, and that with the rows outside
    to the anticipated final and, by AC, to all that is booked to the job. On the original
    baseline, which knows no change, rows add to their own sum.
    """
    every = [*result.rows, *result.outside]
    if result.anticipated_final is None:
        return [dict.fromkeys(AMOUNTS) for _ in every]
    per = UNIT[result.asked.unit]
    rows = [_alone(row, per) for row in every]
    heads = rounded_heads(result)
    for name in ADDING:
        exact = [_whole(row, name) for row in result.rows]
        total = heads[name] if name in heads else to_places(sum(exact), 2, per)
        for row, amount in zip(rows, shown_adding_to(total, exact, per), strict=False):
            row[name] = amount
        for row, key in zip(rows[len(exact) :], result.outside, strict=True):
            row[name] = heads.get(f"{name} {key.key}", row[name])
    return rows


def rounded_heads(result: Performance) -> dict[str, Decimal]:
    """Return EAC and AC of the job, and of each row outside, as shown: they add to their whole.

    On the original baseline the job's own are left out: they are no part of it.
    """
    per = UNIT[result.asked.unit]
    heads: dict[str, Decimal] = {}
    for name, whole in (("eac", result.anticipated_final), ("ac", result.job_booked)):
        assert whole is not None
        others = [_whole(row, name) for row in result.outside]
        exact = [whole - sum(others), *others]
        own, *rest = shown_adding_to(to_places(whole, 2, per), exact, per)
        names = [f"{name} {row.key}" for row in result.outside]
        heads |= dict(zip(names, rest, strict=True))
        if result.asked.baseline == "current":
            heads[name] = own
    return heads


def _alone(row: PerformanceRow, per: int) -> Amounts:
    figures = {name: row.figures[name] for name in AMOUNTS}
    return {n: None if v is None else to_places(v, 2, per) for n, v in figures.items()}


def _whole(row: PerformanceRow, name: str) -> int:
    """Return an amount that is a whole number of units, none as 0."""
    return int(Fraction(row.figures[name] or 0))
