"""Disks that fail, and files that change or go while they are read."""

import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import duckdb
import pytest

from ledger.cli.refusals.worded import worded
from ledger.errors import BookError, Refused
from ledger.sheets import reading as sheets
from ledger.sheets import staging
from ledger.store.errors import translate
from ledger.tables import raw_files
from tests._stage import batches
from tests.conftest import Yard
from tests.hostile._cases import SHEETS, SOUND

FAULT = "the disk failed; check it before you go on, then run `fairhours check`"


def test_a_disk_fault_while_a_file_is_read_is_called_that(
    stage: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file that its disk does not give is no fault of the file."""
    path = stage.write("week.csv", SOUND)

    def fails(*_: object) -> None:
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr(raw_files, "_look_through", fails)
    said = stage.run(*SHEETS, path, ok=False).stderr

    assert said == (
        f"{path}: the disk failed while reading (Input/output error); check it before you go on\n"
    )


# What the driver says, and what is said of it.
DRIVER = {
    'IO Error: Could not read from file "{}": Input/output error': f"week.csv: {FAULT} ({{}})",
    "IO Error: No space left on device": (
        "the disk is full, nothing was written; make room and try again ({})"
    ),
    "IO Error: some other thing": "the book cannot be read or written: {}",
}


@pytest.mark.parametrize("driver", DRIVER)
def test_a_disk_fault_while_a_table_is_read_is_not_a_fault_of_its_quotes(
    stage: Yard, monkeypatch: pytest.MonkeyPatch, driver: str
) -> None:
    """Only what stands in the table is called a fault of the table."""
    path = stage.write("week.csv", SOUND)
    text = driver.format(path)
    before = batches(stage)

    def fails(*_: object) -> None:
        error = duckdb.IOException(text)
        raise translate(error) from error

    monkeypatch.setattr(staging, "_read_csv", fails)
    said = stage.run(*SHEETS, path, ok=False).stderr
    monkeypatch.undo()

    assert said == f"{DRIVER[driver].format(text)}\n"
    assert batches(stage) == before


def test_every_error_of_a_disk_is_called_that() -> None:
    """The driver passes the system's words on in errors of several kinds."""
    for kind in (duckdb.IOException, duckdb.FatalException, duckdb.TransactionException):
        error = translate(kind("could not write: Input/output error"))

        assert isinstance(error, BookError)
        assert worded(error) == f"{FAULT} (could not write: Input/output error)"


def changes(path: Path) -> None:
    path.write_text(SOUND.replace("8,DECK", "9,DECK"), encoding="utf-8")


def grows(path: Path) -> None:
    with path.open("a", encoding="utf-8") as file:
        file.write("A1,2026-03-03,8,DECK\n")


def goes(path: Path) -> None:
    path.unlink()


CHANGED = "week.csv: changed while it was read; load it again when it is complete\n"
MEANWHILE = {
    "changes": (changes, CHANGED),
    "grows": (grows, CHANGED),
    "goes": (
        goes,
        "week.csv: disappeared while it was read; load it again when it is back\n",
    ),
}


@pytest.mark.parametrize(("what", "message"), MEANWHILE.values(), ids=MEANWHILE)
def test_a_file_that_changes_between_digest_and_lines_is_refused(
    stage: Yard, monkeypatch: pytest.MonkeyPatch, what: Callable[[Path], None], message: str
) -> None:
    """The lines booked are those of the digest kept: a file that changes meanwhile books none."""
    path = stage.write("week.csv", SOUND)
    before = batches(stage)
    real: Any = sheets.read_lines

    def changed_first(*given: Any) -> Any:
        what(path)
        return real(*given)

    monkeypatch.setattr("ledger.sheets.new_lines.read_lines", changed_first)
    said = stage.run(*SHEETS, path, ok=False).stderr
    monkeypatch.undo()

    assert said == message
    assert batches(stage) == before


def test_a_file_that_grows_while_its_bytes_are_taken_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A file is taken whole or not at all."""
    path = tmp_path / "week.csv"
    path.write_text(SOUND, encoding="utf-8")
    monkeypatch.setattr(raw_files, "_look_through", lambda *_: grows(path))
    with pytest.raises(Refused, match="file_changed"):
        raw_files.bytes_of(path)


def test_a_small_file_that_changes_before_it_is_recorded_is_refused(
    stage: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The digest kept of a small file is of the bytes that were loaded."""
    from ledger.commands import loads

    path = stage.write("crew.csv", "worker_id,name,trade,grade\nD4,Dora Quill,hull,1\n")
    before = batches(stage)
    real: Any = loads.OF_YARD["crew"]

    def then_changed(*given: Any) -> Any:
        said = real(*given)
        grows(path)
        return said

    monkeypatch.setitem(loads.OF_YARD, "crew", then_changed)
    said = stage.run("load", "crew", path, ok=False).stderr
    monkeypatch.undo()

    assert said == CHANGED.replace("week.csv", "crew.csv")
    assert batches(stage) == before


def test_an_output_that_cannot_be_written_is_one_message(
    stage: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk below the output ends the command with a message, not with a traceback."""

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("ledger.cli.book_commands.give_rows", full)

    assert stage.run("history", ok=False).stderr == (
        "cannot be read or written: No space left on device\n"
    )
