"""Refusals of `ledger/billing` in words."""

WORDINGS = {
    "backup_empty": "job {job}: claim {claim} has no daywork by hours",
    "claim_none_issued": "job {job}: no claim was issued yet",
    "claim_unknown": 'job {job}: unknown claim "{claim}"; use {claims}',
    # The final account.
    "final_account_open": (
        "job {job}: the final account on {day} has open matters; settle them or reserve them by "
        "name\n{matters:lines}"
    ),
    "final_request_open": "{item}: not agreed, {amount}",
    "final_request_unpriced": "{item}: not agreed",
    "final_daywork_unsigned": "{item}: daywork of {amount} is not signed",
    "final_daywork_unrated": "{item}: daywork is not signed, and has no charge rate",
    "final_daywork_not_complete": "{item}: daywork is not complete, and has no value agreed",
    "final_time_open": "{item}: days requested or left open are not decided",
    "final_disallowed": "{item}: {amount} was claimed and not certified",
    "final_base_time_unrated": "{item}: hours worked have no charge rate; load charge-rates",
    "final_base_time_open": (
        "{item}: comes to {amount} against its estimate; adjust the contract sum by the agreed "
        "amount with a baseline change"
    ),
    "reserved_not_open": 'job {job}: "{name}" has nothing open; open: {items}',
    "final_account_agreed": (
        "job {job}: its final account was agreed on {day}; to agree another, withdraw that "
        "one first ({remedy})"
    ),
    "final_account_to_come": "job {job}: the final account runs to {to}, after today, {on}",
    "final_account_unsigned": "job {job}: who agreed the final account, and by which letter?",
    "final_account_not_listed": (
        'job {job}: "{person}" may not approve changes of this job; {listed:or} may'
    ),
    "final_account_moved": (
        "job {job}: its final account was agreed on {day} at {amount}; this would move it by "
        "{moved}; keep what is agreed later apart, or withdraw the final account "
        "({remedy})"
    ),
    # Work in progress.
    "work_by_the_hour": (
        "job {job}: is paid by the hour, so what is earned is what was worked; {remedy} shows it"
    ),
    "work_in_other_currency": (
        "job {job}: is billed in {currency} and its costs are in {own}; no exchange rate is set "
        "for comparing them"
    ),
    "job_costs_missing": (
        "job {job}: no costs beside its hours are recorded by {day}; {remedy} first, with a "
        "row of 0 where there are none"
    ),
    "uninstalled_above_cost": (
        "job {job}: {uninstalled} of {cost_kind} is stated as not installed by {day}, more than "
        "the {spent} spent on it; correct job-costs"
    ),
    "no_cost_to_measure": (
        "job {job}: all that is spent or forecast by {day} is not installed yet; there is no "
        "cost to measure by"
    ),
}
