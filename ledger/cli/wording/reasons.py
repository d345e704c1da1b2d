"""Reasons in words: why a figure is undefined, and why a forecast is made as it is."""

from datetime import date
from fractions import Fraction

from ledger.cli.refusals.checks import INVARIANTS
from ledger.domain.allocation import to_places
from ledger.outcomes import Reason

WORDS = {
    # Why a figure is undefined.
    "nothing_booked": "nothing is booked yet",
    "nothing_earned": "nothing is earned yet",
    "no_budget": "there is no budget",
    "nothing_planned": "nothing is planned",
    "only_effort_planned": "nothing but level of effort is planned",
    "nothing_planned_yet": "nothing is planned yet",
    "target_spent": "the target is already spent",
    "nothing_booked_lately": "nothing was booked in the four weeks to the last week end",
    "nothing_earned_lately": "nothing was earned in the four weeks to the last week end",
    "nothing_measured_lately": "nothing was measured in the four weeks to the last week end",
    "too_little_earned": "too little is earned for a range",
    "own_estimate_missing": (
        "an open part has no estimate to complete that is at most four weeks old"
    ),
    "only_level_of_effort": "there is only level of effort",
    "part_without_forecast": "a part has no forecast",
    "no_forecast": "there is no forecast",
    "work_not_begun": "the first planned week has not begun",
    "beyond_calendar": "the forecast lies beyond the calendar",
    "finished_on": "finished on {day}",
    "unapproved_earns_nothing": "a change that is not approved earns nothing",
    "contingency_earns_nothing": (
        "contingency is planned and earned only in the package it is drawn into"
    ),
    "spi_plan_over": (
        "SPI only says how much is earned, {earned_percent} % without level of effort: the plan "
        "has ended; go by SPI(t) and the forecast finish"
    ),
    "spi_last_third": (
        "SPI goes to 1 as the work ends, late or not: with {earned_percent} % earned without "
        "level of effort, over two thirds, go by SPI(t) and the forecast finish"
    ),
    "spi_work_finished": (
        "SPI goes to 1 as the work ends, late or not: with {earned_percent} % earned without "
        "level of effort and the work finished, go by SPI(t)"
    ),
    "key_date_work_done": "no hours to go",
    "nobody_of_trade": "no {trades} booked to the job from {first} to {last}",
    "all_of_trade_away": "all {trades} of late are on leave or not active on the days left",
    # What of a job's figures is worth a second look.
    "level_of_effort_high": "level of effort is {percent} % of BAC; it earns as time passes",
    "tcpi_apart": "to reach the forecast the rest must go at {tcpi}, so far it went at {cpi}",
    "forecast_below_ac": "{formula} gives {forecast} h, below the {booked} h booked",
    "pv_not_at_bac": "{package}, {trade}: {planned} h planned in all, {budget} h of budget",
    "ev_without_ac": "{package}: {earned} h earned, nothing booked",
    "ac_without_ev": "{package}: {booked} h booked, nothing earned",
    "ev_above_bac": "{package}: {done} done of {whole}",
    "progress_falling": "{package}: measured {now} on {day}, after {before}",
    "done_with_estimate": "{package}: all earned, {left} h left by the estimate of that day",
    "open_without_estimate": (
        "{package}: {earned_percent} % earned, nothing left by the estimate of that day"
    ),
    "ac_after_completion": "{package}: {booked} h booked after {day}, when it was complete",
    "ev_before_start": "{package}: earned from {measured}, booked from {booked}",
    "not_measured": "{package}: {booked} h in the last four weeks; last measurement {measured}",
    "percent_from_hours": "{package}: percents of {first} to {last} are AC / BAC",
    # Why a cost is, and how it is reckoned.
    "worker_not_in_crew": (
        "worker {worker} is not in the crew, so has no rate on {day}; load its rate"
    ),
    "worker_without_rate": "worker {worker} has no rate on {day}; load its rate",
    "budget_without_rate": "the budget of {part}, {trade} has no rate; load the rate of {trade}",
    "change_without_rate": "{trade} of change {change} has no rate on {day}; load its rate",
    "changes_costed": (
        "an approved change is costed at its trades' standard rates on the day of approval, "
        "one that is not approved at those of the status date"
    ),
    # Why a part is forecast by a method.
    "nothing_budgeted_or_booked": "nothing is budgeted or booked",
    "booked_as_finished": "what was booked, as the work is finished",
    "finished_unmeasured": (
        "what was booked, as the work is finished; never measured as done, so that EV is 0: {parts}"
    ),
    "booked_as_stopped": "what was booked, as the work was stopped",
    "booked_as_not_instructed": "what was booked only, as it is not instructed",
    "booked_without_budget": "what was booked, as there is no budget",
    "booked_and_days_to_come": "AC plus the budget of the working days to come",
    "estimated_on": "estimate to complete of {day} plus AC on that day",
    "estimated_between": "estimates to complete of {first} to {last} plus AC on those days",
    "rate_without_budget": "at the budget's rate because there is no budget to measure by",
    "rate_under_limit": (
        "at the budget's rate because {earned_percent} % of BAC without level of effort is "
        "earned, under {limit_percent} %"
    ),
    "rate_without_index": (
        "at the budget's rate because nothing is booked, or nothing earned, yet"
    ),
    "index_over_limit": (
        "at the job's EV / AC of {index} because {earned_percent} % of BAC is earned, "
        "{limit_percent} % or more, both without level of effort"
    ),
    "added_at_latest_price": "the added hours of the latest price, or AC where that is more",
    "contingency_not_drawn": "what has not been drawn into a package or released",
    **INVARIANTS,
}


def words_of(reason: Reason) -> str:
    """Return what is said of a reason."""
    return WORDS[reason.kind].format(
        **{name: _field_text(name, each) for name, each in reason.fields}
    )


def _field_text(name: str, value: str | int | date | Fraction | None) -> str:
    if not isinstance(value, Fraction):
        return str(value)
    if name == "index":
        return str(to_places(value, 3))
    if name == "earned_percent":
        # Cut to one place, so that what is under a limit reads as under it.
        return str(to_places(Fraction(int(value * 10), 10), 1))
    return str(value if value.denominator == 1 else to_places(value, 2))
