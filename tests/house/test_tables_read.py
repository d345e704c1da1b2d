"""What a book answered is kept until a table that the query reads is written: these are known."""

import json
import re

import duckdb

from ledger.store import definitions
from ledger.store.answers import reads_facts_alone, tables_read
from ledger.store.schema import TABLES
from tests.house.test_queries import all_queries, reads

MACRO = re.compile(r"CREATE MACRO (\w+)\(")
TABLE_MACRO = re.compile(r"CREATE MACRO (\w+)\(\w+\) AS TABLE\s+(.*)", re.S)
STORED = {*TABLES, *definitions.LEDGER_TABLES}


def parsed(sql: str) -> set[str]:
    """Return the names of all that a SELECT reads, as the engine understands it."""
    (text,) = duckdb.execute("SELECT json_serialize_sql(?)", [sql]).fetchone() or ("",)
    return {name for _, name in reads(json.loads(text))}


def through(names: set[str], macros: dict[str, set[str]]) -> set[str]:
    """Return the tables among names and among what the macros among them read."""
    found, left = set[str](), set(names)
    while left:
        name = left.pop()
        found.add(name)
        left |= macros.get(name, set()) - found
    return found & STORED


def test_the_tables_a_query_reads_are_those_of_its_parse() -> None:
    """No table that a query reads, through macros too, is missed when the book is written."""
    found = (TABLE_MACRO.search(sql) for sql in definitions.macros())
    macros = {each[1]: parsed(each[2]) for each in found if each}
    queries = {query.path.removesuffix(".sql"): query for query in all_queries()}
    lasting = {name: query for name, query in queries.items() if reads_facts_alone(name)}
    actual = {name: tables_read(name) for name in lasting}

    assert len(lasting) > 50
    assert "withdrawal" in actual["jobs/job_card"]
    assert {
        name: through({each for _, each in reads(query.tree)}, macros) - actual[name]
        for name, query in lasting.items()
    } == {name: set() for name in lasting}


def test_every_macro_is_found_by_its_name() -> None:
    """What a macro reads is known without reading the files of all of them."""
    made = {MACRO.findall(sql)[0]: sql for sql in definitions.macros()}

    assert len(made) > 200
    assert {name: definitions.macro(name) for name in made} == made
    assert definitions.macro("no_macro") is None


def test_a_query_over_staged_lines_is_asked_each_time() -> None:
    """What is staged changes without a fact being written."""
    staged = {query.path.removesuffix(".sql") for query in all_queries() if query.staged}

    assert len(staged) > 20
    assert [name for name in sorted(staged) if reads_facts_alone(name)] == []
