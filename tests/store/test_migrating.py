"""A migration is a batch: every earlier head holds, and refusal triggers are back."""

import contextlib
from collections.abc import Iterator

import duckdb
import pytest

from ledger.store import batches, book, definitions, migrating, schema_checking
from ledger.store.schema import OLDEST, VERSION
from tests.conftest import Yard

NEXT = VERSION + 1


EXTRA = "CREATE TABLE extra (batch BIGINT)"
REMEMBERED = (schema_checking.schema_read, schema_checking.schema_made)


@pytest.fixture
def newer(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> Iterator[Yard]:
    """A yard whose book was made by the version before; this one adds a table."""
    tables = definitions.tables
    yard.run("load", "settings", yard.write("settings.toml", '[yard]\nname = "Tarn End"\n'))
    for module in (batches, book, migrating):
        monkeypatch.setattr(module, "VERSION", NEXT)
    monkeypatch.setitem(definitions.MIGRATIONS, NEXT, (EXTRA,))
    monkeypatch.setattr(definitions, "tables", lambda: (*tables(), EXTRA))
    for schema in REMEMBERED:
        schema.cache_clear()
    yield yard
    for schema in REMEMBERED:
        schema.cache_clear()


def test_an_older_book_asks_to_be_brought_up(newer: Yard) -> None:
    """Reading a book of an older schema is refused with the command that brings it up."""
    outcome = newer.run("history", ok=False)

    assert outcome.stderr == (
        f"{newer.book}: made by an older version of fairhours (schema {VERSION}, this one has "
        f"{NEXT}); keep a copy, then bring it up to date with "
        f"`fairhours --book {newer.book} migrate`\n"
    )


def test_a_migration_is_a_batch_and_the_book_holds(newer: Yard) -> None:
    """The heads before it stay as they were, and check finds triggers and macros in place."""
    outcome = newer.run("migrate")
    rows = newer.rows(newer.run("history", "--format", "csv").stdout)

    assert outcome.stderr == f"{newer.book}: migrated from schema {VERSION} to {NEXT}\n"
    assert [row["command"] for row in rows] == ["new", "load settings", "migrate"]
    assert newer.run("check").exit_code == 0


@pytest.mark.parametrize(
    ("column", "message"),
    [
        ("name", "its rows differ from those sealed"),
        ("value", "row 1 is not the value that was sealed"),
    ],
)
def test_a_migration_that_would_change_a_seal_is_refused(
    newer: Yard, monkeypatch: pytest.MonkeyPatch, column: str, message: str
) -> None:
    """A migration that alters a sealed row or text changes nothing and names batch and table."""
    spoil = ("DROP TRIGGER setting_refuses_update ON setting", f"UPDATE setting SET {column} = 'x'")
    monkeypatch.setitem(definitions.MIGRATIONS, NEXT, (*spoil, definitions_trigger()))
    outcome = newer.run("migrate", ok=False)

    assert outcome.stderr == (
        f"after the migration: batch 1: table setting: {message}; the book is left as it was\n"
    )


def definitions_trigger() -> str:
    return next(each for each in definitions.triggers() if "setting_refuses_update" in each)


def test_a_book_that_is_up_to_date_is_left(yard: Yard) -> None:
    """Nothing pending is said so, and adds no batch."""
    outcome = yard.run("migrate", ok=False)

    assert outcome.stderr == f"{yard.book}: already has schema {VERSION}; nothing to do\n"


def test_a_book_of_an_early_schema_is_refused_by_name(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No migration leads on from it: it is neither read nor brought up."""
    with monkeypatch.context() as patch:
        patch.setattr(batches, "VERSION", OLDEST - 1)
        yard.new()
    message = (
        f"{yard.book}: made by an early version of fairhours (schema {OLDEST - 1}) that this one "
        "cannot migrate; load its files into a new book\n"
    )

    assert yard.run("history", ok=False).stderr == message
    assert yard.run("migrate", ok=False).stderr == message


def test_a_book_of_another_layout_is_refused_by_name(yard: Yard) -> None:
    """A book from before batches had secrets is called early, whatever number it bears."""
    with contextlib.closing(duckdb.connect(str(yard.book))) as connection:
        connection.execute(
            "CREATE TABLE batch AS SELECT 1 AS sequence, 3::BIGINT AS schema_version"
        )
        connection.execute(
            "CREATE MACRO known_batch(upto) AS TABLE SELECT * FROM batch WHERE sequence <= upto"
        )

    assert yard.run("history", ok=False).stderr == (
        f"{yard.book}: made by an early version of fairhours (schema 3) that this one cannot "
        "migrate; load its files into a new book\n"
    )
