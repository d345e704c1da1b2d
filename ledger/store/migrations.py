"""How a book's tables, macros and refusal triggers come to be."""

from collections.abc import Iterator

from ledger.store.schema import TABLES, UNSEALED, WITHDRAWABLE, Table

EVENTS = ("UPDATE", "DELETE")
LEDGER_TABLES = ("batch", "batch_table")


# The statements that bring a book from the version before to each version after `OLDEST`. A
# migration may add tables, columns that may be null and seal versions; macros and triggers are made
# anew after it.
MIGRATIONS: dict[int, tuple[str, ...]] = {}


def statements() -> Iterator[str]:
    """Yield the statements that make an empty book of the newest schema."""
    yield (
        "CREATE TABLE batch (sequence BIGINT NOT NULL, recorded_at TIMESTAMP NOT NULL,"
        " actor VARCHAR NOT NULL, command VARCHAR NOT NULL, program_version VARCHAR NOT NULL,"
        " schema_version BIGINT NOT NULL, previous_head VARCHAR NOT NULL, head VARCHAR NOT NULL)"
    )
    yield (
        "CREATE TABLE batch_table (sequence BIGINT NOT NULL, table_name VARCHAR NOT NULL,"
        " seal_version BIGINT NOT NULL, row_count BIGINT NOT NULL, root VARCHAR NOT NULL)"
    )
    for table in TABLES.values():
        yield _create(table)
    yield "CREATE TABLE refusal (reason VARCHAR)"
    yield from macros()
    yield from triggers()


def _create(table: Table) -> str:
    columns = {**table.columns, **UNSEALED.get(table.name, {})}
    listed = ", ".join(f"{name} {kind}" for name, kind in columns.items())
    return (
        f"CREATE TABLE {table.name} (batch BIGINT NOT NULL, row BIGINT NOT NULL,"
        f" salt BLOB NOT NULL, {listed})"
    )


def macros() -> Iterator[str]:
    """Yield the macros through which every read goes."""
    yield (
        "CREATE MACRO sealed(field) AS"
        " CASE WHEN field IS NULL THEN '-:' ELSE strlen(field) || ':' || field END"
    )
    yield f"CREATE MACRO hours_told(ms) AS {HOURS_TOLD}"
    for name, case in FOLDINGS.items():
        yield f"CREATE MACRO {name}(text) AS nfc_normalize({case}(nfc_normalize(text)))"
    yield "CREATE MACRO sheet_alike(sheet) AS lower(nfc_normalize(sheet))"
    yield (
        "CREATE MACRO week_begun(day, weekday) AS day - ((isodow(day) + 6 - weekday) % 7)::INTEGER"
    )
    yield f"CREATE MACRO line_alike(line) AS {LINE_ALIKE}"
    yield f"CREATE MACRO question_told(told, line) AS {QUESTION_TOLD}"
    yield f"CREATE MACRO reissue_told(sheet, worker_id, day) AS {REISSUE_TOLD}"
    for name in LEDGER_TABLES:
        yield _macro(f"known_{name}", f"SELECT * FROM {name} WHERE sequence <= upto")
    for table in TABLES.values():
        yield _macro(f"known_{table.name}", f"SELECT * FROM {table.name} WHERE batch <= upto")
    for table in TABLES.values():
        if table.withdrawable:
            yield _macro(f"standing_{table.name}", _standing(table.name))
        if table.key or table.whole:
            yield _macro(f"current_{table.name}", _current(table))
    yield _macro("withdrawable_fact", WITHDRAWABLE_FACT)
    yield _macro("recorded_change_event", RECORDED_EVENT)
    yield _macro("fixed_entry", FIXED_ENTRY)
    yield _macro("closed_entry", CLOSED_ENTRY)
    yield _macro("line_standing", LINE_STANDING)
    yield _macro("line_taken_out", LINE_TAKEN_OUT)
    yield _macro("line_questioned", LINE_QUESTIONED)
    yield _macro("first_weekday", FIRST_WEEKDAY)
    yield _macro("reissue", REISSUE)
    yield _macro("open_reissued_line", OPEN_REISSUED_LINE)
    yield _macro("waiting_reissued_line", WAITING_REISSUED_LINE)
    for name, select in OWNER_MACROS.items():
        yield _macro(name, select)


def _standing(table: str) -> str:
    """Return the rows that are not withdrawn, each with its place in the recorded order.

    Rows that a batch added in the place of what it withdrew stand there; all others where they are.
    """
    return (
        "SELECT f.*, coalesce(p.place_batch, f.batch) AS place_batch,"
        " coalesce(p.place_row, f.row) AS place_row"
        f" FROM known_{table}(upto) AS f"
        " LEFT JOIN (SELECT batch, min(place_batch) AS place_batch, min(place_row) AS place_row"
        f" FROM known_withdrawal(upto) WHERE table_name = '{table}' GROUP BY batch) AS p"
        " ON p.batch = f.batch"
        " ANTI JOIN (SELECT fact_batch, fact_row FROM known_withdrawal(upto)"
        f" WHERE table_name = '{table}') AS w ON w.fact_batch = f.batch AND w.fact_row = f.row"
    )


def _current(table: Table) -> str:
    rows, batch, order = f"known_{table.name}", "batch", "batch DESC, row DESC"
    if table.withdrawable:
        rows, batch, order = f"standing_{table.name}", "place_batch", NEWEST_PLACE
    if table.whole:
        newest = f"{batch} = max({batch}) OVER (PARTITION BY {', '.join(table.whole)})"
    else:
        newest = f"row_number() OVER (PARTITION BY {', '.join(table.key)} ORDER BY {order}) = 1"
    return f"SELECT * FROM {rows}(upto) QUALIFY {newest}"


NEWEST_PLACE = "place_batch DESC, place_row DESC, batch DESC, row DESC"
WITHDRAWABLE_FACT = " UNION ALL ".join(
    f"SELECT '{table}' AS table_name, batch, row FROM known_{table}(upto)"
    for table in sorted(WITHDRAWABLE)
)


# All that makes two sheet lines the same; null equals only null.
LINE_ALIKE = (
    "{'sheet': line.sheet, 'week': line.week, 'worker_id': line.worker_id,"
    " 'date_text': line.date_text, 'duration': line.duration, 'start_time': line.start_time,"
    " 'finish_time': line.finish_time, 'break_text': line.break_text,"
    " 'booking_code': line.booking_code, 'job': line.job, 'note': line.note,"
    " 'pay_class': line.pay_class, 'trade': line.trade, 'rework': line.rework}"
)


# The foldings of `domain/codes.py`, for a column whose texts are trimmed.
FOLDINGS = {"code_of": "upper", "word_of": "lower"}

# An event keeps the place of its first recording when its particulars are corrected.
_EVENT = "PARTITION BY job, change, event, day, revision"
RECORDED_EVENT = (
    f"SELECT *, min(place_batch) OVER ({_EVENT}) AS first_batch,"
    f" first_value(place_row) OVER ({_EVENT} ORDER BY place_batch, place_row) AS first_row"
    " FROM standing_change_event(upto)"
    f" QUALIFY row_number() OVER ({_EVENT} ORDER BY {NEWEST_PLACE}) = 1"
)

# Hours of two places, half up, of whole milliseconds not below 0, for a message.
HOURS_TOLD = (
    "((ms * 100 + 1800000) // 3600000 // 100)::VARCHAR || '.'"
    " || lpad(((ms * 100 + 1800000) // 3600000 % 100)::VARCHAR, 2, '0')"
)

# Entries whose postings stay where they are: reversals, and what a reversal that stands reverses.
FIXED_ENTRY = (
    "SELECT batch, row FROM known_entry(upto) WHERE reverses_batch IS NOT NULL"
    " UNION ALL SELECT r.reverses_batch AS batch, r.reverses_row AS row FROM known_entry(upto) AS r"
    " ANTI JOIN known_entry(upto) AS u ON u.reverses_batch = r.batch AND u.reverses_row = r.row"
    " WHERE r.reverses_batch IS NOT NULL"
)

# Entries that were in the book when the period of their day was closed.
CLOSED_ENTRY = (
    "SELECT batch, row FROM known_entry(upto) AS e SEMI JOIN current_closing(upto) AS c"
    " ON c.closed_to >= e.day AND c.sequence >= e.batch"
)

# How each sheet line that ever waited stands now: its newest outcome.
LINE_STANDING = (
    "SELECT batch, row, line_batch, line_row, outcome, reason, message"
    " FROM known_line_outcome(upto) QUALIFY"
    " row_number() OVER (PARTITION BY line_batch, line_row ORDER BY batch DESC, row DESC) = 1"
)

# Lines whose entry was reversed with its whole file or batch, or that ended so while held.
LINE_TAKEN_OUT = (
    "SELECT e.line_batch, e.line_row, e.batch FROM known_entry(upto) AS e SEMI JOIN"
    " (SELECT * FROM known_reversal(upto) WHERE scope IN ('file', 'batch')) AS t"
    " ON t.entry_batch = e.batch AND t.entry_row = e.row"
    " UNION ALL SELECT line_batch, line_row, batch FROM known_line_outcome(upto)"
    " WHERE reason IN ('file_reversed', 'batch_reversed')"
)

# Lines held because they may be lines of the book: only a person says whether they are.
LINE_QUESTIONED = (
    "SELECT line_batch, line_row, reason FROM line_standing(upto) WHERE outcome = 'held'"
    " AND reason IN ('job_differs', 'times_differ', 'same_as_sheet', 're_issue')"
)

# The weekday on which the yard's weeks begin, 0 of Monday.
FIRST_WEEKDAY = (
    "SELECT coalesce(max(list_position(['mon', 'tue', 'wed', 'thu', 'fri', 'sat', 'sun'],"
    " left(lower(value), 3))), 1) - 1 AS first FROM current_setting(upto)"
    " WHERE name = 'yard.week_start'"
)

# What a person is to do about a line that may be one of the book, and about a re-issue.
QUESTION_TOLD = (
    "told || '; if it is the same line: `fairhours reject line ' || line"
    " || ' --reason \"the same\"`, if it is another: `fairhours release line ' || line"
    " || ' --reason \"another\"`'"
)
REISSUE_TOLD = (
    "'sheet ' || sheet || ' has other lines of worker ' || worker_id || ' on ' || day"
    " || ' already; confirming takes back those not given again, see `fairhours reissues`;"
    " to correct one line `fairhours correct entry`'"
)

# A re-issue is a sheet in a file, named by its first line; it is open until it is ended.
REISSUE = (
    "SELECT i.*, i.batch || '.' || i.reissue_row AS reissue, n.ended FROM"
    " (SELECT *, min(row) OVER (PARTITION BY file_batch, file_row, sheet_alike(sheet))"
    " AS reissue_row FROM known_reissued_line(upto)) AS i LEFT JOIN known_reissue_end(upto) AS n"
    " ON n.reissue_batch = i.batch AND n.reissue_row = i.reissue_row"
)
OPEN_REISSUED_LINE = "SELECT * FROM reissue(upto) WHERE ended IS NULL"
# Lines that an open re-issue brought into the book: they wait for it.
WAITING_REISSUED_LINE = (
    "SELECT i.* FROM open_reissued_line(upto) AS i SEMI JOIN known_sheet_line(upto) AS l"
    " ON l.batch = i.line_batch AND l.row = i.line_row"
    " AND l.file_batch = i.file_batch AND l.file_row = i.file_row"
)

# What an owner's page may read: no cost, no pay, no worker, no note, and no other yard's setting.
OWNER_MACROS = {
    "owner_setting": "SELECT name, value FROM current_setting(upto)"
    " WHERE name LIKE 'yard.%' OR name = 'book.rehearsal'",
    "owner_logo": "SELECT sha256, media_type, data FROM current_content(upto) WHERE sha256 IN"
    " (SELECT value FROM current_setting(upto) WHERE name = 'yard.logo')",
    "owner_job": "SELECT job, title, owner, contract_sum, contract_date, contract_basis,"
    " owner_sees_overrun FROM current_job(upto)",
    "owner_change": "SELECT job, change, title, requested_by, requested_on, change_basis,"
    " coalesce(origin, 'owner') AS origin, description, decision_needed_by, days_requested"
    " FROM current_change(upto)",
    "owner_change_wording": "SELECT f.job, f.change, f.title, f.description,"
    " f.place_batch AS batch, f.place_row AS row, b.recorded_at FROM standing_change(upto) AS f"
    " INNER JOIN known_batch(upto) AS b ON b.sequence = f.place_batch",
    "owner_change_line": "SELECT job, change, revision, position, price_kind, description, trade,"
    " grade, ms, quantity, unit, unit_price, work_package, planned_start, planned_finish, technique"
    " FROM current_change_line(upto)",
    "owner_change_event": "SELECT first_batch, first_row, job, change, event, day, person,"
    " revision, reference, valid_until, rough, not_to_exceed, days_granted, agreed_value, agreed_ms"
    " FROM recorded_change_event(upto)",
    "owner_charge_rate": "SELECT place_batch AS batch, place_row AS row, job, trade, grade,"
    " effective_from, charge_per_hour FROM standing_charge_rate(upto)",
    "owner_contract_sum": "SELECT place_batch AS batch, place_row AS row, job, day, contract_sum"
    " FROM current_baseline_change(upto) WHERE contract_sum IS NOT NULL",
    "owner_change_hours": "SELECT job, reference AS change, ms, counts_from"
    " FROM known_budget_posting(upto) WHERE source IN ('approval', 'omission', 'stop')",
    "owner_worked_hours": "SELECT job, booked_to AS change, day, ms FROM known_posting(upto)"
    " WHERE (job, booked_to) IN (SELECT (job, change) FROM current_change(upto))",
    "owner_worked_trades": "SELECT w.job, w.change, w.day, w.ms,"
    " coalesce(w.trade, c.trade) AS trade, c.grade FROM"
    " (SELECT job, booked_to AS change, day, worker_id, trade, sum(ms) AS ms"
    " FROM known_posting(upto) WHERE rework IS NULL"
    " AND (job, booked_to) IN (SELECT (job, change) FROM current_change(upto)) GROUP BY ALL) AS w"
    " LEFT JOIN current_crew(upto) AS c ON c.worker_id = w.worker_id QUALIFY row_number() OVER"
    " (PARTITION BY w.job, w.change, w.day, w.worker_id, w.trade"
    " ORDER BY c.active_from <= w.day DESC,"
    " CASE WHEN c.active_from <= w.day THEN c.active_from END DESC, c.active_from) = 1",
    "owner_package": "SELECT job, work_package, trade, budget_ms FROM current_work_package(upto)",
}


def _macro(name: str, select: str) -> str:
    return f"CREATE MACRO {name}(upto) AS TABLE {select}"


def triggers() -> Iterator[str]:
    """Yield the triggers that refuse every UPDATE and DELETE of a fact."""
    for table in (*LEDGER_TABLES, *TABLES):
        for event in EVENTS:
            yield (
                f"CREATE TRIGGER {trigger_name(table, event)} AFTER {event} ON {table}"
                f" FOR EACH STATEMENT INSERT INTO refusal"
                f" SELECT error('{table}: facts are only added; reverse it and add a new one')"
            )


def trigger_name(table: str, event: str) -> str:
    """Return the name of the trigger that refuses `event` on `table`."""
    return f"{table}_refuses_{event.lower()}"
