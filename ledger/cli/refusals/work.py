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
        'job {job}: all hours of cause "{cause}" in these days, {entries:entry|entries}, fall in '
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
    "sign_off_nothing": (
        "nothing paid or booked in periods that end from {start} to {end}; nothing to sign off"
    ),
    "sign_off_closed": (
        "--to {end}: the period is closed to {closed_to}, its rows stay as they were closed and "
        "none that is open changed since; {remedy} to sign them off"
    ),
    "period_unreconciled": (
        "--to {day}: {rows:row|rows} of pay not settled; reconcile and sign off first ({remedy})"
    ),
    "days_turned": "--to {end}: is before --from {start}",
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
    "hours_on_complete": (
        "{name}: {package} is complete; {added_ms:hours} h added to it would only raise its "
        "budget to what it took; an overrun stays an overrun"
    ),
    "hours_on_overrun": (
        "{name}: {package} has {booked_ms:hours} h booked for {earned_ms:hours} h earned by {day}; "
        "{added_ms:hours} h added would only cover what is over. For more work load the package "
        "under {name} first, with a new title, quantity, technique or milestones, and give its row "
        "a reference"
    ),
    "planned_stays": (
        "{name}: {package} has {free_ms:hours} h planned after {day}; {taken_ms:hours} h cannot be "
        "taken from it, as what was planned by then stays"
    ),
    "measured_since": (
        "{name}: {package} was measured on {measured}; date the change then or later, as what was "
        "planned by a measurement stays"
    ),
    "technique_kept": (
        "{name}: {package} has begun on {since}; to measure it differently, {name} needs a row of "
        "{package} (0 hours will do) and a reference"
    ),
    "replan_past": (
        "{name}: {package} has {what}, which is not after the change's date {day}; what was "
        "planned by then stays, so that no variance is set to zero"
    ),
    "replan_day_past": (
        "{name}: {package} was planned at {planned_ms:hours} h on {day}, not {given_ms:hours} h; "
        "what was planned by the change's date stays"
    ),
    "replan_plan_sum": (
        "{name}: {package} is planned at {planned_ms:hours} h from {day}, but {left_ms:hours} h "
        "are left; they must be equal"
    ),
    "replan_no_days": (
        "{name}: {package} has {left_ms:hours} h left and no planned day from {day} on; "
        "give later dates"
    ),
    "replan_budget": (
        "{name}: {package}, {trade}: the estimate has {estimate_ms:hours} h, the budget is "
        "{budget_ms:hours} h with the hours of {name}; they must be equal"
    ),
    "replan_trade_missing": (
        "{name}: {package} has hours of {trade} and no row of it in the estimate; "
        "give all its trades"
    ),
    "replan_kind": (
        "{name}: {package} is {before} and cannot become {after}; only a planning package "
        "becomes work"
    ),
    "replanned_since": (
        "{name}: {package} was changed again on {since}; date the replanning then or later"
    ),
    "calendar_since": (
        "{name}: the calendar was changed again on {since}; date this change then or later"
    ),
    "hours_earned": (
        "{name}: {package} has only {free_ms:hours} h not yet earned; "
        "{taken_ms:hours} h cannot be taken from it"
    ),
    "freeze_would_fall": "the freeze of {job} on {day} would no longer be valid: {because}",
    "event_would_fall": ("{fact}, {change} {event} on {day}, would no longer be valid: {because}"),
    "replanning_would_fall": "the packages of {name} would no longer be valid: {because}",
    "baseline_change_would_fall": "{fact} would no longer be valid: {because}",
    "attachment_unknown": "{attachment}: there is no such attachment; {remedy} lists them",
    "attachment_erased": "{attachment}: the file was erased",
    "quote_without_lines": "job {job}: {change} has no price lines; {remedy}",
    "change_not_before": "there is no change {change} before it",
    "lines_not_before": "there are no lines of revision {revision} before it",
    # Figures.
    "change_unpriced": "job {job}: {change} cannot be priced: {why}; {remedy}",
    "cost_undefined": "job {job}: cost is undefined: {why}",
    "package_without_unit": (
        "{package}: has no quantity and unit; productivity is measured in units of work done"
    ),
    "units_differ": "{packages:and} are measured in {units:and}; compare work of one kind",
    "units_not_measured": (
        "{package}: hours were booked up to {day} after its quantity was last measured "
        "({measured_on}); take a stretch that begins and ends where the quantity was measured"
    ),
    "units_never_measured": (
        "{package}: hours were booked up to {day}, before its quantity was first measured; "
        "take a stretch that begins and ends where the quantity was measured"
    ),
    "no_units_done": "{package}: no unit was done from {first} to {last}",
    "span_unreadable": (
        '"{given}": is not a stretch; write PACKAGE:FROM..TO, as HULL:2026-03-02..2026-03-27'
    ),
    "span_turned": '"{given}": ends before it begins',
    "status_date_missing": (
        "job {job}: no week has both an entry and a measurement; give {remedy}"
    ),
    "week_missing": (
        "no job has a week with both an entry and a measurement; name the week by {remedy}"
    ),
    "sheets_missing": "no sheet is in yet; give {remedy}",
    # The labour journal.
    "journal_empty": "nothing is booked yet; there is no journal",
    "accruals_without_pay": "no pay is in the book to compare with; {remedy} first",
    "journal_within_period": "{day} is within a closed period; give its last day, {end}",
    "journal_without_rate": "worker {worker} has no rate on {day}; {remedy}, then try again",
}
