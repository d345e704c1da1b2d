"""How often a command asks the book: what is alike is asked once, however much a file holds."""

from collections import Counter
from collections.abc import Mapping

import pytest

from ledger.store.book import Book
from tests._stage import table
from tests.conftest import Yard
from tests.inputs._moves import freeze, price, request, tell


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    """Count the queries by name, and under "sealed" the statements that hash rows."""
    counted: Counter[str] = Counter()
    rows, records, execute = Book.rows, Book.records, Book.execute

    def count_rows(book: Book, query: str, **inputs: object) -> object:
        counted[query] += 1
        return rows(book, query, **inputs)

    def count_records(book: Book, query: str, **inputs: object) -> object:
        counted[query] += 1
        return records(book, query, **inputs)

    def count_hashed(book: Book, sql: str, inputs: Mapping[str, object] | None = None) -> object:
        counted["sealed"] += "sealed_text" in sql
        return execute(book, sql, inputs)

    monkeypatch.setattr(Book, "rows", count_rows)
    monkeypatch.setattr(Book, "records", count_records)
    monkeypatch.setattr(Book, "execute", count_hashed)
    return counted


def test_changes_are_read_once_and_after_each_event_that_is_new(
    stage: Yard, asked: Counter[str]
) -> None:
    """A row that is in the book already asks for no changes; a new one asks for them once."""
    freeze(stage)
    request(stage, "Q1")
    price(stage, "Q1,1,carpenter,12")
    events = ("Q1,priced,2026-03-10", "Q1,submitted,2026-03-11")
    asked.clear()
    tell(stage, *events)

    assert asked["changes/changes_known"] == 1 + 2

    asked.clear()
    tell(stage, *events)

    assert asked["changes/changes_known"] == 1


def test_a_trade_is_asked_for_its_rate_once_when_an_estimate_is_frozen(
    stage: Yard, asked: Counter[str]
) -> None:
    """However many packages are of a trade, its standard rate on the day is one."""
    freeze(stage)
    budgets = [row["trade"] for row in table(stage, "budget_posting")]

    assert asked["baseline/standard_rate"] == len(set(budgets))
    assert len(budgets) > len(set(budgets))


def test_the_tables_of_a_batch_are_hashed_by_one_statement(
    stage: Yard, asked: Counter[str]
) -> None:
    """A load adds to several tables, and seals them together."""
    crew = stage.write("more.csv", "worker_id,name,trade\nW77,New Hand,carpenter\n")
    asked.clear()
    stage.run("load", "crew", crew)

    assert asked["sealed"] == 1
    assert asked["store/batch_newest"] == 1
    assert stage.run("check").exit_code == 0
