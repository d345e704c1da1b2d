"""`check` finds tables, macros and triggers that the program did not make, or not so."""

import pytest

from ledger.store import schema_checking
from ledger.store.schema import WITHDRAWABLE
from tests.conftest import Yard, slow_beyond
from tests.store._sample import opened, said

# What is done to the book's definitions, and what check says of it.
DEFINITIONS = {
    "a value told by another macro, its text kept by one of rows": (
        [
            "CREATE MACRO week_begun(day, weekday) AS TABLE SELECT {week_begun}",
            "CREATE OR REPLACE MACRO week_begun(day, weekday) AS day",
        ],
        "the macro week_begun differs",
    ),
    "what lists the macros": (
        [
            "CREATE MACRO duckdb_functions() AS TABLE SELECT * FROM system.main.duckdb_functions()"
            " WHERE function_name NOT IN ('strpos', 'duckdb_functions')",
            "CREATE MACRO strpos(text, part) AS 0",
        ],
        "the macro strpos is none",
    ),
    "an operator": (['CREATE MACRO "+"(a, b) AS 7'], "the macro + is none"),
    "a table of facts gone": (
        [
            "DROP TRIGGER withdrawal_refuses_update ON withdrawal",
            "DROP TRIGGER withdrawal_refuses_delete ON withdrawal",
            "DROP TABLE withdrawal",
        ],
        "withdrawal",
    ),
    "a macro with its parameters the other way round": (
        ["CREATE OR REPLACE MACRO period_number(weekday, every, day) AS 1"],
        "the macro period_number differs",
    ),
    "a second form of a macro": (
        ["CREATE OR REPLACE MACRO sealed(field) AS {sealed}, (field, other) AS 'x'"],
        "the macro sealed differs",
    ),
    "parameters alone": (
        ["CREATE OR REPLACE MACRO week_begun(weekday, day) AS {week_begun}"],
        "the macro week_begun differs",
    ),
    "a function of the engine": (
        ["CREATE MACRO strpos(text, part) AS 0"],
        "the macro strpos is none that fairhours made",
    ),
    "a trigger more": (
        [
            "CREATE TRIGGER later AFTER INSERT ON rate FOR EACH STATEMENT"
            " INSERT INTO refusal SELECT 'x'"
        ],
        "the trigger later is none",
    ),
    "a table more": (["CREATE TABLE aside (name VARCHAR)"], "the table aside is none"),
    "one that is right in another schema": (
        [
            "CREATE SCHEMA aa",
            "CREATE MACRO aa.known_posting(upto) AS TABLE {known_posting}",
            "CREATE OR REPLACE MACRO known_posting(upto) AS TABLE"
            " SELECT * FROM stored_posting(upto)",
        ],
        "the macro known_posting differs",
    ),
}


@pytest.mark.parametrize("what", slow_beyond(4, DEFINITIONS))
def test_a_definition_made_otherwise_is_found(copied: Yard, what: str) -> None:
    """Macros, tables and triggers are the program's own, each as it was made, and no others."""
    statements, expected = DEFINITIONS[what]
    with opened(copied.book) as connection:
        texts = dict(
            connection.execute(
                "SELECT function_name, macro_definition FROM duckdb_functions() WHERE NOT internal"
            ).fetchall()
        )
        for statement in statements:
            connection.execute(statement.format_map(texts))

    code, told = said(copied)

    assert code == 1
    assert expected in told
    assert "Error" not in told


def test_a_macro_that_reads_something_else_is_found(copied: Yard) -> None:
    """A read macro that tells other figures than its table holds is found."""
    with opened(copied.book) as connection:
        connection.execute(
            "CREATE OR REPLACE MACRO current_rate(upto) AS TABLE"
            " SELECT * REPLACE (1 AS cost_per_hour) FROM known_rate(upto)"
        )

    code, told = said(copied)

    assert code == 1
    assert "current_rate" in told


@pytest.mark.parametrize("withdrawn", [frozenset(), frozenset(WITHDRAWABLE)], ids=["none", "all"])
def test_macros_read_as_they_are_made(withdrawn: frozenset[str]) -> None:
    """What a look at macros alone expects is the schema of a book that was made."""
    assert schema_checking.schema_read(withdrawn) == schema_checking.schema_made(withdrawn)
