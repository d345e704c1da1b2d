"""Where a job stands, for machines: hours and money of 4 places, ratios of 6."""

from ledger.commands.as_json import Json, Words, known_at
from ledger.commands.changes_as_json import hours_4, money, sums_named
from ledger.commands.figures_as_json import figure_of
from ledger.commands.status import StatusKnown
from ledger.domain.allocation import to_places
from ledger.performance.job_status import JobStatus
from ledger.performance.report import UNIT

INDICES = ("spi", "cpi")


def status_json(known: StatusKnown, *, reason: Words) -> Json:
    """Return where a job stands; what is not defined is None, with its reason in words."""
    status, listed = known.status, known.status.changes
    figures = status.figures
    sums = sums_named(listed.original_sum, listed.sums) | {"exposure_value": listed.exposure.value}
    whys = figures.undefined
    undefined = {name: reason(whys[name]) for name in INDICES if name in whys}
    return {
        "job": listed.job,
        "title": status.title,
        "status_date": listed.status_date,
        "currency": listed.currency,
        "money": {name: money(amount) for name, amount in sums.items()},
        "hours": _hours(status),
        "time": _time(status),
        "largest": [
            {"key": each.key, "title": each.title, "hours": hours_4(each.ms)}
            for each in status.largest
        ],
        "changes": [
            {"price_state": state, "count": count} for state, count in status.price_states.items()
        ],
        "doubts": status.doubts,
        "to_do": [
            {
                "what": each.kind,
                "count": each.count,
                "hours": hours_4(each.ms),
                "changes": list(each.changes),
                "due": each.due,
            }
            for each in status.to_do
        ],
        "undefined": listed.undefined | undefined,
        "known_at": known_at(known.stamp),
        "closed_to": known.closed_to,
    }


def _hours(status: JobStatus) -> Json:
    hours, figures = status.hours, status.figures.figures
    return {
        "original_budget": hours_4(hours.original_ms),
        "budget": hours_4(hours.budget_ms),
        "job_booked": hours_4(hours.booked_ms),
        "anticipated_final": hours_4(hours.anticipated_ms),
        "exposure_hours": hours_4(status.changes.exposure.ms),
        **{name: figure_of(name, figures[name], UNIT["hours"]) for name in INDICES},
        "incomplete": bool(status.completeness.reasons),
    }


def _time(status: JobStatus) -> Json:
    time, completion = status.time, status.changes.completion
    weeks = {"earned_schedule": time.earned_schedule, "actual_time": time.actual_time}
    return {
        **{name: None if each is None else to_places(each, 6) for name, each in weeks.items()},
        "forecast_finish": time.forecast_finish,
        "completion_date": completion.moved_to,
        "completion_date_original": completion.agreed,
        "days_granted": completion.days_granted,
    }
