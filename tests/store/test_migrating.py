"""A migration is a batch: every earlier head holds, and refusal triggers are back."""

import pytest

from ledger.store import batches, book, migrating, migrations
from ledger.store.schema import TABLES, VERSION
from tests.conftest import Yard

NEXT = VERSION + 1


@pytest.fixture
def newer(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> Yard:
    """A yard whose book was made by the version before; this one adds a table."""
    yard.run("load", "settings", yard.write("settings.toml", '[yard]\nname = "Tarn End"\n'))
    for module in (batches, book, migrating):
        monkeypatch.setattr(module, "VERSION", NEXT)
    monkeypatch.setitem(migrations.MIGRATIONS, NEXT, ("CREATE TABLE extra (batch BIGINT)",))
    return yard


def test_an_older_book_asks_to_be_brought_up(newer: Yard) -> None:
    """Reading a book of an older schema is refused with the command that brings it up."""
    outcome = newer.run("history", ok=False)

    assert outcome.stderr == (
        f"{newer.book}: made by an older fairhours (schema {VERSION}, this one has {NEXT}); "
        f"keep a copy, then bring it up with `fairhours --book {newer.book} migrate`\n"
    )


def test_a_migration_is_a_batch_and_the_book_holds(newer: Yard) -> None:
    """The heads before it stay as they were, and check finds triggers and macros in place."""
    outcome = newer.run("migrate")
    rows = newer.rows(newer.run("history", "--format", "csv").stdout)

    assert outcome.stderr == f"{newer.book}: brought from schema {VERSION} to {NEXT}\n"
    assert [row["command"] for row in rows] == ["new", "load settings", "migrate"]
    assert newer.run("check").exit_code == 0


def test_a_migration_that_would_change_a_seal_is_refused(
    newer: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A migration that alters a sealed row changes nothing and names batch and table."""
    spoil = ("DROP TRIGGER setting_refuses_update ON setting", "UPDATE setting SET value = 'x'")
    monkeypatch.setitem(migrations.MIGRATIONS, NEXT, (*spoil, migrations_trigger()))
    outcome = newer.run("migrate", ok=False)

    assert outcome.stderr == (
        "after the migration: batch 1: table setting: its rows are not those that were sealed; "
        "the book is left as it was\n"
    )


def migrations_trigger() -> str:
    return next(each for each in migrations.triggers() if "setting_refuses_update" in each)


def test_a_book_that_is_up_to_date_is_left(yard: Yard) -> None:
    """Nothing pending is said so, and adds no batch."""
    outcome = yard.run("migrate", ok=False)

    assert outcome.stderr == f"{yard.book}: has schema {VERSION} already; nothing to do\n"


# The tables and the macros over more than one table that version 2 added.
ADDED = (
    *("closing", "reversal", "line_correction", "corrected_line", "reissued_line", "reissue_end"),
    *("doubt_settled", "attendance"),
)
ADDED_MACROS = (
    "fixed_entry",
    "closed_entry",
    "line_standing",
    "reissue",
    "open_reissued_line",
    "waiting_reissued_line",
)


def test_a_book_of_version_1_brought_up_has_the_schema_of_a_new_one(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """`check` compares tables, macros and triggers with those of a book made now: all are alike."""
    added = tuple(f"CREATE MACRO {name}(" for name in ADDED_MACROS)
    with monkeypatch.context() as patch:
        for name in ADDED:
            patch.delitem(TABLES, name)
        for module in (batches, book, migrating):
            patch.setattr(module, "VERSION", 1)
        of_version_1 = [each for each in migrations.macros() if not each.startswith(added)]
        patch.setattr(migrations, "macros", lambda: iter(of_version_1))
        yard.new()
    outcome = yard.run("migrate")
    yard.run("load", "settings", yard.write("settings.toml", '[yard]\nname = "Tarn End"\n'))

    assert outcome.stderr == f"{yard.book}: brought from schema 1 to {VERSION}\n"
    assert yard.run("check").exit_code == 0
