"""Refusals of `ledger/billing` in words."""

WORDINGS = {
    "work_by_the_hour": (
        "job {job}: is paid by the hour, so what is earned is what was worked; {remedy} shows it"
    ),
    "job_costs_missing": (
        "job {job}: no costs beside its hours are recorded by {day}; {remedy} first, with a "
        "row of 0 where there are none"
    ),
    "uninstalled_above_cost": (
        "job {job}: {uninstalled} of {cost_kind} is said not to be built in by {day}, more than "
        "the {spent} spent on it; correct job-costs"
    ),
    "no_cost_to_measure": (
        "job {job}: nothing is spent or forecast by {day} but what is not built in; there is no "
        "cost to measure by"
    ),
}
