"""A job over time as a frame: whole units become decimals in columns, exact and at once."""

from decimal import Decimal

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
    count, curves = len(found.ends), found.curves.values()
    columns = {
        "key": [key for key in found.curves for _ in range(count)],
        "period_end": found.ends * len(found.curves),
        "known_at": found.known_at * len(found.curves),
        **{name: [each for c in curves for each in getattr(c, name)] for name in AMOUNTS},
    }
    kinds = {"key": pl.String, "period_end": pl.Date, "known_at": pl.Int64}
    whole = pl.DataFrame(columns, schema=kinds | dict.fromkeys(AMOUNTS, pl.Int128))
    before = {name: pl.col(name).shift(1).over("key").fill_null(0) for name in GAINED}
    gained = {f"{name}_in_period": pl.col(name) - before[name] for name in GAINED}
    per = UNIT[found.asked.unit]
    shown = [*AMOUNTS, *gained]
    return (
        whole.with_columns(**gained)
        .with_columns(
            **{name: _places(pl.col(name), pl.lit(per), 4).alias(name) for name in shown},
            spi=_index("ev", "pv"),
            cpi=_index("ev", "ac"),
            job=pl.lit(found.asked.job),
            status_date=pl.lit(found.status_date),
        )
        .select(list(schema_of("series", cost=True)))
    )


def _places(value: pl.Expr, per: pl.Expr, places: int) -> pl.Expr:
    """Return value / per as a decimal of so many places, half away from zero."""
    twice = 2 * per.abs().cast(pl.Int128)
    units = (2 * value.abs() * 10**places + per.abs()) // twice
    signed = value.sign() * per.sign() * units
    shown: pl.Expr = signed.cast(pl.Decimal(38, 0)) * pl.lit(Decimal(1).scaleb(-places))
    return shown


def _index(earned: str, of: str) -> pl.Expr:
    """Return an index of six places, null where there is no budget or nothing to divide by."""
    is_defined = (pl.col("bac") != 0) & (pl.col(of) > 0)
    divisor = pl.when(is_defined).then(pl.col(of))
    return _places(pl.col(earned), divisor, 6)
