"""Roots of batches with many rows: hashed in order, in passes, as a second program has them."""

from datetime import date, timedelta
from pathlib import Path

import pytest

from ledger.store.batches import Writing, batch
from ledger.store.book import Book, open_book
from ledger.store.locking import Holder
from ledger.store.sealing import LAST_ROW, HashedSpan, spans
from tests.conftest import Yard
from tests.store import _verifier

ROWS = 260_000
NEW_YEAR = date(2026, 1, 1)


def plan_of(book: Book, sequence: int) -> None:
    """Append plan rows, the last first, more than two row groups of the database hold."""
    book.execute(
        f"INSERT INTO plan_line SELECT {sequence}, i + 1, 'J' || (i % 7), 'P' || (i % 977), NULL,"
        f" DATE '{NEW_YEAR}' + (i % 300)::INTEGER, i % 1000 FROM (SELECT {ROWS - 1} - i AS i"
        f" FROM range({ROWS}) AS r (i))"
    )


def reckoned(path: Path) -> tuple[str, str]:
    """Return the root that a book has of its plan rows, and the one reckoned a second time."""
    with open_book(path) as book:
        secret = book.execute("SELECT secret FROM batch WHERE sequence = 2").fetchall()[0][0]
        seals = book.rows("store/batch_seals")
    of_table = _verifier.hex_of(f"{secret.hex()}:plan_line")
    columns = _verifier.sealed_columns("plan_line", "2")
    days = [(NEW_YEAR + timedelta(days=number)).isoformat() for number in range(300)]
    leaves = []
    for i in range(ROWS):
        row: dict[str, str | None] = dict.fromkeys(columns)
        row |= {"row": str(i + 1), "job": f"J{i % 7}", "work_package": f"P{i % 977}"}
        row |= {"day": days[i % 300], "ms": str(i % 1000)}
        leaves.append(_verifier.leaf(row, columns, of_table))
    root = next(seal[4] for seal in seals if seal[1] == "plan_line")
    return root, _verifier.tree_root(leaves).hex()


@pytest.mark.slow
def test_rows_are_sealed_in_their_order_however_they_lie(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The root of many rows is that of their numbers' order, not of where the database has them."""
    monkeypatch.setattr("ledger.store.sealing.PASS", 1 << 17)
    yard.new()
    with (
        open_book(yard.book, writer=Holder("tester", "load plan")) as book,
        batch(book, Writing("tester", "load plan")) as opened,
    ):
        plan_of(book, opened.sequence)
        opened.counts["plan_line"] = ROWS
    actual, expected = reckoned(yard.book)

    assert actual == expected
    assert yard.run("check").exit_code == 0


@pytest.mark.slow
def test_a_table_beyond_a_pass_is_sealed_beside_the_others(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tables hashed together and one that takes several passes have the roots of each by itself."""
    monkeypatch.setattr("ledger.store.sealing.PASS", 32)
    monkeypatch.setattr("ledger.store.sealing.BLOCK", 32)
    monkeypatch.setattr("ledger.store.sealing.FEW", 32)
    yard.new()
    workers = "".join(f"W{number},Hand {number},fitter\n" for number in range(40))
    yard.run("load", "crew", yard.write("crew.csv", f"worker_id,name,trade\n{workers}"))
    monkeypatch.undo()

    assert yard.run("check").exit_code == 0


def test_no_query_hashes_more_rows_than_a_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    """Batches go together up to a pass of rows; a longer one is cut, its last slice is open."""
    monkeypatch.setattr("ledger.store.sealing.PASS", 100)

    counts = {1: 60, 3: 40, 4: 1, 7: 205, 9: 100, 12: 0}

    assert list(spans({batch: range(1, 1 + count) for batch, count in counts.items()})) == [
        HashedSpan((1, 3)),
        HashedSpan((4,)),
        HashedSpan((7,), 0, 100),
        HashedSpan((7,), 100, 200),
        HashedSpan((7,), 200, LAST_ROW),
        HashedSpan((9, 12)),
    ]
