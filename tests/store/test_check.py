"""`check` recomputes every seal and invariant, and names batch and table of what does not hold."""

import duckdb
import pytest

from ledger.store.definitions import EVENTS, trigger_name
from tests.conftest import Yard, slow_beyond
from tests.store._sample import SAMPLE, opened, said, tables_of, tamper

NOT_SEALED = "its rows differ from those sealed"
NO_HEAD = "its head does not match its content"

# What is done to which table, the batch that check names, and what it says of that table.
FACTS = {
    "a byte changed": (
        "line",
        "UPDATE line SET sheet = replace(sheet, 'A1-10', 'A1-1O')",
        15,
        NOT_SEALED,
    ),
    "a null made an empty text": (
        "what",
        "UPDATE what SET pay_class = '' WHERE batch = 15 AND row = 1",
        15,
        NOT_SEALED,
    ),
    "a text moved from one field to the next": (
        "change_event",
        "UPDATE change_event SET reference = NULL, reference_salt = NULL, reference_hash = NULL,"
        " note = reference, note_salt = reference_salt, note_hash = reference_hash"
        " WHERE reference = 'letter 1'",
        12,
        NOT_SEALED,
    ),
    "the end of a text moved into the next field": (
        "crew",
        "UPDATE crew SET trade = left(trade, -1), grade = right(trade, 1) || grade WHERE row = 1",
        4,
        NOT_SEALED,
    ),
    "the smallest step of a rate": (
        "rate",
        "UPDATE rate SET cost_per_hour = cost_per_hour + 1 WHERE batch = 5 AND row = 1",
        5,
        NOT_SEALED,
    ),
    "a digest changed with its text": (
        "progress",
        "UPDATE progress SET note = 'x', note_hash = sha256(lower(hex(note_salt)) || 'x')"
        " WHERE batch = 14 AND note IS NOT NULL",
        14,
        NOT_SEALED,
    ),
    "a null made the mark of null": (
        "what",
        "UPDATE what SET pay_class = chr(30) WHERE batch = 15 AND row = 1",
        15,
        "row 1 has a text with a control character that separates columns",
    ),
    "a text lost": (
        "worker_name",
        "UPDATE worker_name SET name = NULL, name_salt = NULL WHERE row = 2",
        4,
        "row 2 lost its name without an erasure",
    ),
    "a salt lost": (
        "worker_name",
        "UPDATE worker_name SET name_salt = NULL WHERE row = 2",
        4,
        "row 2 is not the name that was sealed",
    ),
    "a row added": (
        "rate",
        "INSERT INTO rate SELECT * REPLACE (7 AS row) FROM rate WHERE batch = 5 AND row = 6",
        5,
        "7 rows, sealed with 6",
    ),
    "a row twice": (
        "rate",
        "INSERT INTO rate SELECT * FROM rate WHERE batch = 5 AND row = 6",
        5,
        "7 rows, sealed with 6",
    ),
    "a row added to a batch without any": (
        "rate",
        "INSERT INTO rate SELECT * REPLACE (9 AS batch, 1 AS row) FROM rate WHERE row = 6",
        9,
        "1 row, sealed with 0",
    ),
    "the last row removed": (
        "progress",
        "DELETE FROM progress WHERE batch = 14 AND row = 7",
        14,
        "6 rows, sealed with 7",
    ),
    "a row removed in the middle": (
        "line",
        "DELETE FROM line WHERE batch = 15 AND row = 20",
        15,
        "39 rows, sealed with 40",
    ),
    "two rows swapped within a batch": (
        "milestone",
        "UPDATE milestone SET row = CASE row WHEN 1 THEN 2 ELSE 1 END WHERE row IN (1, 2)",
        8,
        NOT_SEALED,
    ),
    "two rows swapped between batches": (
        "plan_posting",
        "UPDATE plan_posting SET batch = CASE batch WHEN 9 THEN 12 ELSE 9 END WHERE row = 1",
        9,
        NOT_SEALED,
    ),
    "a row of a batch that never was": (
        "setting",
        "INSERT INTO setting SELECT * REPLACE (99 AS batch) FROM setting WHERE batch = 1",
        99,
        "has rows of a batch that is not recorded",
    ),
    "the hours of a line": (
        "line",
        "UPDATE line SET ms = ms + 1 WHERE batch = 15 AND row = 3",
        15,
        NOT_SEALED,
    ),
    "a line added": (
        "line",
        "INSERT INTO line SELECT * REPLACE (row + 100 AS row) FROM line WHERE row = 1",
        15,
        "41 rows, sealed with 40",
    ),
    "two lines swapped": (
        "line",
        "UPDATE line SET row = CASE row WHEN 1 THEN 2 ELSE 1 END WHERE row IN (1, 2)",
        15,
        NOT_SEALED,
    ),
    "the place of a code": (
        "what",
        "UPDATE what SET booked_to = 'DECK' WHERE batch = 15 AND booked_to = 'FRAME'",
        15,
        NOT_SEALED,
    ),
    "a note": (
        "note",
        "UPDATE note SET note = 'too dry to drive' WHERE note = 'too wet to drive'",
        15,
        "its rows differ from those sealed",
    ),
    "the text of a held line": (
        "held_text",
        "UPDATE held_text SET raw = replace(raw, '2026', '2025') WHERE row = 1",
        15,
        "row 1 is not the raw that was sealed",
    ),
    "a part of a file": (
        "content",
        "UPDATE content SET data = data || 'x'::BLOB WHERE batch = 15 AND row = 2",
        15,
        "row 2 is not the data that was sealed",
    ),
    "the digest of a part of a file": (
        "file_part",
        "UPDATE file_part SET sha256 = sha256('x') WHERE row = 1",
        15,
        "row 1 is not the sha256 that was sealed",
    ),
    "another name": (
        "worker_name",
        "UPDATE worker_name SET name = 'Ada Brand' WHERE row = 1",
        4,
        "row 1 is not the name that was sealed",
    ),
}
BATCHES = {
    "actor's digest changed": (
        "batch",
        "UPDATE batch SET actor_hash = command_hash WHERE sequence = 7",
        7,
    ),
    "recorded_at changed": (
        "batch",
        "UPDATE batch SET recorded_at = recorded_at + INTERVAL 1 MICROSECOND WHERE sequence = 8",
        8,
    ),
    "command's digest changed": (
        "batch",
        "UPDATE batch SET command_hash = sha256(command) WHERE sequence = 9",
        9,
    ),
    "program version changed": (
        "batch",
        "UPDATE batch SET program_version = '9.9' WHERE sequence = 10",
        10,
    ),
    "schema version changed": (
        "batch",
        "UPDATE batch SET schema_version = 0 WHERE sequence = 11",
        11,
    ),
    "previous head changed": (
        "batch",
        "UPDATE batch SET previous_head = repeat('0', 64) WHERE sequence = 12",
        12,
    ),
    "head changed": ("batch", "UPDATE batch SET head = repeat('0', 64) WHERE sequence = 15", 15),
    "an empty table sealed": (
        "batch_table",
        "INSERT INTO batch_table VALUES (6, 'rate', 2, 0, sha256(''))",
        6,
    ),
}


def stamps(yard: Yard) -> list[str]:
    """Return the stamp of every batch, the first first."""
    rows = yard.rows(yard.run("history", "--format", "csv").stdout)
    return [f"{row['sequence']}.{row['head']}" for row in rows]


def cut_off(yard: Yard, sequence: int) -> None:
    """Take a batch away with all its rows, its seals and its record."""
    for table in tables_of(yard.book):
        column = "sequence" if table in {"batch", "batch_table"} else "batch"
        tamper(yard.book, table, f"DELETE FROM {table} WHERE {column} = {sequence}")


def test_an_untouched_book_holds(built: Yard) -> None:
    """`check` passes on a book nobody touched, and says its newest stamp."""
    outcome = built.run("check")

    assert outcome.exit_code == 0
    assert stamps(built)[-1] in outcome.stdout + outcome.stderr


@pytest.mark.slow
def test_taking_triggers_off_and_on_again_changes_nothing(copied: Yard) -> None:
    """A book whose triggers were only put back holds: the other tests find the tampering."""
    for table in tables_of(copied.book):
        tamper(copied.book, table)

    assert copied.run("check").exit_code == 0


@pytest.mark.parametrize("what", slow_beyond(6, FACTS))
def test_tampering_with_a_fact_is_found(copied: Yard, what: str) -> None:
    """Whatever is done to the rows of a table, check exits 1 and names batch and table."""
    table, statement, batch, message = FACTS[what]
    tamper(copied.book, table, statement)

    code, told = said(copied)

    assert code == 1
    assert told.endswith(f"batch {batch}: table {table}: {message}")


@pytest.mark.parametrize("what", slow_beyond(4, BATCHES))
def test_tampering_with_a_batch_is_found(copied: Yard, what: str) -> None:
    """Whatever is done to the record of a batch, check exits 1 and names the batch."""
    table, statement, batch = BATCHES[what]
    tamper(copied.book, table, statement)

    code, told = said(copied)

    assert code == 1
    assert told.endswith(f"batch {batch}: table batch: {NO_HEAD}")


def test_a_root_changed_with_its_rows_is_found(copied: Yard) -> None:
    """A seal that says another root than that of its rows is found."""
    tamper(
        copied.book,
        "batch_table",
        "UPDATE batch_table SET root = repeat('0', 64) WHERE table_name = 'rate'",
    )

    code, told = said(copied)

    assert code == 1
    assert told.endswith(f"batch 5: table rate: {NOT_SEALED}")


def test_an_unknown_seal_version_is_found(copied: Yard) -> None:
    """A seal of a version that this program has no file for is told, not a crash."""
    tamper(
        copied.book,
        "batch_table",
        "UPDATE batch_table SET seal_version = 99 WHERE table_name = 'rate'",
    )

    code, told = said(copied)

    assert code == 1
    assert "batch 5: table rate:" in told


def test_a_seal_of_a_batch_that_never_was_is_found(copied: Yard) -> None:
    """A seal left behind of a batch that is not recorded is found."""
    with opened(copied.book) as connection:
        connection.execute("INSERT INTO batch_table VALUES (16, 'rate', 1, 1, repeat('0', 64))")

    code, told = said(copied)

    assert code == 1
    assert "batch 16: table batch_table:" in told


@pytest.mark.parametrize("event", EVENTS)
@pytest.mark.parametrize("table", ["batch", "batch_table", "posting", "file"])
def test_a_missing_trigger_is_found(copied: Yard, table: str, event: str) -> None:
    """A table without one of its refusal triggers is named with the event."""
    with opened(copied.book) as connection:
        connection.execute(f"DROP TRIGGER {trigger_name(table, event)} ON {table}")

    code, told = said(copied)

    assert code == 1
    assert told.endswith(f"{table}: the trigger that refuses {event} is missing")


def test_a_trigger_that_refuses_nothing_is_found(copied: Yard) -> None:
    """A trigger of the right name that does nothing is not taken for the one that refuses."""
    name = trigger_name("posting", "UPDATE")
    with opened(copied.book) as connection:
        connection.execute(f"DROP TRIGGER {name} ON posting")
        connection.execute(
            f"CREATE TRIGGER {name} AFTER UPDATE ON posting"
            " FOR EACH STATEMENT INSERT INTO refusal SELECT 'let through'"
        )

    code, told = said(copied)

    assert code == 1
    assert "posting" in told


@pytest.mark.slow
def test_cutting_off_the_end_is_seen_only_against_a_stamp(copied: Yard) -> None:
    """A book without its last batch holds by itself; a stamp kept elsewhere shows the loss."""
    *_, before, last = stamps(copied)
    cut_off(copied, 15)

    assert copied.run("check").exit_code == 0
    assert copied.run("check", "--against", before).exit_code == 0
    code, told = said(copied, "--against", last)
    assert code == 1
    assert told.endswith("batch 15: table batch: missing; the book ends at 14")


@pytest.mark.slow
def test_another_end_is_seen_against_a_stamp(copied: Yard) -> None:
    """A last batch cut off and replaced by another holds by itself, but not against its stamp."""
    last = stamps(copied)[-1]
    cut_off(copied, 15)
    copied.run("load", "sheets", SAMPLE / "sheets-week-10.csv")

    assert copied.run("check").exit_code == 0
    code, told = said(copied, "--against", last)
    assert code == 1
    assert told.endswith("batch 15: table batch: its head differs from the stamp")


def test_a_book_extends_every_stamp_it_printed(built: Yard) -> None:
    """`check --against` passes for the stamp of the first, of any and of the last batch."""
    for stamp in stamps(built)[::7]:  # batches 1, 8 and 15
        assert built.run("check", "--against", stamp).exit_code == 0


@pytest.mark.slow
def test_a_batch_cut_out_of_the_middle_is_found(copied: Yard) -> None:
    """A batch that is missing between others is named."""
    cut_off(copied, 13)

    code, told = said(copied)

    assert code == 1
    assert told.endswith("batch 13: table batch: missing or recorded twice")


@pytest.mark.parametrize("column", ["actor", "command"])
def test_another_actor_or_command_is_found(copied: Yard, column: str) -> None:
    """What a batch says of who and what is compared with the digest that its head holds."""
    tamper(copied.book, "batch", f"UPDATE batch SET {column} = 'x' WHERE sequence = 7")

    code, told = said(copied)

    assert code == 1
    assert told.endswith(f"batch 7: table batch: it is not the {column} that was sealed")


def test_another_secret_is_found(copied: Yard) -> None:
    """With another secret in a batch's record no row of the batch has the leaf that was sealed."""
    other = "unhex('00112233445566778899aabbccddeeff')"
    tamper(copied.book, "batch", f"UPDATE batch SET secret = {other} WHERE sequence = 5")

    code, told = said(copied)

    assert code == 1
    assert told.endswith(f"batch 5: table file: {NOT_SEALED}")


def test_rows_hashed_in_many_passes_give_the_same_roots(
    built: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Batches hashed together, or one in slices of rows, have the roots that were sealed."""
    monkeypatch.setattr("ledger.store.sealing.PASS", 32)
    monkeypatch.setattr("ledger.store.sealing.BLOCK", 32)

    assert built.run("check").exit_code == 0


def test_a_seal_beside_another_is_found(copied: Yard) -> None:
    """A table that a batch seals twice is found, where both say the same, too."""
    with opened(copied.book) as connection:
        connection.execute("INSERT INTO batch_table SELECT * FROM batch_table WHERE sequence = 5")

    code, told = said(copied)

    assert code == 1
    assert told.endswith("batch 5: table batch_table: seals file more than once")


@pytest.mark.parametrize("act", ["UPDATE {0} SET {1} = {1}", "DELETE FROM {0}", "TRUNCATE {0}"])
def test_every_table_refuses_update_and_delete(copied: Yard, act: str) -> None:
    """No table that is sealed or seals takes an UPDATE or DELETE, and its rows stay."""
    with opened(copied.book) as connection:
        for table in tables_of_open(connection):
            before = connection.execute(f"SELECT * FROM {table} ORDER BY ALL").fetchall()
            column = "sequence" if table in {"batch", "batch_table"} else "row"

            with pytest.raises(duckdb.Error, match=f"{table}: facts are only added"):
                connection.execute(act.format(table, column))

            assert connection.execute(f"SELECT * FROM {table} ORDER BY ALL").fetchall() == before


def tables_of_open(connection: duckdb.DuckDBPyConnection) -> list[str]:
    found = connection.execute(
        "SELECT table_name FROM duckdb_tables() WHERE table_name <> 'refusal' ORDER BY ALL"
    ).fetchall()
    return [row[0] for row in found]
