"""Typed rows have the columns of their queries, each of the type that the header says."""

from datetime import date, datetime
from decimal import Decimal
from types import NoneType, UnionType
from typing import Any, get_args, get_type_hints

import pytest

from ledger.baseline.versions import KnownPackage
from ledger.changes.requests import OWNER, YARD
from ledger.changes.rows import (
    KnownDayworkCell,
    KnownDayworkItem,
    KnownDayworkSheet,
    KnownEvent,
    KnownItemMarked,
    KnownPriceLine,
    KnownRequest,
)
from ledger.jobs.jobs import JobCard
from ledger.sheets.doubts import Doubt
from tests.house.test_queries import all_queries

ROWS = {
    "jobs/job_card": JobCard,
    "baseline/packages_known": KnownPackage,
    "sheets/doubt_summary": Doubt,
    "owner/daywork_sheets": KnownDayworkSheet,
    "owner/daywork_cells": KnownDayworkCell,
    "owner/daywork_items": KnownDayworkItem,
    "owner/daywork_items_marked": KnownItemMarked,
    **{
        query: kind
        for asked in (YARD, OWNER)
        for query, kind in zip(asked, (KnownRequest, KnownPriceLine, KnownEvent), strict=True)
    },
}
KINDS = {
    "VARCHAR": str,
    "VARCHAR[]": list[str],
    "BIGINT": int,
    "DATE": date,
    "TIMESTAMP": datetime,
    "BOOLEAN": bool,
}


def kinds_of(row: type) -> dict[str, Any]:
    """Return the type of each field of a row, without None."""
    hints = get_type_hints(row)
    return {name: _kinds(hint) - {NoneType} for name, hint in hints.items()}


def _kinds(hint: Any) -> set[Any]:
    return {*get_args(hint)} if isinstance(hint, UnionType) else {hint}


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
