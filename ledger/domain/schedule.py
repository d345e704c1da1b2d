"""Earned schedule: time measured in weeks. Source: Lipke 2003, "Schedule is Different"."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from itertools import accumulate

from ledger.domain.calendar import WorkCalendar
from ledger.domain.measures import RowSums
from ledger.outcomes import Reason, because

NOT_BEGUN = because("work_not_begun")
NOTHING_EARNED = because("nothing_earned")
BEYOND = because("beyond_calendar")
# The figures of `TimeFigures` that are weeks, or a ratio of them.
IN_WEEKS = (
    "earned_schedule",
    "actual_time",
    "planned_duration",
    "sv_time",
    "spi_time",
    "forecast_duration",
)


@dataclass(frozen=True)
class TimeFigures:
    """Time figures in weeks; None is not defined, with the reason beside it.

    `forecast_finish` of work that is finished is the day it was finished on, and no forecast.
    """

    earned_schedule: Fraction | None
    actual_time: Fraction | None
    planned_duration: Fraction | None
    sv_time: Fraction | None
    spi_time: Fraction | None
    forecast_duration: Fraction | None
    forecast_finish: date | None
    slip_days: int
    undefined: dict[str, Reason]
    finished_on: date | None = None


def earned_schedule(planned: Sequence[int], earned: int, budget: int) -> Fraction:
    """Return the weeks after which `earned` was planned to be earned.

    `planned` is PV at the end of weeks 1, 2, ...; between week ends it is interpolated. Once all of
    the budget is earned it is the first week end at which PV reached it.
    """
    if earned >= budget:
        return Fraction(next(i for i, pv in enumerate(planned, start=1) if pv >= budget))
    count = max((i for i, pv in enumerate(planned, start=1) if pv <= earned), default=0)
    before = planned[count - 1] if count else 0
    return count + Fraction(earned - before, planned[count] - before)


def time_figures(
    plan: dict[date, int],
    earned: int,
    calendar: WorkCalendar,
    day: date,
    finished_on: date | None = None,
) -> TimeFigures:
    """Return the time figures by `day`; plan and earned are without level of effort.

    Work finished on a day has that day instead of a forecast, and no time passes after it.
    """
    budget = sum(plan.values())
    days = sorted(d for d, ms in plan.items() if ms)
    if not days or budget <= 0:
        return _undefined(because("nothing_planned"))
    first = days[0]
    weekly = weekly_totals(plan, calendar)
    duration = Fraction(next(i for i, pv in enumerate(weekly, start=1) if pv >= budget))
    schedule = earned_schedule(weekly, earned, budget)
    actual = Fraction(0)
    if day >= first:
        actual = max(actual, calendar.weeks_passed(first, min(day, finished_on or day)))
    spi = schedule / actual if actual > 0 else None
    forecast = duration / spi if spi and not finished_on else None
    finish = finished_on or (calendar.day_after_weeks(first, forecast) if forecast else None)
    planned_finish = calendar.day_after_weeks(first, duration)
    slip = 0
    if finish and planned_finish:
        slip = max(0, calendar.upto(finish) - calendar.upto(planned_finish))
    return TimeFigures(
        schedule,
        actual,
        duration,
        schedule - actual,
        spi,
        forecast,
        finish,
        slip,
        _reasons(spi, forecast, finish, finished_on),
        finished_on,
    )


def _reasons(
    spi: Fraction | None, forecast: Fraction | None, finish: date | None, finished_on: date | None
) -> dict[str, Reason]:
    """Return why a time figure is not defined, by its name."""
    reasons = {}
    if spi is None:
        reasons["spi_time"] = NOT_BEGUN
    if finished_on:
        reasons["forecast_duration"] = because("finished_on", day=finished_on)
    elif forecast is None:
        reasons["forecast_duration"] = NOTHING_EARNED if spi == 0 else NOT_BEGUN
    if finish is None:
        reasons["forecast_finish"] = reasons.get("forecast_duration", BEYOND)
    return reasons


def why_spi_misleads(sums: RowSums, *, is_finished: bool = False) -> Reason | None:
    """Return why EV / PV can no longer be trusted, None while it can.

    It goes to 1 as the work ends, however late, and fails over the last third of a job; once the
    whole plan has passed it only says how much is earned. Source: Lipke 2003.
    """
    if sums.bac <= 0:
        return None
    earned = Fraction(sums.ev * 100, sums.bac)
    if is_finished:
        return because("spi_work_finished", earned_percent=earned)
    if sums.pv >= sums.bac:
        return because("spi_plan_over", earned_percent=earned)
    if sums.ev * 3 >= sums.bac * 2:
        return because("spi_last_third", earned_percent=earned)
    return None


def weekly_totals(plan: dict[date, int], calendar: WorkCalendar) -> list[int]:
    """Return the running total at the end of each week worked, from that of the first planned day.

    What is planned in a week that is not worked is planned in the next one that is.
    """
    days = sorted(day for day, ms in plan.items() if ms)
    weeks = [0] * (calendar.week_number(days[0], days[-1]) + 1)
    for day, ms in plan.items():
        if ms:
            weeks[calendar.week_number(days[0], day)] += ms
    return list(accumulate(weeks))


def _undefined(reason: Reason) -> TimeFigures:
    names = (*IN_WEEKS, "forecast_finish")
    return TimeFigures(None, None, None, None, None, None, None, 0, dict.fromkeys(names, reason))
