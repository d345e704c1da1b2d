"""Refusals of `ledger/inputs` in words: small files, and facts withdrawn."""

WORDINGS = {
    "code_taken": "{file}: the code {code} is taken in job {job} by {by}; rename one",
    "estimate_frozen": (
        "{where}: the estimate of {job} is frozen; change it by a named baseline change ({remedy})"
    ),
    "plan_frozen": "{file}: the plan of {job} is frozen",
    "frozen_job_keeps": "{file}: {key} of a frozen job changes only by a named baseline change",
    "completion_date_kept": (
        "{file}: the completion date {agreed} of a frozen job moves by days granted alone "
        "({remedy})"
    ),
    "estimate_not_frozen": "{file}: job {job} is not frozen yet; load the estimate again",
    "baseline_change_known": (
        "the baseline change {name} is recorded with other rows; give a new name"
    ),
    "settings_are_workbook": ("{file}: this is a workbook, not TOML; write the settings as text"),
    "logo_unknown": "{file}: is no PNG, JPEG or SVG; name another logo",
    "holidays_unknown": "settings: yard.holidays {why}",
    # Changes.
    "change_unknown": 'job {job}: there is no change "{change}"; {remedy} lists them',
    "change_known": "job {job}: {change} is there already; {remedy}",
    "approval_lacking": "{because}\nnothing was written",
    "approval_not_listed": (
        '{change}: "{person}" is not listed in the job to approve; {listed:or} may'
    ),
    "approval_above_limit": "{change}: {amount} is above the {limit} that {person} may approve",
    "approval_without_reference": (
        "{change}: approved without a reference; name the letter, mail or minutes ({remedy})"
    ),
    # Withdrawing.
    "reason_missing": "--reason: say why, in words",
    "fact_id_unreadable": '"{given}": not a valid id; write table:batch.row, as {remedy} does',
    "fact_unknown": "{given}: there is no such fact; {remedy} lists the ids",
    "fact_withdrawn": "{given}: was withdrawn already, in batch {batch}",
    "fact_not_withdrawable": "{given}: cannot be withdrawn; {remedy}",
    "table_not_withdrawable": ("{given}: a {table} cannot be withdrawn; these can: {withdrawable}"),
    "word_not_withdrawable": ('{given}: "{word}" cannot be withdrawn; these can: {withdrawable}'),
    "right_fact_many_places": (
        "--with: gives the place of facts of one table and one batch; withdraw the others apart"
    ),
    "right_line_stands": (
        '{file}: the line "{description}" stands already; give the right lines alone, or '
        "withdraw all lines of the revision"
    ),
    "right_settings_others": (
        "{file}: has other settings that differ: {settings}; load them apart"
    ),
    "setting_of_book": "{fact}: {setting} is of the book itself, and stays",
    "rate_approved": (
        "{fact}: approved prices rest on it: {changes}; what was approved stays as approved, "
        "load the right rate from its day"
    ),
    "line_approved": (
        "{fact}: a line of {change} revision {revision}, approved by {approvals}; "
        "what was approved stays as approved, more is a new change"
    ),
    "change_needed": "{facts}: the change {change} would be gone, and {rests} rest on it",
    "job_needed": "{facts}: the job {job} would be gone, with packages that rest on it",
    "crew_needed": (
        "{facts}: worker {worker} has {entries:entry|entries} ({ms:hours} h, {first} to {last}) "
        "and would have no trade; give the right row with {remedy}"
    ),
    "shares_incomplete": (
        "{facts}: the shares of rule {rule} would sum to {shares:f}, not to 1; "
        "withdraw all its rows"
    ),
    "baseline_change_incomplete": (
        "{facts}: the rows of {name} would sum to {ms:hours} h, not to 0; withdraw all its rows"
    ),
    "base_needed": "{facts}: {package} is apportioned to {base}, which would be gone",
}
