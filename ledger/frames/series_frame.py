"""A job over time as a frame: whole units become decimals in columns, exact and at once."""

from collections.abc import Iterable
from decimal import Decimal
from math import gcd

import polars as pl

from ledger.errors import Refused
from ledger.frames.columns import schema_of
from ledger.performance.report import UNIT
from ledger.performance.series import ByPeriod, Gained, Series

GAINED = ("pv", "ev", "ac")
# An index has six places.
INDEX = 10**6
# What fits into 64 bits is read and divided several times as fast.
MOST = 2**63 - 1


def series_frame(found: Series) -> pl.DataFrame:
    """Return a series as a frame, a row a key and period, of the documented columns.

    Raises: Refused when cost is asked for and not defined.
    """
    if found.undefined:
        raise Refused("cost_undefined", job=found.asked.job, why=found.undefined)
    whole = _whole_units(found)
    begins = pl.col("period_end") == pl.lit(found.ends[0] if found.ends else None, pl.Date)
    before = {name: pl.when(begins).then(0).otherwise(pl.col(name).shift(1)) for name in GAINED}
    gained = {f"{name}_in_period": pl.col(name) - before[name] for name in GAINED}
    per = UNIT[found.asked.unit]
    shown = [*Gained._fields, *gained]
    return (
        whole.with_columns(**gained)
        .with_columns(
            **{name: _places(pl.col(name), per, 4).alias(name) for name in shown},
            spi=_index("ev", "pv"),
            cpi=_index("ev", "ac"),
            job=pl.lit(found.asked.job),
            status_date=pl.lit(found.status_date),
        )
        .select(list(schema_of("series", cost=True)))
    )


def _whole_units(found: Series) -> pl.DataFrame:
    """Return the amounts of each key, in order, at the end of each period."""
    ends = pl.DataFrame(
        {"period_end": found.ends, "known_at": found.known_at},
        schema={"period_end": pl.Date, "known_at": pl.Int64},
    )
    keys = pl.DataFrame({"key": list(found.gained)}, schema={"key": pl.String})
    kind = _kind(found)
    amounts = [
        pl.Series(name, _changes(column, len(found.ends)), dtype=kind).cum_sum()
        for name, column in _columns(found).items()
    ]
    return keys.join(ends, how="cross", maintain_order="left_right").with_columns(amounts)


def _columns(found: Series) -> dict[str, list[ByPeriod]]:
    """Return what is gained in periods of each amount, key after key."""
    each = found.gained.values()
    return {name: [getattr(gained, name) for gained in each] for name in Gained._fields}


def _changes(column: Iterable[ByPeriod], count: int) -> list[int]:
    """Return by how much an amount differs from that before it; a key begins at nothing."""
    changes: list[int] = []
    total = 0
    for gained in column:
        of_key = [0] * count
        for place, amount in gained.items():
            of_key[place] = amount
        of_key[0] -= total
        total = sum(gained.values())
        changes += of_key
    return changes


def _kind(found: Series) -> type[pl.Int64] | type[pl.Int128]:
    """Return the whole numbers that hold every amount, and what an index is worked out from."""
    sums = (sum(map(abs, each.values())) for gained in found.gained.values() for each in gained)
    return pl.Int64 if max(sums, default=0) * (2 * INDEX + 1) <= MOST else pl.Int128


def _places(value: pl.Expr, per: int, places: int) -> pl.Expr:
    """Return value / per as a decimal of so many places, half away from zero."""
    common = gcd(10**places, per)
    over, under = 10**places // common, per // common
    units = (value.abs() * (2 * over) + under) // (2 * under)
    return _scaled(value.sign() * units, places)


def _scaled(units: pl.Expr, places: int) -> pl.Expr:
    """Return whole units of the last of so many places as a decimal."""
    scaled: pl.Expr = units.cast(pl.Decimal(38, 0)) * pl.lit(Decimal(1).scaleb(-places))
    return scaled


def _index(earned: str, of: str) -> pl.Expr:
    """Return an index of six places, null where there is no budget or nothing to divide by."""
    is_defined = (pl.col("bac") != 0) & (pl.col(of) > 0)
    value, divisor = pl.col(earned), pl.when(is_defined).then(pl.col(of))
    units = (value.abs() * (2 * INDEX) + divisor) // (2 * divisor)
    return _scaled(value.sign() * units, 6)
