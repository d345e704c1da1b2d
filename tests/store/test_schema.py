"""What a fact table says of its columns is of columns that it has."""

import re

import pytest

from ledger.store import queries
from ledger.store.schema import TABLES, WITHDRAWABLE
from ledger.store.table import BLOB, VARCHAR, FactTable
from tests.store import _verifier

PERSONS = {name: table.persons for name, table in TABLES.items() if table.persons}


@pytest.mark.parametrize("table", TABLES.values(), ids=lambda table: table.name)
def test_what_a_table_names_are_columns_of_its_own(table: FactTable) -> None:
    """Keys, erasable texts and persons are columns; only texts and bytes can be erased."""
    named = {*table.key, *table.whole, *table.erasable, *table.persons}

    assert named - set(table.columns) == set()
    assert {table.columns[name] for name in table.erasable} <= {VARCHAR, BLOB}
    assert {table.columns[name] for name in table.persons} <= {VARCHAR}
    assert not (table.key and table.whole)


def test_only_fact_tables_can_be_withdrawn() -> None:
    """Each table of which facts can be withdrawn is a fact table."""
    assert WITHDRAWABLE - set(TABLES) == set()


def test_every_handle_of_a_person_is_checked() -> None:
    """`check` and the second verifier look at each column that holds a handle."""
    text = queries.text("store/persons_astray")
    looked_at = re.findall(r"(\w+) AS handle\s+FROM stored_(\w+)", text)
    checked = {(table, column) for column, table in looked_at}

    assert checked == {(table, column) for table, columns in PERSONS.items() for column in columns}
    assert PERSONS == _verifier.PERSONS
