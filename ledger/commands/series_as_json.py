"""A job over time for machines: hours and money of 4 places, ratios of 6; undefined as None."""

from collections.abc import Iterator
from datetime import date

from ledger.commands.as_json import Json, Words, known_at, worded
from ledger.commands.series import SeriesKnown
from ledger.domain.allocation import to_places
from ledger.domain.schedule import TimeFigures
from ledger.outcomes import Reason
from ledger.performance.report import COSTED, UNIT
from ledger.performance.series import Series, SeriesRow

AMOUNTS = ("bac", "pv", "ev", "ac")
IN_PERIOD = ("pv_in_period", "ev_in_period", "ac_in_period")
TIMES = ("earned_schedule", "actual_time", "sv_time", "spi_time")


def series_json(known: SeriesKnown, *, reason: Words) -> Json:
    """Return a job over time; `reason` words why figures are incomplete or undefined."""
    series = known.series
    asked, why = series.asked, series.undefined
    incomplete = list(map(reason, known.completeness.reasons))
    return {
        "job": asked.job,
        "status_date": series.status_date,
        "every": asked.every,
        "by": asked.by,
        "baseline": asked.baseline,
        "in": asked.unit,
        "as_known_then": asked.as_known_then,
        "incomplete": {"is": bool(incomplete), "reasons": incomplete},
        "rows": [row | {"undefined": whys} for row, whys in series_rows(series, reason)],
        "to_come": list(_to_come(series)),
        "time": [
            _time(end, time, reason) for end, time in zip(series.ends, known.time, strict=False)
        ],
        "notes": [reason(COSTED)] if asked.unit == "cost" else [],
        "undefined": {"rows": reason(why)} if why else {},
        "known_at": known_at(known.stamp),
        "closed_to": known.closed_to,
    }


def series_rows(series: Series, reason: Words) -> Iterator[tuple[Json, dict[str, str]]]:
    """Yield each row with why figures of it are undefined, by their names."""
    per, count = UNIT[series.asked.unit], len(series.ends)
    words: dict[Reason, str] = {}
    for number, row in enumerate(series.rows):
        figures = _row(row, per)
        if series.asked.as_known_then:
            figures["known_at"] = series.known_at[number % count]
        undefined = row.undefined
        for why in undefined.values():
            words.setdefault(why, reason(why))
        yield figures, {name: words[why] for name, why in undefined.items()}


def _row(row: SeriesRow, per: int) -> Json:
    figures: Json = {"key": row.key, "period_end": row.period_end}
    figures |= {name: to_places(getattr(row, name), 4, per) for name in AMOUNTS}
    for name in ("spi", "cpi"):
        value = getattr(row, name)
        figures[name] = None if value is None else to_places(value, 6)
    return figures | {name: to_places(getattr(row, name), 4, per) for name in IN_PERIOD}


def _to_come(series: Series) -> Iterator[Json]:
    """Yield what is planned for the periods after the status date."""
    per = UNIT[series.asked.unit]
    for key, planned in series.to_come.items():
        before = series.curves[key].pv[-1]
        for day, pv in planned.items():
            amounts = {"pv": pv, "pv_in_period": pv - before}
            rounded = {name: to_places(amount, 4, per) for name, amount in amounts.items()}
            yield {"key": key, "period_end": day, **rounded}
            before = pv


def _time(end: date, time: TimeFigures, reason: Words) -> Json:
    figures = {name: getattr(time, name) for name in TIMES}
    rounded = {name: None if v is None else to_places(v, 6) for name, v in figures.items()}
    undefined = {name: why for name, why in time.undefined.items() if name in TIMES}
    return {"period_end": end, **rounded, "undefined": worded(undefined, reason)}
