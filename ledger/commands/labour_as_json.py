"""Labour variances and measured miles for machines."""

from fractions import Fraction

from ledger.commands.as_json import Json, known_at
from ledger.commands.labour import LabourVariancesKnown, MileKnown
from ledger.domain.allocation import hours_of, to_places
from ledger.domain.labour_variances import Variances
from ledger.domain.measured_mile import Stretch
from ledger.domain.parsing import MS_PER_HOUR
from ledger.performance.measured_mile import PackageDays
from ledger.performance.report import UNIT

VARIANCES = ("rate", "premium", "idle", "mix", "yield", "efficiency", "total")
PER_COST, RATE_UNITS = UNIT["cost"], 10_000


def variance_amounts(variances: Variances) -> dict[str, Fraction | None]:
    """Return the variances by the names that they have for machines and as heads, unrounded."""
    of_hours = (variances.idle, variances.mix, variances.output, variances.efficiency)
    return dict(
        zip(VARIANCES, (variances.rate, variances.premium, *of_hours, variances.total), strict=True)
    )


def _amounts(variances: Variances, *, has_premium: bool) -> Json:
    every = variance_amounts(variances).items()
    amounts = [(name, value) for name, value in every if name != "premium" or has_premium]
    return {k: None if v is None else to_places(v, 4, PER_COST) for k, v in amounts}


def labour_variances_json(known: LabourVariancesKnown) -> Json:
    """Return labour variances: hours and money of 4 places, favourable above zero.

    What does not say `hours` is cost, as `in` says.
    """
    of_job = known.variances
    has_premium = of_job.has_premium
    rows = [
        {
            "trade": trade.trade,
            "standard_hours": hours_of(trade.standard_ms, 4),
            "worked_hours": hours_of(trade.worked_ms, 4),
            "idle_hours": hours_of(trade.idle_ms, 4),
            "standard_rate": to_places(trade.standard_rate, 4, RATE_UNITS),
            "paid": to_places(trade.paid, 4, PER_COST),
            **({"premium_paid": to_places(trade.premium, 4, PER_COST)} if has_premium else {}),
            **_amounts(variances, has_premium=has_premium),
        }
        for trade, variances in zip(of_job.labour, of_job.variances, strict=True)
    ]
    undefined = {"mix": "nothing_earned", "yield": "nothing_earned"}
    return {
        "job": of_job.job,
        "status_date": of_job.status_date,
        "in": "cost",
        "rows": rows,
        "all": _amounts(of_job.total, has_premium=has_premium),
        "without_standard_rate": of_job.without_rate,
        "undefined": undefined if of_job.total.mix is None else {},
        "known_at": known_at(known.stamp),
        "closed_to": known.closed_to,
    }


def measured_mile_json(known: MileKnown) -> Json:
    """Return a measured mile: hours of 4 places, shares as ratios of 6."""
    measured, mile = known.measured, known.measured.mile
    return {
        "job": measured.job,
        "unit": measured.unit,
        "least_affected": _stretch(measured.least_affected, mile.least_affected),
        "affected": _stretch(measured.affected, mile.affected),
        "expected_hours": to_places(mile.expected_ms, 4, MS_PER_HOUR),
        "lost_hours": to_places(mile.lost_ms, 4, MS_PER_HOUR),
        "of_expected": _ratio(mile.of_expected),
        "of_actual": _ratio(mile.of_actual),
        "known_at": known_at(known.stamp),
    }


def _stretch(span: PackageDays, stretch: Stretch) -> Json:
    return {
        "work_package": span.package,
        "from": span.first,
        "to": span.last,
        "hours": hours_of(stretch.ms, 4),
        "units": to_places(stretch.units, 6),
        "hours_per_unit": to_places(stretch.ms_per_unit, 6, MS_PER_HOUR),
    }


def _ratio(value: Fraction | None) -> object:
    return None if value is None else to_places(value, 6)
