"""What helps, in words: of each remedy the command or the option as it is typed."""

REMEDIES = {
    # Looking.
    "check": "`fairhours check`",
    "entries": "`fairhours entries`",
    "held": "`fairhours held`",
    "held_by_file": "`fairhours held --by file`",
    "doubts_all": "`fairhours doubts --all`",
    "history": "`fairhours history`",
    "reissues": "`fairhours reissues`",
    "end_reissue": "confirm or reject it, see `fairhours reissues`",
    "trace_line": "`fairhours trace --line {line}`",
    "changes_listed": "`fairhours changes --job {job}`",
    "credit_invoice": "`fairhours credit invoice {document} --reason REASON`",
    "claimable": "`fairhours claimable --job {job}`",
    "documents": "`fairhours documents`",
    "documents_listed": "`fairhours documents` lists them",
    "show": "`fairhours show {what}`",
    "show_ids": "`fairhours show`",
    # The book.
    "demo": "fairhours demo DIR",
    "migrate": "`fairhours --book {book} migrate`",
    "new": "`fairhours --book {book} new`",
    "new_rehearsal": "`fairhours new --rehearsal`",
    # Loading and putting right.
    "correct_entries": '`fairhours correct entries --file {file} job={job} --reason "..."`',
    "freeze": "`fairhours freeze --job {job}`",
    "load": "load {what}",
    "load_first": "load {what} first",
    "enter_price": "`fairhours enter price --job {job} {change}`",
    "instruct": "`fairhours instruct change --job {job} {change}`",
    "record_sending": "`fairhours record sending {document}`",
    "sendings": "`fairhours record sending`",
    "show_document": "`fairhours show document {document} --out FILE`",
    "confirm_alias": "`fairhours confirm alias`",
    "sign_off": "`fairhours sign off`",
    "tag_entries": "`fairhours tag entries`",
    "undo": "`fairhours undo reversal {reversal}`",
    "request_anew": "leave the number out to take the next one, or reword it by `load changes`",
    "enter_again": "enter the fact again",
    "enter_text_again": "what it erased is gone; enter the text again",
    "claim_again": "it is part of an issued claim; put the facts right and issue the next",
    "withdraw_cause": "it follows from other facts; withdraw the fact it comes from",
    "decide_time": "`fairhours decide time --job {job} CHANGE --days N`",
    # In place of a withdrawal.
    "correct_or_reverse_entry": (
        "correct it (`fairhours correct entry {entry}`) or reverse it (`reverse entry {entry}`)"
    ),
    "reverse_entry_or_rule": "reverse its entry (`fairhours reverse entry`), or change the rule",
    "correct_or_reverse_its_entry": (
        "correct or reverse its entry (`fairhours correct entry`, `reverse entry`)"
    ),
    "end_held_line": "end the held line (`fairhours reject line`, `fairhours correct line`)",
    "reopen_period": "reopen the period (`fairhours reopen period`)",
    "reopen_doubt": "reopen the doubt (`fairhours reopen doubt`)",
    "undo_reversal": "undo it (`fairhours undo reversal {reversal}`)",
    # Options and settings of the machine.
    "book": "--book",
    "known_at": "--known-at {known_at}",
    "lines_to_quote": "give a file of them by --lines",
    "memory": "set FAIRHOURS_MEMORY higher ({size})",
    "reference": "--reference",
    "status_date": "--status-date",
    "to_day": "--to",
    "week_day": "--to with a day of it",
    "wait": "--wait",
    "with_file": "--with",
}
