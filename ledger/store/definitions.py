"""How a book's tables, macros and refusal triggers come to be."""

from collections.abc import Collection, Iterable, Iterator
from functools import cache

from ledger.domain.handles import ERASED_NAME
from ledger.store.queries import text
from ledger.store.schema import (
    ERASABLE_OF_BATCH,
    PLAIN_DIGEST,
    TABLES,
    WITHDRAWABLE,
)
from ledger.store.table import FactTable

EVENTS = ("UPDATE", "DELETE")
LEDGER_TABLES = ("batch", "batch_table")
# What stands where a text was erased; an address is a list of lines.
ERASED = f"'{ERASED_NAME}'"
ERASED_SETTING = f"""CASE name WHEN 'yard.address' THEN '["erased"]' ELSE {ERASED} END"""
# Macros that are files of queries/macros/: expressions; lines of sheets as what they are read as
# together with later rows; reads, each after those it reads through;
# and what an owner's page may read: no cost, no pay, no worker, no note, no other setting.
SCALARS = (
    *("sealed", "hours_text", "code_of", "word_of", "sheet_alike", "week_begun", "period_end"),
    "period_number",
    *("line_alike", "line_alike_but_note", "question_text", "reissue_text"),
    *("bare", "day_of", "duration_ms", "minute_of_day", "minutes_of", "weekdays_by"),
    *("kind_of_pay", "premium_rate"),
)
VIEWS = ("known_sheet_line", "known_line_outcome", "known_entry", "known_posting")
READS = (
    *("entry_time", "plain_entry", "placed_time"),
    *("recorded_change_event", "fixed_entry", "closed_entry", "claimed_entry"),
    *("line_standing", "line_taken_out"),
    *("line_questioned", "first_weekday", "rules_look_at", "reissue", "open_reissued_line"),
    *("waiting_reissued_line", "recorded_daywork_sheet", "marked_daywork", "marked_daywork_item"),
    *("caused_time", "standing_time", "leave_day", "rated_day"),
    *("rebaselined", "package_version", "planned_package"),
    *("milestone_version", "planned_milestone"),
)
OWNERS = tuple(
    f"owner_{name}"
    for name in (
        *("setting", "logo", "job", "change", "change_wording", "change_line", "change_event"),
        *("charge_rate", "pricing_terms", "contract_sum", "change_hours", "worked_hours"),
        *("worked_trades", "worked_base", "claimed_hours", "package"),
        *("daywork_sheet", "daywork_cell", "daywork_item", "daywork_item_marked"),
        "final_account",
    )
)
FILES = {name: f"macros/{name}" for name in (*SCALARS, *VIEWS, *READS)} | {
    name: f"macros/owner/{name}" for name in OWNERS
}
IN_BATCHES = ("batch", "row")
IN_PLACES = ("place_batch", "place_row", *IN_BATCHES)
WITHDRAWABLE_FACT = " UNION ALL ".join(
    f"SELECT '{table}' AS table_name, batch, row FROM known_{table}(upto)"
    for table in sorted(WITHDRAWABLE)
)


# The statements that bring a book from the version before to each version after `OLDEST`. A
# migration may add tables, columns that may be null and seal versions; macros and triggers are made
# anew after it.
MIGRATIONS: dict[int, tuple[str, ...]] = {}


def statements(withdrawn: Collection[str] = ()) -> Iterator[str]:
    """Yield the statements that make an empty book of the newest schema.

    `withdrawn` are the tables of which facts are withdrawn in what it is made for.
    """
    yield from tables()
    yield from macros(withdrawn)
    yield from triggers()


def tables() -> Iterator[str]:
    """Yield the statements that make the tables."""
    yield (
        "CREATE TABLE batch (sequence BIGINT NOT NULL, recorded_at TIMESTAMP NOT NULL,"
        " secret BLOB NOT NULL, actor VARCHAR, actor_salt BLOB, actor_hash VARCHAR NOT NULL,"
        " command VARCHAR, command_salt BLOB, command_hash VARCHAR NOT NULL,"
        " program_version VARCHAR NOT NULL, schema_version BIGINT NOT NULL,"
        " previous_head VARCHAR NOT NULL, head VARCHAR NOT NULL)"
    )
    yield (
        "CREATE TABLE batch_table (sequence BIGINT NOT NULL, table_name VARCHAR NOT NULL,"
        " seal_version BIGINT NOT NULL, row_count BIGINT NOT NULL, root VARCHAR NOT NULL)"
    )
    for table in TABLES.values():
        yield _create(table)
    yield "CREATE TABLE refusal (reason VARCHAR)"


def _create(table: FactTable) -> str:
    placed = {"batch", "row"}
    listed = ", ".join(
        f"{name} {kind}{' NOT NULL' if name in placed else ''}"
        for name, kind in table.stored.items()
    )
    return f"CREATE TABLE {table.name} ({listed})"


def macros(withdrawn: Collection[str] = WITHDRAWABLE) -> Iterator[str]:
    """Yield the macros through which every read goes."""
    yield from _of_files(SCALARS)
    yield from _facts()
    yield from _of_files(VIEWS)
    yield from _counting(withdrawn)
    yield from _of_files(READS)
    yield from _of_files(OWNERS)


def macro(name: str) -> str | None:
    """Return the statement that makes a macro, its file alone read; None where there is none."""
    return text(FILES[name]) if name in FILES else _made().get(name)


def _of_files(names: Iterable[str]) -> Iterator[str]:
    return (text(FILES[name]) for name in names)


@cache
def _made() -> dict[str, str]:
    """Return the statements of the macros that are no files, by the macro's name."""
    made = (*_facts(), *_counting(WITHDRAWABLE))
    return {sql.partition("(")[0].removeprefix("CREATE MACRO "): sql for sql in made}


def _facts() -> Iterator[str]:
    """Yield the macros of what is recorded, as it is kept and as it is read."""
    yield _macro("stored_batch", "SELECT * FROM batch WHERE sequence <= upto")
    yield _macro("known_batch", f"SELECT {_batch_as_read()} FROM batch WHERE sequence <= upto")
    yield _macro("known_batch_table", "SELECT * FROM batch_table WHERE sequence <= upto")
    for table in TABLES.values():
        if table.stored_macro != f"known_{table.name}":
            yield _macro(table.stored_macro, _stored(table))
        if not table.is_viewed:
            yield _macro(f"known_{table.name}", _known(table))


def _counting(withdrawn: Collection[str]) -> Iterator[str]:
    """Yield the macros of the facts that count: those not withdrawn, and the newest of these."""
    for table in TABLES.values():
        if table.name in WITHDRAWABLE:
            yield standing(table.name, is_withdrawn=table.name in withdrawn)
        if table.key or table.whole:
            yield _macro(f"current_{table.name}", _current(table))
    yield _macro("withdrawable_fact", WITHDRAWABLE_FACT)


def _stored(table: FactTable) -> str:
    """Return the rows as they are kept, those texts digested that are where they are read."""
    late = ", ".join(
        f"CASE WHEN {name} IS NULL THEN {name}_hash ELSE {table.digest(name)} END AS {name}_hash"
        for name in table.erasable
    )
    listed = f"* REPLACE ({late})" if table.is_digested_late else "*"
    return f"SELECT {listed} FROM {table.name} WHERE batch <= upto"


def _known(table: FactTable) -> str:
    """Return the rows as they are read: without salts and digests, what was erased as `erased`."""
    if table.stored_macro == f"known_{table.name}":
        return f"SELECT * FROM {table.name} WHERE batch <= upto"
    listed = ", ".join(
        _as_read(name, ERASED_SETTING if table.name == "setting" else ERASED)
        if name in table.erasable and kind == "VARCHAR"
        else _named(name)
        if name in table.persons
        else name
        for name, kind in table.columns.items()
    )
    names = " ".join(
        f"LEFT JOIN (SELECT handle, name AS {person}_name FROM known_person_name(upto))"
        f" AS {person}_named ON {person}_named.handle = {person}"
        for person in table.persons
    )
    return f"SELECT batch, row, {listed} FROM {table.name} {names} WHERE batch <= upto"


def _named(person: str) -> str:
    """Return the name of the person whose handle a column holds."""
    return f"CASE WHEN {person} IS NOT NULL THEN coalesce({person}_name, {ERASED}) END AS {person}"


def _as_read(name: str, erased: str = ERASED) -> str:
    if name == PLAIN_DIGEST:
        return name
    return (
        f"CASE WHEN {name} IS NULL AND {name}_hash IS NOT NULL THEN {erased} ELSE {name} END"
        f" AS {name}"
    )


def _batch_as_read() -> str:
    first = ("sequence", "recorded_at")
    last = ("program_version", "schema_version", "previous_head", "head")
    return ", ".join([*first, *map(_as_read, ERASABLE_OF_BATCH), *last])


def standing(table: str, *, is_withdrawn: bool) -> str:
    """Return the macro of the rows that are not withdrawn, with their place in recorded order.

    Rows that a batch added in the place of what it withdrew stand there; all others where they are.
    Until the book withdraws any of the table all stand: planning to leave none out takes longer
    than the rest of most queries.
    """
    name = f"standing_{table}"
    if not is_withdrawn:
        placed = "SELECT *, batch AS place_batch, row AS place_row"
        return _macro(name, f"{placed} FROM known_{table}(upto)")
    return _macro(
        name,
        "SELECT f.*, coalesce(p.place_batch, f.batch) AS place_batch,"
        " coalesce(p.place_row, f.row) AS place_row"
        f" FROM known_{table}(upto) AS f"
        " LEFT JOIN (SELECT batch, min(place_batch) AS place_batch, min(place_row) AS place_row"
        f" FROM known_withdrawal(upto) WHERE table_name = '{table}' GROUP BY batch) AS p"
        " ON p.batch = f.batch"
        " ANTI JOIN (SELECT fact_batch, fact_row FROM known_withdrawal(upto)"
        f" WHERE table_name = '{table}') AS w ON w.fact_batch = f.batch AND w.fact_row = f.row",
    )


def _current(table: FactTable) -> str:
    rows = f"{'standing' if table.name in WITHDRAWABLE else 'known'}_{table.name}(upto)"
    if table.whole:
        batch = "place_batch" if table.name in WITHDRAWABLE else "batch"
        newest = f"{batch} = max({batch}) OVER (PARTITION BY {', '.join(table.whole)})"
        return f"SELECT * FROM {rows} QUALIFY {newest}"
    return _newest(rows, table.key, IN_PLACES if table.name in WITHDRAWABLE else IN_BATCHES)


def _newest(rows: str, key: tuple[str, ...], order: tuple[str, ...]) -> str:
    """Return the rows that have none of their key after them.

    A window over rows this wide takes longer than all the rest of what reads them.
    """
    same = " AND ".join(f"later.{name} IS NOT DISTINCT FROM f.{name}" for name in key)
    after, at = (", ".join(f"{of}.{name}" for name in order) for of in ("later", "f"))
    return (
        f"WITH fact AS (FROM {rows}) SELECT f.* FROM fact AS f"
        f" ANTI JOIN fact AS later ON {same} AND ({after}) > ({at})"
    )


def anew(macro: str) -> str:
    """Return the statement that makes a macro in the place of the one of its name."""
    return macro.replace("CREATE MACRO", "CREATE OR REPLACE MACRO", 1)


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
