"""Refusals of `ledger/jobs`, `changes`, `baseline` and `performance` in words."""

WORDINGS = {
    "job_unknown": "there is no job {job}; {remedy} lists them",
    "place_not_in_job": 'job {job}: has no package or change "{place}"',
    "cause_not_owners": (
        'cause "{cause}": is not asked for by the owner; use one of {causes}, '
        "or set asked_by under [causes.{cause}] of the settings"
    ),
    "cause_none_owners": (
        'cause "{cause}": is not asked for by the owner, nor is any other; '
        "[causes.{cause}] of the settings sets asked_by"
    ),
    "caused_all_closed": (
        'job {job}: all hours of cause "{cause}" in these days, {entries:entry|entries}, are of '
        "closed periods; --with-closed moves them as late adjustments"
    ),
    "cause_without_hours": (
        'job {job}: no hours of cause "{cause}" are left to notify in these days'
    ),
    # Periods.
    "period_to_come": "--to {day}: is in the future; close a period when its sheets are in",
    "period_closed": "--to {day}: is already closed; the last closed period ends on {last}",
    "period_none_closed": "no period is closed",
    "period_not_last": (
        "--to {day}: only the last closed period can be reopened, it ends on {last}"
    ),
    # The freeze.
    "job_frozen": "job {job}: is already frozen; change it by a named baseline change",
    "job_not_frozen": "job {job}: freeze the estimate first ({remedy})",
    "estimate_missing": "job {job}: has no estimate; load one first",
    "key_date_astray": (
        'job {job}: key date "{key_date}" names {code}, which is not in the estimate; '
        "correct either and load it again"
    ),
    "base_apportioned": "{package}: its base package is itself apportioned; name another",
    "plan_trades_mixed": "{package}: has plan rows with and without a trade; name it in all rows",
    "plan_not_budget": (
        "{package}, {trade}: the plan has {planned_ms:hours} h, the budget "
        "{budget_ms:hours} h; they must be equal"
    ),
    "milestones_missing": "{package}: is measured by milestones and has none; {remedy}",
    # Changes of the baseline.
    "approved_before_freeze": (
        "{change}: approved on {day}, before the baseline was frozen on {frozen}"
    ),
    "hours_earned": (
        "{name}: {package} has only {free_ms:hours} h not yet earned; "
        "{taken_ms:hours} h cannot be taken from it"
    ),
    "freeze_would_fall": "the freeze of {job} on {day} would no longer be valid: {because}",
    "event_would_fall": ("{fact}, {change} {event} on {day}, would no longer be valid: {because}"),
    "baseline_change_would_fall": "{fact} would no longer be valid: {because}",
    "attachment_unknown": "{attachment}: there is no such attachment; {remedy} lists them",
    "attachment_erased": "{attachment}: the file was erased",
    "quote_without_lines": "job {job}: {change} has no price lines; {remedy}",
    "change_not_before": "there is no change {change} before it",
    "lines_not_before": "there are no lines of revision {revision} before it",
    # Figures.
    "change_unpriced": "job {job}: {change} cannot be priced: {why}; {remedy}",
    "cost_undefined": "job {job}: cost is undefined: {why}",
    "status_date_missing": (
        "job {job}: no week has both an entry and a measurement; give {remedy}"
    ),
    "sheets_missing": "no sheet is in yet; give {remedy}",
    # The labour journal.
    "journal_empty": "nothing is booked yet; there is no journal",
    "journal_within_period": "{day} is within a closed period; give its last day, {end}",
    "journal_without_rate": "worker {worker} has no rate on {day}; {remedy}, then try again",
}
