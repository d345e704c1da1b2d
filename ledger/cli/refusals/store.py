"""Refusals of `ledger/store` in words."""

WORDINGS = {
    # Opening the book.
    "book_is_no_file": "{book}: is a folder, a pipe or a device, not a book",
    "book_missing": "{book}: there is no book; make one with {remedy}",
    "book_foreign": "{book}: this database is not a book of fairhours",
    "book_too_old": (
        "{book}: made by an early version of fairhours (schema {schema}) that this one "
        "cannot migrate; load its files into a new book"
    ),
    "book_older": (
        "{book}: made by an older version of fairhours (schema {schema}, this one has {newest}); "
        "keep a copy, then bring it up to date with {remedy}"
    ),
    "book_newer": (
        "{book}: made by a newer version of fairhours (schema {schema}, this one knows {newest}); "
        "install that version"
    ),
    "book_held": (
        "{book}: in use by another process; waited {waited:g} s; try again, or wait longer with "
        "{remedy}"
    ),
    "book_held_by": (
        "{book}: in use by {actor} ({command}, since {since}); waited {waited:g} s; "
        "try again, or wait longer with {remedy}"
    ),
    "book_locked": "{said}",
    "book_not_writable": "{book}: can be read but not written: {because}",
    "beside_book_astray": "{file} beside it is a {what}; remove it",
    # What the driver and the disk say.
    "disk_failed": ("the disk failed; check it before you go on, then run {remedy} ({said})"),
    "disk_full": "the disk is full, nothing was written; make room and try again ({said})",
    "book_read_only": "the book cannot be written here ({said})",
    "book_forbidden": "the book cannot be read or written by this user ({said})",
    "book_unreadable": "the book cannot be read or written: {said}",
    "change_not_taken": "the book could not take the change, nothing was written: {said}",
    "statement_refused": "the book refused: {said}",
    "memory_short": (
        "{memory} of memory is not enough, nothing was written; {remedy} and try again ({said})"
    ),
    "memory_unreadable": '{variable} "{given}": is not a valid size; write {usual} or 800MiB',
    # As known at, and stamps.
    "batch_unknown": "{book}: there is no batch {batch}; {remedy} lists them",
    "known_at_before_book": '--known-at "{known_at}": the book was begun later, at {begun:seconds}',
    "known_at_beyond": '--known-at "{known_at}": the book has batches 1 to {last}',
    "known_at_other_head": '--known-at "{known_at}": batch {batch} has a different head',
    "known_at_unreadable": (
        '--known-at "{known_at}": give a batch number, a stamp, a date (2026-05-31) '
        "or an instant (2026-05-31T18:00:00+00:00)"
    ),
    "stamp_unreadable": (
        '--against "{given}": give a whole stamp as {remedy} printed it: a number, '
        "a point and 64 hex digits"
    ),
    # Erasing.
    "name_missing": "worker {worker}: no name is in the book; {remedy} lists them",
    "worker_not_held": "worker {worker}: the book holds nothing of them; {remedy} lists the crew",
    "reason_names_worker": (
        "the reason names worker {worker} and would be kept; give one without any part of the name"
    ),
    "text_id_unreadable": '"{given}": not a valid id; write table:batch.row, change_event:12.3',
    "text_table_unknown": '"{given}": unknown table {table}',
    "table_without_text": '"{given}": the table {table} has no text that can be erased',
    "row_unknown": "{place}: there is no such row; {remedy}",
    "row_without_text": "{place}: has no text; nothing to erase",
    "text_in_use": ("{place}: is in use; load another in its place or withdraw it, then erase it"),
    "document_retained": "{place}: is kept with document {document} until {until}",
    "book_not_renewed": (
        "{book}: the texts are erased, but the book could not be copied anew ({because}); "
        "its file may still hold them: make room and give the command again"
    ),
    "text_with_mark": (
        '{table}: {name} "{shown}": has a control character at the ?; remove it and try again'
    ),
    "migration_failed": "{when} the migration: {found}; the book is left as it was",
    "schema_newest": "{book}: already has schema {schema}; nothing to do",
    # A new book, a new batch.
    "instant_not_rehearsed": "--recorded-at is for rehearsal books only ({remedy})",
    "clock_behind": (
        "the clock says {clock}, the last batch was recorded at {last}; "
        "set the clock right and try again"
    ),
    "book_in_memory": "{book} would be lost when the command ends; name a file with {remedy}",
    "book_taken": "{book}: already exists; choose another {remedy}, or move the file away",
    "book_folder_missing": "{book}: its folder does not exist; make it first",
    "book_log_left": (
        "{log}: is left over from another book; move it away, or choose another {remedy}"
    ),
    # Files that are handed out.
    "out_is_link": "{file}: is a link; name a file, or remove the link",
    "out_is_no_file": "{file}: is a folder, a pipe or a device; name a file",
    "out_is_book": "{file}: is a book, or belongs to one; name another file",
    "out_unwritable": "{file}: cannot be written: {system}",
    "folder_is_link": "{folder}: is a link; name a new folder",
    "folder_not_empty": "{folder}: is not empty; name a new folder",
    "folder_unmade": "{folder}: the folder cannot be made: {system}",
    "cell_too_long": (
        "{row}: has a text of more than {most} characters, which no cell of a workbook holds; "
        "export as csv or parquet"
    ),
    "table_unknown": 'unknown table "{table}"; use one of settings, {tables}',
}
