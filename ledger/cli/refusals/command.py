"""Refusals of the command line itself in words."""

WORDINGS = {
    "option_astray": "{option}: {why}",
    "word_unknown": '{option} "{given}": unknown; use one of {words}',
    "wait_beyond": "--wait {wait:g}: use 0 to {longest} seconds",
    "known_at_of_writing": "--known-at is for reading only; leave it out of a command that writes",
    "instant_unreadable": '--recorded-at "{given}": write it as 2026-05-31T18:00:00+00:00',
    "instant_beyond": '--recorded-at "{given}": is outside the years 1900 to 2199',
    "workbook_not_named": '--out "{file}": name a file that ends in .xlsx',
    "worker_unnamed": "show worker: give the worker's id",
    "shown_by_number": (
        "show {what}: takes no number and no --job; only a change or a document has a number"
    ),
    "sheet_days_missing": "give --from and --to, or --week; not both",
    "document_ending_unknown": "--out {file}: a document is kept as {endings:or}",
    "document_of_other_ending": "--out: {document} was issued as {ending}; name such a file",
    "since_missing": "--since-known-at goes with --since, the last statement's status date",
    "options_missing": "give {options}",
    "price_line_astray": "{why}",
    "nothing_to_quote": "job {job}: name a change, or give a file of price lines by --lines",
    "entries_not_named": "name the entries by --file NAME or by --batch N",
    "trace_not_chosen": (
        "name an entry, or with --job one figure: --step, --place, --asked-by or --borne-by"
    ),
    "trace_job": "--job is for a figure; an entry is in the job that it is booked to",
    "caused_without_cause": (
        "--from, --until, --reason, --with-closed and --dry-run go with --cause"
    ),
    "reason_of_nothing": "--reason is for --with-closed; give both or none",
    "day_and_days": "give --day, or --from and --until; not both",
    "job_not_yet_known": (
        "job {job}: was not in the book when the period to {closed_to} was closed; "
        "as known now: {remedy}"
    ),
    "demo_folder_not_empty": "{folder}: is not empty; name a new folder: {remedy}",
    "handle_unreadable": (
        '--actor "{given}": not a valid handle; use a worker id or initials: letters '
        "a to z, digits, points, underscores and hyphens"
    ),
    "topic_unknown": 'unknown topic "{topic}"; use one of {known}',
}
