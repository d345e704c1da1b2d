"""Typed rows have the columns of their queries, each of the type that the header says."""

from datetime import date
from decimal import Decimal
from types import NoneType
from typing import Any, get_args, get_type_hints

import pytest

from ledger.changes.requests import OWNER, YARD
from ledger.changes.rows import KnownEvent, KnownPriceLine, KnownRequest
from ledger.jobs.jobs import JobCard
from tests.house.test_queries import all_queries

ROWS = {
    "jobs/job_card": JobCard,
    **{
        query: kind
        for asked in (YARD, OWNER)
        for query, kind in zip(asked, (KnownRequest, KnownPriceLine, KnownEvent), strict=True)
    },
}
KINDS = {"VARCHAR": str, "BIGINT": int, "DATE": date, "BOOLEAN": bool}


def kinds_of(row: type) -> dict[str, Any]:
    """Return the type of each field of a row, without None."""
    hints = get_type_hints(row)
    return {name: ({*get_args(hint)} or {hint}) - {NoneType} for name, hint in hints.items()}


@pytest.mark.parametrize("path", ROWS)
def test_a_typed_row_is_what_its_query_answers(path: str) -> None:
    """Every column is a field of its type; only what is the yard's own may be missing."""
    [query] = [each for each in all_queries() if each.path == f"{path}.sql"]
    row, columns = ROWS[path], dict(query.columns)
    expected = {name: {KINDS.get(kind, Decimal)} for name, kind in columns.items()}
    required = getattr(row, "__required_keys__", set(expected))
    actual = kinds_of(row)

    assert {name: kind for name, kind in actual.items() if name in columns} == expected
    assert set(actual) - set(columns) <= set(actual) - set(required)
