"""Reads leave withdrawn facts out only of the tables of which any fact was withdrawn."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.cli.refusals.worded import worded
from ledger.store import definitions
from ledger.store.batches import Writing, batch, new_book
from ledger.store.book import Book, open_book
from ledger.store.checking import check_book
from ledger.store.locking import Holder

WRITING = Writing("local", "test")
RATE = {"trade": "joiner", "cost_per_hour": 1}


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """A book with one rate, open for writing."""
    path = tmp_path / "book.duckdb"
    new_book(path, WRITING, rehearsal=False)
    with open_book(path, writer=Holder("local", "test")) as opened:
        with batch(opened, WRITING) as written:
            written.append_row("rate", RATE)
        yield opened


def withdraw_rate(book: Book, *, dry_run: bool = False) -> None:
    with batch(book, WRITING) as written:
        written.append_row(
            "withdrawal", {"table_name": "rate", "fact_batch": 2, "fact_row": 1, "reason": "wrong"}
        )
        written.dry_run = dry_run


def leaving_out(book: Book) -> set[str]:
    """Return the tables whose macros look for withdrawals."""
    rows = book.rows("store/macros_made")
    standing = {name: text for _, name, _, text in rows if name.startswith("standing_")}
    assert len(standing) > 15
    return {name.removeprefix("standing_") for name in standing if "withdrawal" in standing[name]}


def test_a_table_is_read_without_withdrawn_facts_from_the_first_one_on(book: Book) -> None:
    """The fact counts before its withdrawal and not after it; the book holds both times."""
    assert leaving_out(book) == set()
    assert len(book.current("rate")) == 1
    assert check_book(book) is None

    withdraw_rate(book)

    assert leaving_out(book) == {"rate"}
    assert book.current("rate") == []
    assert len(book.known_by(2).current("rate")) == 1
    assert check_book(book) is None


def test_a_withdrawal_taken_back_leaves_reads_as_they_were(book: Book) -> None:
    """A dry run changes no macro."""
    withdraw_rate(book, dry_run=True)

    assert leaving_out(book) == set()
    assert len(book.current("rate")) == 1
    assert check_book(book) is None


def test_a_macro_that_passes_over_withdrawals_is_found(book: Book) -> None:
    """A book that has withdrawn facts and counts them does not hold."""
    withdraw_rate(book)
    passing = definitions.standing("rate", is_withdrawn=False)
    book.execute(definitions.anew(passing))
    wrong = check_book(book)

    assert wrong
    assert worded(wrong) == "the macro standing_rate differs from the one of this version"


def test_the_newest_batch_is_told_as_the_book_has_it(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What a write remembers of its own batch is what the book answers when it is asked anew."""
    with batch(book, WRITING) as written:
        written.append_row("rate", {**RATE, "trade": "welder"})
    asked: tuple[tuple[str, dict[str, int]], ...]
    asked = ("store/batch_newest", {}), ("store/batch_stamp", {"sequence": 3})
    with monkeypatch.context() as patched:
        patched.setattr(Book, "execute", lambda *_: pytest.fail("asked"))
        remembered = [book.records(query, **given) for query, given in asked]
    book.execute("BEGIN")
    book.execute("ROLLBACK")

    assert [book.records(query, **given) for query, given in asked] == remembered
