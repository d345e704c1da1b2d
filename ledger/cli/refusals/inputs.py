"""Refusals of `ledger/inputs` in words: small files, and facts withdrawn."""

WORDINGS = {
    "code_taken": "{file}: the code {code} is taken in job {job} by {by}; rename one",
    "estimate_frozen": (
        "{where}: the estimate of {job} is frozen; change it by a named baseline change ({remedy})"
    ),
    "plan_frozen": "{file}: the plan of {job} is frozen",
    "frozen_job_keeps": (
        "{file}: {key} of a frozen job stays as it was frozen; dates of its packages change by a "
        "named baseline change ({remedy})"
    ),
    "frozen_job_sum_kept": (
        "{file}: {key} of a frozen job changes only by a named baseline change ({remedy})"
    ),
    "completion_date_kept": (
        "{file}: the completion date {agreed} of a frozen job changes only by days "
        "granted ({remedy})"
    ),
    "estimate_not_frozen": "{file}: job {job} is not frozen yet; load the estimate again",
    "change_name_blank": "--baseline-change: the name is blank; give that of the baseline change",
    "at_line": "{file}:{line}: {because}",
    "replanned_under_name": (
        "{file}:{line}: {name} already replans {package} with other values; use a new name"
    ),
    "calendar_not_frozen": (
        "{file}: job {job} is not frozen yet; load the job without --baseline-change"
    ),
    "calendar_of_another": "{file}: this is job {given}; the calendar is of job {job}",
    "calendar_under_name": (
        "{file}: {name} has already changed the calendar with other values; use a new name"
    ),
    "calendar_would_not": "{file}: {because}",
    "baseline_change_known": (
        "baseline change {name} is already recorded with other rows; use a new name"
    ),
    "settings_are_workbook": ("{file}: this is a workbook, not TOML; write the settings as text"),
    "logo_unknown": "{file}: is not a PNG, JPEG or SVG; name another logo",
    "holidays_unknown": "settings: yard.holidays {why}",
    # Changes.
    "change_unknown": 'job {job}: there is no change "{change}"; {remedy} lists them',
    "change_known": "job {job}: change {change} already exists; {remedy}",
    "quoted_revision": "{document} is of revision {quoted}, not {typed}; {remedy} issues another",
    "quoted_until": "{document} is valid until {quoted}, not {typed}; {remedy} issues another",
    "quoted_without_until": (
        "{document} names no day that it is valid until, not {typed}; {remedy} issues another"
    ),
    "quoted_days": "{document} asks for {quoted:day|days}, not {typed}; {remedy} issues another",
    "quoted_time_reserved": (
        "{document} reserves the time and asks for no days, not {typed}; {remedy} issues another"
    ),
    "quoted_other_change": "{document} is a quotation of {of}, not of {change}",
    "approval_lacking": "{because}\nnothing was written",
    "approval_not_listed": (
        '{change}: "{person}" may not approve changes of this job; {listed:or} may'
    ),
    "approval_above_limit": "{change}: {amount} is above the {limit} that {person} may approve",
    "approval_without_reference": (
        "{change}: approved without a reference; name the letter, mail or minutes ({remedy})"
    ),
    # Withdrawing.
    "reason_missing": "--reason: give the reason in words",
    "fact_id_unreadable": '"{given}": not a valid id; write table:batch.row, as {remedy} lists it',
    "fact_unknown": "{given}: there is no such fact; {remedy} lists the ids",
    "fact_withdrawn": "{given}: was already withdrawn in batch {batch}",
    "fact_not_withdrawable": "{given}: cannot be withdrawn; {remedy}",
    "table_not_withdrawable": ("{given}: a {table} cannot be withdrawn; these can: {withdrawable}"),
    "word_not_withdrawable": ('{given}: "{word}" cannot be withdrawn; these can: {withdrawable}'),
    "right_fact_of_alias": "an alias has no file; withdraw it, then confirm another by {remedy}",
    "right_fact_of_sign_off": "a signature has no file; withdraw it, then sign again by {remedy}",
    "right_fact_of_tag": "a tag by hand has no file; withdraw it, then tag the entry by {remedy}",
    "right_fact_many_places": (
        "--with: replaces facts of one table and one batch; withdraw the others in another command"
    ),
    "right_line_stands": (
        '{file}: line "{description}" is already there; give only the right lines, or '
        "withdraw all lines of the revision"
    ),
    "right_settings_others": (
        "{file}: has other settings that differ: {settings}; load them separately"
    ),
    "setting_of_book": "{fact}: {setting} belongs to the book itself and cannot be withdrawn",
    "rate_approved": (
        "{fact}: approved prices use it: {changes}; what was approved stays as approved; "
        "load the right rate from its first day"
    ),
    "job_terms_approved": (
        "{fact}: approved prices use its percentages: {changes}; what was approved stays as "
        "approved; {remedy} with what applies from now on"
    ),
    "sum_needed": (
        '{facts}: provisional sum "{name}" would be removed, but {change} is paid from it'
    ),
    "line_approved": (
        "{fact}: a line of {change} revision {revision}, approved by {approvals}; "
        "what was approved stays as approved; enter more work as a new change"
    ),
    "certificate_rests": (
        "{fact}: what was certified of {item} on claim {claim} depends on it; enter what applies "
        "from now on, or withdraw {by} as well"
    ),
    "invoice_rests": (
        "{fact}: what was invoiced of {item} by {by}, claim {claim}, depends on it; enter what "
        "applies from now on: the next claim credits the difference"
    ),
    "package_needed": "{facts}: package {package} would be removed, but {rests} depend on it",
    "change_needed": "{facts}: change {change} would be removed, but {rests} depend on it",
    "daywork_sheet_astray": "{facts}: sheet {sheet} of {change} would no longer be valid: {why}",
    "job_needed": "{facts}: job {job} would be removed, but it has packages",
    "crew_needed": (
        "{facts}: worker {worker} has {entries:entry|entries} ({ms:hours} h, {first} to {last}) "
        "and would be left without a trade; give the right row with {remedy}"
    ),
    "shares_incomplete": (
        "{facts}: the shares of rule {rule} would add up to {shares:f}, not to 1; "
        "withdraw all its rows"
    ),
    "baseline_change_incomplete": (
        "{facts}: the rows of {name} would add up to {ms:hours} h, not to 0; withdraw all its rows"
    ),
    "base_needed": "{facts}: {package} is apportioned to {base}, which would be removed",
}
