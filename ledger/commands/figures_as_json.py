"""Performance and overrun for machines: hours and money of 4 places, ratios of 6, unrounded sums.

Each figure is rounded by itself; what is not defined is None, with its reason under `undefined`.
"""

from fractions import Fraction
from typing import Any

from ledger.commands.as_json import Json, Words, known_at, worded
from ledger.commands.figures import OverrunKnown, PerformanceKnown
from ledger.domain.allocation import hours_of, to_places
from ledger.domain.key_dates import KeyDate, TradeReach
from ledger.domain.measures import NO_BUDGET, Figure
from ledger.domain.overrun import PREMIUM_STEP, net_growth_percent, total_change_percent
from ledger.domain.schedule import IN_WEEKS
from ledger.performance.forecast_range import ForecastRange
from ledger.performance.report import AMOUNTS, COSTED, ORDER, UNIT, Performance, PerformanceRow
from ledger.performance.time_outlook import TimeOutlook

DOUBTFUL = ("held", "untagged", "booked")


def figure_of(name: str, value: Figure, per: int) -> Any:
    """Return a figure of a row as machines read it; `per` units are an hour or a unit of money."""
    if value is None:
        return None
    if name in AMOUNTS:
        return to_places(value, 4, per)
    return to_places(value, 4 if name == "percent_complete" else 6)


def performance_json(known: PerformanceKnown, *, reason: Words, exact: bool = False) -> Json:
    """Return the performance of a job; `exact` adds whole units and fractions to each row.

    `reason` words why figures are incomplete, undefined, or forecast as they are.
    """
    result = known.performance
    unit = result.asked.unit
    final, booked = result.anticipated_final, result.job_booked
    return {
        "job": result.asked.job,
        "status_date": result.status_date,
        "baseline": result.asked.baseline,
        "in": unit,
        "incomplete": _incomplete(result, reason),
        "rows": [_row(row, unit, reason, exact=exact) for row in result.rows],
        "outside": [_row(row, unit, reason, exact=exact) for row in result.outside],
        "notes": list(map(reason, result.notes)),
        "job_booked": None if booked is None else to_places(booked, 4, UNIT[unit]),
        "forecast": _forecast(result.forecast, UNIT[unit], reason),
        "anticipated_final": None if final is None else to_places(final, 4, UNIT[unit]),
        "time": _time(result, reason),
        "undefined": worded(result.undefined, reason),
        "known_at": known_at(known.stamp),
        "closed_to": known.closed_to,
    }


def _row(row: PerformanceRow, unit: str, reason: Words, *, exact: bool) -> Json:
    out: Json = {"key": row.key}
    out |= {name: figure_of(name, row.figures[name], UNIT[unit]) for name in ORDER}
    whys = "; ".join(reason(method.reason) for method in row.methods)
    out["eac_method"], out["eac_method_reason"] = row.eac_method, whys or None
    out["undefined"] = worded(row.undefined, reason)
    if exact:
        out["exact"] = {
            name: _exact(name, value, unit)
            for name, value in row.figures.items()
            if value is not None
        }
    return out


def _exact(name: str, value: int | Fraction, unit: str) -> dict[str, int]:
    if name in AMOUNTS and unit == "hours" and Fraction(value).denominator == 1:
        return {"ms": int(value)}
    fraction = Fraction(value) / (UNIT[unit] if name in AMOUNTS else 1)
    return {"num": fraction.numerator, "den": fraction.denominator}


def _incomplete(result: Performance, reason: Words) -> Json:
    complete = result.completeness
    hours = {f"{name}_hours": hours_of(getattr(complete, f"{name}_ms"), 4) for name in DOUBTFUL}
    return {
        "is": bool(complete.reasons),
        "reasons": list(map(reason, complete.reasons)),
        "sheets_in": complete.sheets_in,
        "sheets_expected": len(complete.sheets),
        **hours,
        "held_lines_without_hours": complete.unread_lines,
        "newest_entry": complete.newest.get("entry"),
        "newest_measurement": complete.newest.get("measurement"),
        "thin_sheets": len(complete.thin),
        "booked_since_measured": [
            {
                "package": each.package,
                "measured_on": each.measured_on,
                "hours": hours_of(each.ms, 4),
            }
            for each in complete.unmeasured
        ],
        "cpi_with_missing": {
            key: None if cpi is None else to_places(cpi, 6)
            for key, cpi in result.cpi_with_missing.items()
        },
    }


def _time(result: Performance, reason: Words) -> Json:
    time = result.time
    figures = {name: getattr(time, name) for name in IN_WEEKS}
    return {
        "period": "week",
        **{n: None if v is None else to_places(v, 6) for n, v in figures.items()},
        "forecast_finish": time.forecast_finish,
        "finished_on": time.finished_on,
        **_outlook(result.outlook, reason),
        "undefined": worded(time.undefined, reason),
    }


def _forecast(forecast: ForecastRange | None, per: int, reason: Words) -> Json | None:
    """Return the labour forecast of the whole job: one figure, its main reason, and the range."""
    if forecast is None:
        return None
    spread, why = forecast.spread, forecast.why_no_spread
    return {
        "eac": to_places(forecast.eac, 4, per),
        "method": forecast.method.name,
        "reason": reason(forecast.method.reason),
        "low": figure_of("eac", spread.low, per) if spread else None,
        "high": figure_of("eac", spread.high, per) if spread else None,
        "low_by": spread.low_by if spread else None,
        "high_by": spread.high_by if spread else None,
        "undefined": worded(dict.fromkeys(("low", "high"), why), reason) if why else {},
    }


def _outlook(outlook: TimeOutlook, reason: Words) -> Json:
    completion = outlook.completion
    return {
        "completion_date": completion.agreed,
        "days_granted": completion.days_granted,
        "completion_date_with_days_granted": completion.moved_to,
        "late_by_days": outlook.late_by,
        "late_by_days_with_days_granted": outlook.late_by_granted,
        "spi_doubt": reason(outlook.spi_doubt) if outlook.spi_doubt else None,
        "key_dates": [_key_date(each, reason) for each in outlook.key_dates],
    }


def _key_date(key_date: KeyDate, reason: Words) -> Json:
    return {
        "name": key_date.name,
        "date": key_date.day,
        "to_go_hours": hours_of(key_date.to_go_ms, 4),
        "reached_on": key_date.reached_on,
        "misses_by_days": key_date.misses_by,
        "trades": [_trade(each) for each in key_date.trades],
        "undefined": {"reached_on": reason(key_date.why)} if key_date.why else {},
    }


def _trade(trade: TradeReach) -> Json:
    figures = {
        "weeks_left": trade.weeks_left,
        "people_needed": trade.needed,
        "people_there": trade.people.count,
        "people_short": trade.short,
    }
    return {
        "trade": trade.trade,
        "to_go_hours": hours_of(trade.to_go_ms, 4),
        **{name: None if v is None else to_places(v, 4) for name, v in figures.items()},
    }


def overrun_json(known: OverrunKnown, *, reason: Words, exact: bool = False) -> Json:
    """Return the overrun of a job; `exact` adds whole units to each step."""
    result = known.overrun
    per = UNIT[result.unit]
    rows = []
    for name, amount in result.steps.amounts.items():
        row: Json = {"step": name, "amount": to_places(amount, 4, per)}
        for part in ("to_date", "to_come"):
            split = getattr(result.steps, part)
            if name in split:
                row[part] = to_places(split[name], 4, per)
        if exact:
            row["exact"] = _exact("bac", amount, result.unit)
        rows.append(row)
    percents = {
        "net_growth_percent": net_growth_percent(result.steps.amounts),
        "total_change_percent": total_change_percent(result.steps.amounts),
    }
    missing = {name: NO_BUDGET for name, percent in percents.items() if percent is None}
    return {
        "job": result.job,
        "status_date": result.status_date,
        "in": result.unit,
        "steps": rows,
        **{name: None if v is None else to_places(v, 6) for name, v in percents.items()},
        "undefined": worded(missing, reason),
        "asked_by": {k: to_places(v, 4, per) for k, v in result.asked_by.items()},
        "asked_by_changes": {k: to_places(v, 4, per) for k, v in result.asked_by_changes.items()},
        "borne_by": {k: to_places(v, 4, per) for k, v in result.borne_by.items()},
        **_premium_json(result.premium, per),
        "notes": [reason(COSTED)] if result.unit == "cost" else [],
        "known_at": known_at(known.stamp),
        "closed_to": known.closed_to,
    }


def _premium_json(premium: int | None, per: int) -> Json:
    """Return what of a step is overtime premium, where the yard pays any."""
    if premium is None:
        return {}
    return {"overtime_premium": {"of_step": PREMIUM_STEP, "amount": to_places(premium, 4, per)}}
