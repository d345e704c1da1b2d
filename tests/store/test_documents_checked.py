"""`check` finds documents without their bytes, out of their series, or not known as they say."""

from collections.abc import Iterator
from typing import Any

import pytest

from ledger.store.batches import Writing, batch, new_book
from ledger.store.book import Book, open_book
from ledger.store.contents import Content, keep_content
from ledger.store.locking import Holder

WRITING = Writing("local", "test")
PAGE = Content(b"%PDF-1.7 a page")
FIRST: dict[str, Any] = {
    "kind": "quotation",
    "series": "Q",
    "number": 1,
    "document": "Q-001",
    "known_at": 1,
    "sha256": PAGE.sha256,
}
SECOND = {**FIRST, "number": 2, "document": "Q-002", "known_at": 2}
ASTRAY: dict[str, dict[str, Any]] = {
    "a number left out": {"number": 3},
    "a number given out before": {"number": 1},
    "the name of another": {"document": "Q-001"},
    "known at its own batch": {"known_at": 3},
    "known at an earlier batch": {"known_at": 1},
    "bytes that are not in the book": {"sha256": "0" * 64},
}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    """A book with one document and its bytes, open for writing."""
    path = tmp_path_factory.mktemp("documents") / "book.duckdb"
    new_book(path, WRITING, rehearsal=False)
    with open_book(path, writer=Holder("local", "test")) as opened:
        with batch(opened, WRITING) as written:
            keep_content(written, PAGE)
            written.append_row("document", FIRST)
        yield opened


def astray_with(book: Book, *documents: dict[str, Any]) -> list[tuple[Any, ...]]:
    """Return what is astray while more documents are issued together; none of them stays."""
    with batch(book, WRITING) as written:
        for document in documents:
            written.append_row("document", document)
        found = book.rows("store/documents_astray")
        written.dry_run = True
    return found


def test_documents_in_their_order_are_whole(book: Book) -> None:
    """Numbers of a series follow each other; another series has its own."""
    other = {**SECOND, "series": "VO", "number": 1, "document": "VO-001"}

    assert astray_with(book, SECOND, other) == []


@pytest.mark.parametrize("what", ASTRAY)
def test_a_document_astray_is_found(book: Book, what: str) -> None:
    """Its number, its name, the batch it was known at and its bytes are each looked at."""
    expected = [(2, 1), (3, 1)] if what == "the name of another" else [(3, 1)]

    assert astray_with(book, SECOND | ASTRAY[what]) == expected
