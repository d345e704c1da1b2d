"""What `check` finds wrong with a book, in words."""

WORDINGS = {
    "definition_missing": "the {what} {name} is missing",
    "definition_altered": "the {what} {name} differs from the one of this version",
    "definition_foreign": "the {what} {name} is none that fairhours made",
    "trigger_missing": "{table}: the trigger that refuses {event} is missing",
    "trigger_altered": (
        "{table}: the trigger that refuses {event} differs from the one of this version"
    ),
    "batch_out_of_turn": "batch {batch}: table batch: missing or recorded twice",
    "batch_back_in_time": "batch {batch}: table batch: recorded earlier than the batch before it",
    "table_missing": "batch {batch}: table {table}: missing",
    "rows_not_as_many": "batch {batch}: table {table}: {count:row|rows}, sealed with {expected}",
    "seal_unknown": "batch {batch}: table {table}: seal version {version} is not known",
    "rows_altered": "batch {batch}: table {table}: its rows differ from those sealed",
    "head_altered": "batch {batch}: table batch: its head does not match its content",
    "seal_of_no_batch": "batch {batch}: table batch_table: seals a batch that is not recorded",
    "sealed_twice": "batch {batch}: table batch_table: seals {table} more than once",
    "rows_of_no_batch": "batch {batch}: table {table}: has rows of a batch that is not recorded",
    "text_marked": (
        "batch {batch}: table {table}: row {row} has a text with a control character that "
        "separates columns"
    ),
    "text_altered": ("batch {batch}: table {table}: row {row} is not the {column} that was sealed"),
    "text_lost": "batch {batch}: table {table}: row {row} lost its {column} without an erasure",
    "batch_text_altered": "batch {batch}: table batch: it is not the {column} that was sealed",
    "batch_text_lost": "batch {batch}: table batch: it lost its {column} without an erasure",
    "erasure_of_text_there": (
        "batch {batch}: table erasure: row {row} names a text that is still there"
    ),
    "content_altered": "batch {batch}: table content: row {row} does not match its digest",
    "stamp_beyond_book": "batch {batch}: table batch: missing; the book ends at {last}",
    "stamp_of_other_head": "batch {batch}: table batch: its head differs from the stamp",
    "invariant_broken": "{why}",
}
# Facts that contradict each other, by the query that looks for them.
INVARIANTS = {
    "postings_not_whole": (
        "posting: the postings of entry {entry_batch}/{entry_row} do not add up to its time"
    ),
    "postings_not_alike": (
        "posting: batch {batch} row {row} has a different worker or day from its entry"
    ),
    "reversals_not_whole": "entry: batch {entry_batch} row {entry_row} is not a valid reversal",
    "reversals_not_cancelling": (
        "posting: reversal {entry_batch}.{entry_row} does not cancel what it reverses"
    ),
    "lines_booked_twice": (
        "entry: sheet line {line_batch}.{line_row} is booked twice, or not to be booked"
    ),
    "corrections_not_paired": (
        "entry: sheet line {line_batch}.{line_row} is not corrected and booked together"
    ),
    "lines_without_end": (
        "line_outcome: sheet line {line_batch}.{line_row} is neither held, ended nor booked"
    ),
    "corrections_astray": (
        "line_correction: batch {batch} corrects line {line_batch}.{line_row} without ending it"
    ),
    "reissues_not_ended_once": "reissue_end: {batch}.{row} ends a re-issue twice or none",
    "files_not_counted": (
        "file: batch {batch} row {row}: its counts do not add up to the lines read"
    ),
    "file_parts_astray": "file_part: batch {batch} row {row}: the part is not there",
    "withdrawals_astray": "withdrawal: batch {batch} row {row} withdraws a fact that did not count",
    "persons_astray": (
        "{table_name}: batch {batch} row {row}: the handle {handle} is not one person's"
    ),
    "attachments_astray": (
        "attachment: batch {batch} row {row} names a file that is not in the book"
    ),
    "documents_astray": (
        "document: batch {batch} row {row} has a wrong number or stamp, or no bytes"
    ),
    "plans_not_whole": "plan_posting: {job}, {part}: the plan does not add up to the budget",
    "claims_beyond_booked": (
        "claim_posting: entry {entry_batch}.{entry_row}: {document} claims more of it than is "
        "booked, or less than none"
    ),
    "payments_astray": "{table_name}: batch {batch} row {row} is of no invoice of its job",
    "invoices_astray": "document: batch {batch} row {row} is not a valid invoice or credit note",
    "claim_lines_astray": "{table_name}: batch {batch} row {row} does not fit its claim",
}
