"""Refusals of `ledger/sheets` in words: sheets that cannot be loaded, lines and entries named."""

WORDINGS = {
    # Reading.
    "folder_without_sheets": "{folder}: the folder has no sheet files ({endings})",
    "head_not_guessed": (
        "{file}: no row looks like the head of a table; write a layout by hand: "
        "[columns] names the heads, sample_data/layouts has examples"
    ),
    "sample_quotes_astray": "{said}; correct the quotes",
    "head_blank": "{file}: has only blank rows where the head should be",
    "heads_missing": (
        "{file}: no row has the heads of layout {layout}; missing: {missing}; "
        "the nearest head is {head}"
    ),
    "label_missing": '{where}: no "{label}" above the table; the layout reads the {field} there',
    "row_astray": (
        "{file}: near line {line} a row is too long or its end is unclear; "
        "correct the quotes and the blanks beside them"
    ),
    "row_uneven": (
        "{file}:{line}: has {cells} cells, the head has {head}; correct the row and load again"
    ),
    "file_part_erased": "{file}: its text was erased; what its lines said cannot be read again",
    "sheets_gone": "{file}: disappeared while it was read; load it again when it is back",
    "sheets_unread": "{file}: {because}",
    "totals_differ": "{totals}",
    "total_differs": (
        "{where}: the total is {total_ms:hours} h, the lines above it add up to "
        "{lines_ms:hours} h; correct the sheet, or remove [total] from the layout"
    ),
    # Workers by name.
    "alias_blank": "an alias is blank; write the name as the sheets have it",
    "alias_worker_unknown": "worker {worker} is not in the crew; {remedy} lists it",
    "alias_is_name": (
        'alias "{alias}" is the name of {workers} in the crew; correct the lines by worker_id'
    ),
    "alias_of_another": (
        'alias "{alias}" is confirmed for {worker}; withdraw that first, {remedy} shows its id'
    ),
    # Lines, entries and loads named.
    "id_unreadable": '{what} "{given}": write batch and row, as 5.3',
    "line_unknown": "there is no sheet line {line}; {remedy} lists held lines",
    "entry_unknown": "there is no entry {entry}; {remedy} lists them",
    "line_not_held": "{file}:{number} ({line}): is not held; see {remedy}",
    "line_in_reissue": "{file}:{number} ({line}): is held as a re-issue; {remedy}",
    "line_unread": "{file}:{number} ({line}): {message}",
    "field_unknown": '"{field}" is not a field of a sheet line; use one of {fields}',
    "entry_corrected": (
        "entry {entry} was corrected in {reversal} ({actor}, {day}); its line is now entry {newest}"
    ),
    "entry_reversed": "entry {entry} is already reversed by {reversal} ({actor}, {day})",
    "entry_reversed_with_load": (
        "entry {entry} was reversed with its {scope} ({actor}, {day}); "
        "load {file} again to book it anew"
    ),
    "entry_to_undo_first": "{because}; undo the reversal first: {remedy}",
    "entry_not_reversed": "entry {entry} is not reversed; there is nothing to undo",
    "reversal_not_corrected": (
        "entry {entry} is the reversal of {reverses}; correct a standing entry"
    ),
    "reversal_undoes": (
        "entry {entry} undoes the reversal {reversal}; reverse the entry itself again"
    ),
    "reversal_undone": "reversal {reversal} is already undone by {undoing} ({actor}, {day})",
    "undo_of_correction": (
        "entry {entry} was corrected, its line is now entry {newest}; correct that one"
    ),
    "undo_of_load": (
        "entry {entry} was reversed with its {scope}; load {file} again to book it anew"
    ),
    "undo_beside_reissue": (
        "entry {entry} was replaced by re-issue {reissue} of sheet {sheet} in {file}, "
        "where {standing} still stands; reverse that first"
    ),
    "undo_beside_others": (
        "entry {entry}: replaced by {standing} on sheet {sheet} for worker {worker} on {day}; "
        "reverse that first"
    ),
    "entries_unread": "{file}:{number} ({first}){entries:and_more}: {message}",
    "correction_matches": (
        "entry {entry}{entries:and_more} would be the same as {other}, which is booked; "
        "reverse it instead, or correct its note too"
    ),
    "is_reversal": ("entry {entry} is itself the reversal of {reverses}; undo it with {remedy}"),
    "none_held_of": "no line of {file} is held; {remedy} counts held lines",
    "none_held_for": "no line is held for {reason}; {remedy} counts held lines",
    "none_held_of_for": "no line of {file} is held for {reason}; {remedy} counts held lines",
    "doubt_unknown": 'there is no doubt "{doubt}"; {remedy} lists them',
    "doubt_open": "doubt {doubt} is open; there is nothing to reopen",
    "doubt_settled": "doubt {doubt} is already settled ({actor}, {day}: {reason})",
    "reissue_unknown": "there is no re-issue {reissue}; {remedy} lists open re-issues",
    "reissue_ended": "re-issue {reissue}, sheet {sheet} in {file}: is already {ended}",
    "reissue_line_matched": (
        "re-issue {reissue}, sheet {sheet} in {file}: its line {line} has ended: another line is "
        "the same; reject the re-issue, then reverse or correct the differing lines one by one"
    ),
    "reissue_line_rejected": (
        "re-issue {reissue}, sheet {sheet} in {file}: its line {line} was rejected and cannot be "
        "read; reject the re-issue, then reverse or correct the differing lines one by one"
    ),
    "reissue_named_in_part": (
        "line {line} is one of {lines} of re-issue {reissue}; name all of them, "
        "or confirm or reject the re-issue, see {remedy}"
    ),
    "reissues_of_one_sheet": (
        "re-issues {reissues:and} are of one sheet, {sheet}; confirm the one that counts"
    ),
    "load_in_reissue": (
        "open re-issue {reissue}, sheet {sheet} in {file}, holds lines from "
        "it; confirm or reject it first, see {remedy}"
    ),
    "entries_in_reissue": (
        "{entries:entry|entries} of sheet {sheet}, the first {first}: handed in again in {file}; "
        "confirm or reject re-issue {reissue} first, see {remedy}"
    ),
    "held_not_chosen": "name held lines (5.3), or give --file or --reason-is; not both",
    "held_reason_unknown": '--reason-is "{given}": unknown; use one of {reasons}',
    "doubt_kind_unknown": '--kind "{given}": unknown; use one of {kinds}',
    "booked_so_already": "nothing to correct: it is already booked that way",
    # Tags by hand.
    "tags_not_chosen": "name entries (5.3), or say which: --worker, --code, --file, --untagged ...",
    "tags_fit_nothing": "no entry fits; nothing was tagged; {remedy} lists them",
    "tag_place_unknown": (
        'no place "{place}"; write a package, change or cause code, or non_productive, overhead, '
        "absence or untagged"
    ),
    "tag_place_near": 'no place "{place}"; did you mean {near}?',
    "tag_place_of_jobs": (
        "{place}: jobs {jobs:and} have this code; write the job before it, as in {near}"
    ),
    "tag_cause_besides": "{place}: takes no cause; leave --cause out",
    "tag_cause_missing": "{place}: needs a cause; --cause, one of: {causes}",
    "tag_cause_any_missing": "{place}: needs a cause; give one with --cause",
    "tag_cause_unknown": '--cause "{cause}": unknown; use one of {causes}',
    "tag_rework_unknown": '--rework "{cause}": unknown; use one of {causes}',
    "tag_of_jobs": (
        "entry {entry} is booked to {jobs:job|jobs}; "
        "write the job before the place: JOB non_productive"
    ),
    "tag_without_job": (
        "entry {entry} is in no job; write the job before the place: JOB non_productive"
    ),
    "batch_without_sheets": "batch {batch}: loaded no sheets; {remedy} lists the batches",
    "sheets_not_loaded": ("{file}: no sheets of that name were loaded; {remedy} lists the files"),
    "load_empty": "{load}: has no standing entry and no held line; nothing to reverse",
    "load_reversed": (
        "{load}: was already reversed in batch {batch} ({actor}, {day}); it can be loaded again"
    ),
    "loads_alike": (
        "{file}: matches {count} loads; name one by its batch or its digest:\n{loads:lines}"
    ),
    "hours_leave_job": (
        "this would take {leaving}:\n{moves:lines}\n"
        "to keep the hours, give the lines their job first: {remedy}; "
        "to move them anyway: --move-hours"
    ),
    "nothing_changed": "{faults:lines}\nnothing was changed",
}
