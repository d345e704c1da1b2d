"""A job over time as a frame: whole units become decimals in columns, exact and at once."""

from decimal import Decimal
from itertools import accumulate, repeat
from math import gcd

import polars as pl

from ledger.errors import Refused
from ledger.frames.columns import schema_of
from ledger.performance.report import UNIT
from ledger.performance.series import Gained, Series

GAINED = {name: f"{name}_in_period" for name in ("pv", "ev", "ac")}
FIGURES = (*Gained._fields, *GAINED.values(), "spi", "cpi")
# An index has six places.
INDEX = 10**6


def series_frame(series: Series) -> pl.DataFrame:
    """Return a series as a frame, a row a key and period, of the documented columns.

    Raises: Refused when cost is asked for and not defined.
    """
    if series.undefined:
        raise Refused("cost_undefined", job=series.asked.job, why=series.undefined)
    changed = _changed(series)
    periods = _periods(series)
    marks = pl.zeros(len(periods), dtype=pl.UInt32, eager=True).scatter(changed["row"], 1)
    # The first row of the figures is of nothing: what is gained where nothing changes.
    places = marks.cum_sum()
    at, gained_at = pl.lit(places), pl.lit(places * marks)
    figures = _figures(changed, UNIT[series.asked.unit]).select(
        pl.col(name).gather(gained_at if name in GAINED.values() else at) for name in FIGURES
    )
    return periods.hstack(figures).select(
        pl.lit(series.asked.job).alias("job"),
        pl.lit(series.status_date).alias("status_date"),
        *(name for name in schema_of("series", cost=True) if name not in {"job", "status_date"}),
    )


def _periods(series: Series) -> pl.DataFrame:
    """Return each key, in order, with each period."""
    ends = pl.DataFrame(
        {"period_end": series.ends, "known_at": series.known_at},
        schema={"period_end": pl.Date, "known_at": pl.Int64},
    )
    keys = pl.DataFrame({"key": list(series.gained)}, schema={"key": pl.String})
    return keys.join(ends, how="cross", maintain_order="left_right")


def _changed(series: Series) -> pl.DataFrame:
    """Return whole units where any amount of a key changes: in between all stay as they are.

    `row` is where that is among all keys and periods; the first period of a key is always there.
    """
    rows: list[int] = []
    columns: dict[str, list[int]] = {name: [] for name in (*Gained._fields, *GAINED.values())}
    begin, first = -series.first, series.first
    for gained in series.gained.values() if series.ends else ():
        numbers = sorted({first}.union(*gained))
        rows += [begin + number for number in numbers]
        begin += len(series.ends)
        for name, by_number in zip(Gained._fields, gained, strict=True):
            amounts = list(map(by_number.get, numbers, repeat(0)))
            columns[name] += accumulate(amounts)
            if name in GAINED:
                columns[GAINED[name]] += amounts
    whole = {name: pl.Series(name, amounts, dtype=pl.Int128) for name, amounts in columns.items()}
    return pl.DataFrame({"row": pl.Series(rows, dtype=pl.UInt32), **whole})


def _figures(whole: pl.DataFrame, per: int) -> pl.DataFrame:
    """Return amounts as decimals of four places, and the indices, after a row of nothing."""
    whole = whole.drop("row")
    nothing = whole.clear(1).fill_null(0)
    amounts = {name: _places(pl.col(name), per, 4) for name in whole.columns}
    indices = {"spi": _index("ev", "pv"), "cpi": _index("ev", "ac")}
    return pl.concat([nothing, whole]).select(**amounts, **indices)


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
