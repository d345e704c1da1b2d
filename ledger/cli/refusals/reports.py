"""Refusals of `ledger/reports` in words: the kinds of pages, and own templates."""

WHAT_TO_DO = "correct it, or remove the file from the folder to use the packaged one"

WORDINGS = {
    "worker_inactive": "worker {worker} is not active in the week of {week}; {remedy} lists all",
    "crew_inactive": "nobody is active in the week of {week}; load the crew",
    "last_statement_later": (
        "the last statement is dated {last}, this one {day}; give the status date of an earlier one"
    ),
    "last_stamp_later": "the last statement is known at batch {last}, this one at {now}",
    "logo_unreadable": "the logo is not a PNG, JPEG or SVG; load settings that name another",
    # Documents.
    "document_of_withdrawn": "job {job}: {change} is withdrawn; there is nothing to issue",
    "quotation_of_approved": "job {job}: {change} is approved; issue its variation order",
    "decision_on_approved": "job {job}: {change} is approved; there is nothing to decide",
    "revision_unpriced": "job {job}: {change} has no price lines in revision {revision}; {remedy}",
    "instruction_missing": "job {job}: {change} has no instruction in force; {remedy}",
    "claim_before_last": (
        "job {job}: {to} is before {last}, the day of claim {claim}; claim to that day or later"
    ),
    "claim_empty": "job {job}: nothing more may be claimed to {to}; see {remedy}",
    "claim_to_come": "job {job}: {to} is after the day of the claim itself, {on}",
    "validity_past": (
        "job {job}: the price of {change} was valid until {until}, before {on}; "
        "price and submit it again"
    ),
    "aware_later": "--aware-on {aware_on}: is after the notice itself, {on}",
    "sheet_of_no_daywork": "job {job}: {change} is {basis}, not daywork; it has no daywork sheets",
    "sheet_empty": (
        "job {job}: nothing is booked on {change} from {day_from} to {day_to}; "
        "load its timesheets and items first"
    ),
    # What a report is made as.
    "report_kind_unknown": 'unknown report format "{given}"; use one of {kinds}',
    "report_ending_unknown": "{file}: unknown ending; use one of {endings}",
    "paper_unknown": 'unknown paper "{given}"; use {papers:or}',
    "pdf_variant_unknown": 'unknown PDF variant "{given}"; use one of {variants}',
    "pdf_variant_unused": "--pdf-variant {variant} is for a .pdf, not a .{ending}",
    # Own templates.
    "templates_unreadable": "{place}: cannot be read: {system}",
    "templates_missing": "{folder}: has no templates; those that can be replaced are {packaged}",
    "template_unused": (
        "{template}: no page uses a template of this name; "
        "those that can be replaced are {packaged}"
    ),
    "template_missing": f'{{asked_at}}: there is no template "{{template}}"; {WHAT_TO_DO}',
    "template_outside": "{template}: leads out of the folder; copy the file itself into it",
    "template_is_no_file": "{template}: is not a file",
    "template_too_long": "{template}: is longer than {most} bytes",
    "template_astray": f"{{template}}:{{line}}: {{what}}; {WHAT_TO_DO}",
    "page_unsafe": f"{{folder}}: {{found}}; {WHAT_TO_DO}",
    "page_reaches_out": "{said}",
}
