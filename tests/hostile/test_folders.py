"""Folders that cannot be written, and what others left beside a book: it can still be read."""

import os
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests._stage import copied
from tests.conftest import Yard

NOBODY = 65_534
LOAD = "load", "crew"
CREW = "worker_id,name,trade,grade\nD4,Dora Quill,hull,1\n"


@contextmanager
def as_anybody() -> Iterator[None]:
    """Give up the rights of root, which no folder stops, and take them back.

    Packages may stand where only root may read: what is needed on the way is imported before.
    """
    mine = os.geteuid()
    if mine == 0:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(mine)


@pytest.fixture
def elsewhere(prepared: Path) -> Iterator[Yard]:
    """A yard in a folder that every user may enter."""
    with tempfile.TemporaryDirectory(dir="/tmp") as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield copied(prepared, folder / "yard")


def test_a_book_in_a_read_only_folder_is_read_and_not_written(elsewhere: Yard) -> None:
    """In a folder that cannot be written a book is read; a load is refused in one message."""
    crew = elsewhere.write("crew.csv", CREW)
    before = elsewhere.run("history").stdout
    Path(f"{elsewhere.book}.lock").unlink()
    elsewhere.folder.chmod(0o555)
    elsewhere.book.chmod(0o444)
    with as_anybody():
        read = elsewhere.run("history").stdout
        said = elsewhere.run(*LOAD, crew, ok=False)

    assert read == before
    assert said.stderr == f"{elsewhere.book}: can be read but not written: Permission denied\n"
    assert said.exit_code == 1


def test_a_page_in_a_read_only_folder_is_refused(elsewhere: Yard) -> None:
    """What is handed out is refused by name where it cannot be written, an export too."""
    free = elsewhere.folder.parent
    elsewhere.run("held", "--out", free / "held.xlsx")
    elsewhere.run("export", free / "archive")
    elsewhere.folder.chmod(0o555)
    out, archive = elsewhere.folder / "held.xlsx", elsewhere.folder / "archive"
    with as_anybody():
        held = elsewhere.run("held", "--out", out, ok=False).stderr
        exported = elsewhere.run("export", archive, ok=False).stderr

    assert held == f"{out}: cannot be written: Permission denied\n"
    assert exported == f"{archive}: the folder cannot be made: Permission denied\n"


def folder_at(place: Path) -> None:
    place.mkdir()


def link_at(place: Path) -> None:
    (place.parent / "precious.txt").write_text("kept", encoding="utf-8")
    place.symlink_to(place.parent / "precious.txt")


def link_to_nothing_at(place: Path) -> None:
    place.symlink_to(place.parent / "not-there.txt")


def pipe_at(place: Path) -> None:
    os.mkfifo(place)


IN_THE_WAY = {"folder": folder_at, "link": link_at, "pipe or device": pipe_at}


@pytest.mark.parametrize("ending", [".lock", ".holder"])
@pytest.mark.parametrize(("kind", "put"), [*IN_THE_WAY.items(), ("link", link_to_nothing_at)])
def test_what_lies_in_the_place_of_a_lock_stops_writing_alone(
    stage: Yard, ending: str, kind: str, put: Callable[[Path], None]
) -> None:
    """Where the lock or the holder's name is a folder, a link or a pipe, a book can only be read.

    Nothing is written through a link.
    """
    beside = Path(f"{stage.book}{ending}")
    before = stage.run("history").stdout
    beside.unlink(missing_ok=True)
    put(beside)
    read = stage.run("history").stdout
    said = stage.run(*LOAD, stage.write("crew.csv", CREW), ok=False).stderr
    precious = stage.folder / "precious.txt"

    assert read == before
    assert said == (
        f"{stage.book}: can be read but not written: {beside.name} beside it is a {kind}; remove "
        "it\n"
    )
    assert not precious.exists() or precious.read_text(encoding="utf-8") == "kept"
    assert not (stage.folder / "not-there.txt").exists()


def test_a_book_whose_name_leaves_no_room_beside_it_is_read_alone(stage: Yard) -> None:
    """A name so long that no holder's name fits beside it does not stop reading."""
    before = stage.run("history").stdout
    stage.book = stage.book.rename(stage.folder / ("b" * 249))
    crew = stage.write("crew.csv", CREW)

    assert stage.run("history").stdout == before
    assert stage.run(*LOAD, crew, ok=False).stderr == (
        f"{stage.book}: can be read but not written: File name too long\n"
    )


def test_nothing_is_handed_out_through_a_link_or_over_a_book(stage: Yard) -> None:
    """--out refuses links, folders, books and what belongs to a book; these stay as they are."""
    link, folder = stage.folder / "link.xlsx", stage.folder / "folder.xlsx"
    book, log = stage.folder / "book.xlsx", stage.folder / "yard.xlsx"
    precious = stage.write("precious.txt", "kept")
    link.symlink_to(precious)
    folder.mkdir()
    book.write_bytes(stage.book.read_bytes())
    said = {
        path: stage.run("held", "--out", path, ok=False).stderr for path in (link, folder, book)
    }
    stage.run("held", "--out", log)

    assert said == {
        link: f"{link}: is a link; name a file, or remove the link\n",
        folder: f"{folder}: is a folder, a pipe or a device; name a file\n",
        book: f"{book}: is a book, or belongs to one; name another file\n",
    }
    assert precious.read_text(encoding="utf-8") == "kept"
    assert book.read_bytes() == stage.book.read_bytes()
    assert sorted(each.name for each in stage.folder.glob(".*")) == []


def test_a_file_is_handed_out_whole_or_not_at_all(
    stage: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A disk that fills up while a file is written leaves the older file as it was."""
    out = stage.folder / "held.xlsx"
    out.write_bytes(b"older")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    said = stage.run("held", "--out", out, ok=False).stderr

    assert said == f"{out}: cannot be written: No space left on device\n"
    assert out.read_bytes() == b"older"
    assert [each.name for each in stage.folder.glob(".*")] == []


def test_an_export_through_a_link_is_refused(stage: Yard) -> None:
    """An export goes into a folder, not through a link to one."""
    (stage.folder / "there").mkdir()
    link = stage.folder / "archive"
    link.symlink_to(stage.folder / "there")

    assert stage.run("export", link, ok=False).stderr == f"{link}: is a link; name a new folder\n"
    assert list((stage.folder / "there").iterdir()) == []
