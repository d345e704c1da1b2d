"""A job over time as a frame: whole units become decimals in columns, exact and at once."""

from decimal import Decimal
from itertools import chain
from math import gcd

import polars as pl

from ledger.errors import Refused
from ledger.frames.columns import schema_of
from ledger.performance.report import UNIT
from ledger.performance.series import Series

AMOUNTS = ("bac", "pv", "ev", "ac")
GAINED = ("pv", "ev", "ac")


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
    shown = [*AMOUNTS, *gained]
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
    keys = pl.DataFrame({"key": list(found.curves)}, schema={"key": pl.String})
    # Time fits into 64 bits, which are read and divided several times as fast.
    kind = pl.Int64 if found.asked.unit == "hours" else pl.Int128
    curves = found.curves.values()
    amounts = [
        pl.Series(name, list(chain(*(getattr(c, name) for c in curves))), dtype=kind)
        for name in AMOUNTS
    ]
    return keys.join(ends, how="cross", maintain_order="left_right").with_columns(amounts)


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
    value = pl.col(earned).cast(pl.Int128)
    divisor = pl.when(is_defined).then(pl.col(of)).cast(pl.Int128)
    units = (value.abs() * 2_000_000 + divisor) // (2 * divisor)
    return _scaled(value.sign() * units, 6)
