"""What the performance report says in words."""

from datetime import date
from decimal import Decimal

from ledger.domain.counting import counted
from ledger.reports.dates import written
from ledger.reports.figures import number_text, whole_hours
from ledger.reports.yard.performance import KeyDateShown, PerformanceReport, TimeStanding

LABOUR_ALONE = (
    "Labour hours alone: materials, subcontract and plant are in no figure of this report."
)
FORMULAS = {
    "eac_budget_rate": ("What is left at the budget's rate", "AC + (BAC − EV)"),
    "eac_cpi": ("All at the CPI so far", "BAC / CPI"),
    "eac_cpi_spi": ("What is left at CPI and SPI", "AC + (BAC − EV) / (CPI × SPI)"),
    "eac_weighted": ("What is left, CPI weighed 4 to 1", "AC + (BAC − EV) / (0.8 CPI + 0.2 SPI)"),
    "eac_recent": (
        "What is left at the CPI of the last four weeks",
        "AC + (BAC − EV) / recent CPI",
    ),
    "eac_own_estimate": ("Own estimates", "AC + the estimates to complete of every open part"),
}
OUTSIDE = {
    "instructed": "Instructed, not approved",
    "not_instructed": "Not instructed, not approved",
    "contingency": "Contingency left",
}
KEYS = {"non_productive": "Non-productive time", "untagged": "Not tagged yet"}
METHOD = (
    "Planned value (PV) is the budget of the work planned by a day, earned value (EV) the budget "
    "of the work done by it, by the technique of each package; actual (AC) is what was booked. All "
    "in hours of labour, cumulative.",
    "CPI = EV / AC: budget earned by each hour booked. SPI = EV / PV; it returns to 1 once late "
    "work is done, so time is judged by SPI(t) = earned schedule / actual time, in weeks worked, "
    "level of effort left out. Earned schedule: Lipke 2003; terms: EIA-748, ISO 21508.",
    "The forecast (EAC) adds, for each package and trade, what was booked if it is complete, else "
    "its own estimate where that is at most four weeks old, else what was booked and the rest of "
    "the budget at the job's rate. The range runs from the lowest to the highest of the formulas "
    "and the forecast itself, those below AC left out: it shows how far methods differ, and is no "
    "probability.",
    "The scope known at the status date is applied to all earlier weeks, so an approval makes no "
    "jump. Indices of weeks with less than 5 % of the budget earned are not drawn, as they swing.",
    "Key dates: people needed are hours to go / (weeks left × hours a week of one, on all jobs), "
    "people there a mean of the last four weeks worked less who is known to be away. All of a "
    "trade are taken to work on this alone: it is the best case (common practice, no source).",
    "The packages that matter most are those with the most hours booked above what they earned, "
    "or planned and not earned, whichever is more; one that is not due yet is not among them.",
)
SEVERITIES = {"warn": "to be looked into", "note": "noted"}


def hours_text(ms: int) -> str:
    """Return a duration in whole hours."""
    return number_text(whole_hours(ms))


def index_text(value: Decimal | None) -> str:
    """Return an index to two decimals, or that it is not defined."""
    return "undefined" if value is None else number_text(value.quantize(Decimal("0.01")))


def over_words(vac: int) -> str:
    """Return by how much a forecast is over or under its budget."""
    if abs(vac) < 1_800_000:
        return "as budgeted"
    return f"{hours_text(abs(vac))} h {'above' if vac < 0 else 'below'} the budget"


def headline(view: PerformanceReport) -> str:
    """Return in three sentences what is done, what it takes, and when it ends."""
    whole = view.whole
    if not whole.bac_ms:
        return (
            f"By {written(view.status_date)} no labour budget counts; "
            f"{hours_text(whole.ac_ms)} h are booked."
        )
    percent = "none" if view.percent_complete is None else f"{view.percent_complete} %"
    done = f"By {written(view.status_date)}, {percent} of the labour budget is earned"
    if whole.cpi is not None:
        done += f", {index_text(whole.cpi)} h of it by each hour booked"
    ends = (
        f"Labour is forecast to end at {hours_text(whole.eac_ms)} h, {over_words(whole.vac_ms)} "
        f"({hours_text(whole.bac_ms)} h)"
    )
    if view.forecast_range_ms is None:
        ends += "; too little is earned for a range"
    elif between := range_words(view):
        ends += f"; the range is {between}"
    return f"{done}. {ends}. {time_words(view.time)}"


def range_words(view: PerformanceReport) -> str:
    """Return the range of the forecast, "" where there is none or it is one figure."""
    if view.forecast_range_ms is None or len(set(view.forecast_range_ms)) == 1:
        return ""
    low, high = view.forecast_range_ms
    return f"{hours_text(low)} to {hours_text(high)} h"


def time_words(time: TimeStanding) -> str:
    """Return when the work ends, against the plan."""
    if time.finished_on:
        return f"The measured work was finished on {written(time.finished_on)}."
    if time.forecast_finish is None:
        return "When it ends cannot be forecast yet."
    return (
        f"At the pace so far it ends on {written(time.forecast_finish)}, "
        f"{days_words(time.planned_finish, time.forecast_finish)} the planned finish."
    )


def days_words(planned: date, expected: date) -> str:
    days = (expected - planned).days
    if not days:
        return "on"
    count = counted(abs(days), "calendar day", "calendar days")
    return f"{count} {'after' if days > 0 else 'before'}"


def incomplete_words(view: PerformanceReport) -> str:
    """Return why the figures are incomplete, "" where they are whole."""
    if not view.incomplete:
        return ""
    words = f"These figures are incomplete: {'; '.join(view.incomplete)}."
    if view.cpi_with_missing is not None and view.cpi_with_missing != view.whole.cpi:
        words += (
            " With the missing sheets at each worker's four-week mean the CPI is "
            f"{index_text(view.cpi_with_missing)}."
        )
    return words


def completion_words(time: TimeStanding) -> str:
    """Return how the forecast finish stands to the completion date, "" without one."""
    if time.completion_date is None:
        return ""
    words = f"Completion by contract is {written(time.completion_date)}{late_words(time.late_by)}"
    if time.days_granted:
        moved = time.completion_with_days
        granted = f"{counted(time.days_granted, 'day', 'days')} granted"
        words += f"; with {granted} {written(moved) if moved else 'not defined'}"
        words += late_words(time.late_by_with_days)
    return f"{words}."


def late_words(days: int | None) -> str:
    if days is None:
        return ""
    return f", forecast {f'{working_days(days)} late' if days > 0 else early_words(days)}"


def early_words(days: int) -> str:
    return f"{working_days(days)} early" if days else "to the day"


def working_days(days: int) -> str:
    return counted(abs(days), "working day", "working days")


def key_date_words(each: KeyDateShown) -> str:
    """Return whether a key date is made with the people there, in a sentence."""
    done = f"{each.complete} of {counted(each.packages, 'package', 'packages')} complete"
    if each.why:
        return f"{done}: {each.why}"
    assert each.reached_on is not None
    on = f"done by {written(each.reached_on)} with the people there"
    if each.misses_by:
        return f"{done}: misses the date by {working_days(each.misses_by)}, {on}"
    return f"{done}: makes the date, {on}"
