"""What a book answered is given again, until what it rests on is written or taken back."""

import contextlib
from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.store.batches import Batch, Writing, batch, new_book
from ledger.store.book import Book, open_book
from ledger.store.locking import Holder

WRITING = Writing("local", "test")


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """A new book, open for writing, that counts the statements it is given."""
    path = tmp_path / "book.duckdb"
    new_book(path, WRITING, rehearsal=False)
    with open_book(path, writer=Holder("local", "test")) as opened:
        yield opened


@contextlib.contextmanager
def counted(book: Book, monkeypatch: pytest.MonkeyPatch) -> Iterator[list[str]]:
    """Give the statements that a book runs meanwhile."""
    execute, ran = Book.execute, list[str]()

    def noted(self: Book, sql: str, inputs: dict[str, object] | None = None) -> object:
        ran.append(sql)
        return execute(self, sql, inputs)

    with monkeypatch.context() as patched:
        patched.setattr(Book, "execute", noted)
        yield ran


def name_yard(written: Batch, name: str) -> None:
    written.append_row("setting", {"name": "yard.name", "value": name})


def named(book: Book) -> str:
    return book.setting("yard.name", "none")


def test_an_answer_is_given_again_until_its_table_is_written(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Within a batch and after it the newest counts; another table's rows ask nothing anew."""
    with batch(book, WRITING) as written:
        before = named(book)
        name_yard(written, "Brackvane")
        during = named(book)
    with counted(book, monkeypatch) as ran:
        after = named(book)
        with batch(book, WRITING) as written:
            written.append_row("closing", {"closed_to": None, "sequence": 1})
            beside = named(book)

    assert (before, during, after, beside) == ("none", "Brackvane", "Brackvane", "Brackvane")
    assert [sql for sql in ran if "-- setting_value" in sql] == []


def test_what_was_undone_is_not_answered(book: Book) -> None:
    """A dry run leaves no answer behind."""
    with batch(book, WRITING) as written:
        name_yard(written, "Brackvane")
    with batch(book, WRITING) as written:
        written.dry_run = True
        name_yard(written, "Another")
        tried = named(book)
    once_more = named(book)

    assert (tried, once_more) == ("Another", "Brackvane")


def test_an_earlier_moment_has_answers_of_its_own(book: Book) -> None:
    """Known at a batch before the name, there is none, asked first or last."""
    with batch(book, WRITING) as written:
        name_yard(written, "Brackvane")
        earlier = named(book.known_by(written.sequence - 1))
        now = named(book)
    later = named(book.known_by(1))

    assert (earlier, now, later) == ("none", "Brackvane", "none")


def test_what_is_staged_once_stands_until_its_table_is_written(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Staged again of the same facts nothing runs; of others, or once undone, it is staged anew."""

    def stage() -> int:
        return book.stage_once("code", "jobs/codes_known")

    counts = [stage()]
    book.drop_staged()
    with counted(book, monkeypatch) as ran:
        counts.append(stage())
    with batch(book, WRITING) as written:
        written.dry_run = True
        written.append_row("setting", {"name": "overhead.TALK", "value": "training"})
        counts.append(stage())
    counts.append(stage())

    assert ran == []
    assert counts[:2] == [counts[0]] * 2
    assert counts[2] == counts[0] + 1
    assert counts[3] == counts[0]


def test_the_newest_batch_is_not_looked_for_by_who_wrote_it(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Opening the book asks for the newest batch; each one that is written then is known."""
    with counted(book, monkeypatch) as ran:
        for name in ("Brackvane", "Another"):
            before = book.last_sequence()
            with batch(book, WRITING) as written:
                name_yard(written, name)
        after = book.last_sequence()

    assert after == before + 1
    assert [sql for sql in ran if "-- batch_newest" in sql] == []


def test_what_is_staged_is_dropped_whatever_became_of_it(book: Book) -> None:
    """Renamed, or taken back with its batch: nothing is left that a command staged."""
    book.stage_none("line", "sheets/lines_had")
    with batch(book, WRITING) as written:
        written.dry_run = True
        book.stage_none("other", "sheets/lines_had")
        book.stage_none("none", "sheets/lines_had")
    book.stage_none("other", "sheets/lines_had")
    book.restage("other", "renamed")
    book.drop_staged()
    left = book.execute("SELECT table_name FROM duckdb_tables() WHERE temporary").fetchall()

    assert left == []
