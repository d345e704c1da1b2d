"""The demo yard's book, made once in a run of the tests by the commands of its schedule."""

import pytest
from filelock import FileLock
from typer.testing import CliRunner

from ledger.cli.program import app
from tests.conftest import Yard
from tests.demo import _replay

# The evenings after which a report was made, and the status date it is of.
REPORTED = {
    "2026-04-07T23": "2026-04-05",
    "2026-06-02T23": "2026-05-31",
    "2026-08-25T23": "2026-08-23",
    "2026-11-03T23": "2026-11-01",
}
ENDINGS = ("pdf", "html", "json")


@pytest.fixture(scope="session")
def demo_book(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Yard:
    """The demo yard's book, one for all processes that test; to be read only."""
    own = tmp_path_factory.getbasetemp()
    folder = (own if worker_id == "master" else own.parent) / "demo-book"
    folder.mkdir(exist_ok=True)
    book, done = Yard(folder), folder / "done"
    with FileLock(folder / "building"):
        if not done.exists():
            build(book)
            done.touch()
    return book


def build(book: Yard) -> None:
    """Make the book as it grew, and the owner's report on four evenings of that year."""
    evenings = list(REPORTED)
    commands = [_replay.NEW, *_replay.commands()]
    for words, following in zip(commands, [*commands[1:], ("", "9999")], strict=True):
        invoke(book, *words)
        if evenings and following[1] > evenings[0]:
            for ending in ENDINGS:
                invoke(book, *report_of(book, evenings[0], f"then.{ending}"))
            evenings.pop(0)


def invoke(book: Yard, *words: str) -> None:
    """Run a command on the book; it must succeed."""
    result = CliRunner().invoke(app, ["--book", str(book.book), *words])
    assert result.exit_code == 0, result.stderr


def report_of(book: Yard, evening: str, name: str) -> tuple[str, ...]:
    """Return the words of the command that makes the report of an evening."""
    out = str(book.folder / f"{evening[:10]}-{name}")
    of = ("--job", "FERRY", "--status-date", REPORTED[evening])
    return ("report", "variations", *of, "--out", out)
